"""The words behind ``sowplan done`` against a plan's jobs: what they enter, or what is wrong."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from sowplan.problem import Problem
    from sowplan.records.diary import Entry
    from sowplan.season.plan import Plan
    from sowplan.supply.tasks import Task

NEAR_DAYS = 4
"""Jobs within so many days are told where an id is not known."""
MOST_TOLD = 8
NEAREST_TOLD = 5
"""So many jobs or sowings of a crop are told where it is not clear which is meant."""
EARLY_DAYS = 7
"""So many days before its day a job is hardly done: that is told, and entered all the same."""


class Reader:
    """The words of a command line against a plan's jobs."""

    def __init__(self, plan: Plan, known: Sequence[Entry], day: date, today: date):
        from sowplan.supply.tasks import tasks
        from sowplan.supply.told import told_by
        from sowplan.supply.undone import undone

        self.plan, self.day, self.today = plan, day, today
        self.tasks = tasks(plan)
        self.by_id: dict[str, Task] = {}
        for task in self.tasks:
            for job in task.parts:
                self.by_id[job.id] = job
        self.by_id |= {task.id: task for task in self.tasks}
        self.jobs = {job.id: job for task in self.tasks for job in task.jobs}
        self.left = {job.id: job for task in undone(plan, known) for job in task.jobs}
        self.over = told_by(plan, known).over
        self.plantings = {p.id: p for p in plan.plantings}
        self.known = tuple(known)
        self.told = {entry.told for entry in known}
        self.lost: dict[str, int] = {}
        for entry in known:
            if entry.what == "lost":
                self.lost[entry.about] = self.lost.get(entry.about, 0) + int(entry.number or 0)
        self.entries: list[Entry] = []
        self.again: list[Entry] = []
        self.problems: list[Problem] = []

    def job(self, text: str, alone: bool = False) -> None:
        """Read ``ID`` or ``ID=DAY``: a job, or the like jobs that one tick of the page is for."""
        from sowplan.records.diary import entry_for

        name, _, when = text.partition("=")
        day = self._day(text, when) if when else self.day
        if day is None:
            return
        if day > self.today:
            self._wrong(text, f"this lies ahead: today is {self.today}.")
            return
        task = (self.jobs if alone else self.by_id).get(name)
        if task is None:
            self._wrong(name, self._unknown(name))
            return
        wanted = [task] if alone else list(task.jobs)
        there = [job for job in wanted if not self._never_was(job)]
        if not there:
            self._wrong(name, f"{', '.join(self._names(task))}: not sown, by the diary.")
            return
        found = [entry_for(job.id, day) for job in there]
        if all(entry.told in self.told for entry in found):
            self.again.append(entry_for(name, day))
            return
        self.entries += found

    def _never_was(self, job: Task) -> bool:
        """Return whether a job is of sowings only that were not made, by the diary."""
        mine = self._names(job)
        return bool(mine) and all(self.over.get(name) == date.min for name in mine)

    @staticmethod
    def _names(task: Task) -> list[str]:
        """Return the plantings that a task is of."""
        names = [n for job in task.jobs for n in (dict(job.takes) or [job.planting]) if n]
        return list(dict.fromkeys(names))

    def every(self, since: date | None) -> None:
        """Read ``--all``: the jobs of the day, and of the days before it from one on."""
        from sowplan.records.diary import entry_for
        from sowplan.supply.entering import done_by

        if self.day > self.today:
            self._wrong("--all", f"this lies ahead: today is {self.today}.")
        elif since is not None and since > self.day:
            self._wrong(f"--since {since}", f"this is after {self.day}.")
        else:
            named = {entry.task for entry in self.entries}
            for job, day in done_by(self.plan, self.known, since or self.day, self.day):
                if job.id not in named:
                    self.entries.append(entry_for(job.id, day))

    def harvest(self, text: str) -> None:
        """Read ``ID=AMOUNT``: a harvest, or the sowing it is of, and how much came."""
        from sowplan.records.diary import Entry, number_in

        name, _, amount = text.partition("=")
        number = number_in(amount.strip())
        job = self.jobs.get(name)
        if job is None and name not in self.plantings:
            self._wrong(name, self._unknown(name, "harvest"))
        elif job is not None and job.kind != "harvest":
            self._wrong(name, "this is no harvest.")
        elif number is None:
            self._wrong(text, f"say how much came, a number: --harvested {name}=3.")
        elif self.day > self.today:
            self._wrong(text, f"this lies ahead: today is {self.today}.")
        elif self.over.get(name) == date.min or (job is not None and self._never_was(job)):
            self._wrong(name, "not sown, by the diary.")
        else:
            self.entries.append(Entry(self.day, "harvested", name, number))

    def loss(self, text: str) -> None:
        """Read ``ID=NUMBER``."""
        from sowplan.records.diary import Entry

        name, _, number = text.partition("=")
        name = name.split(":")[0]
        p = self.plantings.get(name)
        if p is None:
            self._wrong(name, self._unknown(name, "sowing"))
        elif not number.strip().isdigit() or int(number) == 0:
            self._wrong(text, f"say how many plants were lost: --lost {name}=3.")
        elif p.plants + p.lost < self.lost.get(name, 0) + int(number):
            entry = Entry(self.day, "lost", name, int(number))
            if entry.told in self.told:
                self.again.append(entry)
                return
            left = p.plants + p.lost - self.lost.get(name, 0)
            self._wrong(text, f"there were only {left} plants of it.")
        elif self.day > self.today:
            self._wrong(text, f"this lies ahead: today is {self.today}.")
        elif (p.sow - self.day).days >= EARLY_DAYS and not self._sown(name):
            did, job = ("planted out", "buy") if p.bought else ("sown", "sow")
            was = "bought" if p.bought else "sown"
            self._wrong(
                text,
                f"it is to be {did} on {p.sow}, so nothing of it can be lost by {self.day}. If it "
                f"was {was} already, enter that first: sowplan done {name}:{job}=DAY.",
            )
        else:
            self.entries.append(Entry(self.day, "lost", name, int(number)))

    def _sown(self, name: str) -> bool:
        """Return whether the diary, or this very line, says that a sowing was sown or bought."""
        told = {entry.told for entry in self.entries} | self.told
        began = ("sown", "bought", "planted")
        return any(what in began and about == name for _, what, about, _ in told)

    def skip(self, text: str) -> None:
        """Read the id of a sowing that was not sown."""
        from sowplan.records.diary import Entry

        name = text.split(":")[0].split("=")[0]
        p = self.plantings.get(name)
        if p is None:
            self._wrong(name, self._unknown(name, "sowing"))
            return
        for was in ("sown", "bought"):
            if any(day_what[1:3] == (was, name) for day_what in self.told):
                self._wrong(name, f"it was {was}, by the diary.")
                return
        self.entries.append(Entry(min(self.day, self.today), "skipped", name))

    def remark(self, entry: Entry) -> str:
        """Return what an entry is about, for people."""
        from sowplan.supply.wording import one_line

        name = entry.task or ""
        job = self.left.get(name) or self.jobs.get(name)
        if job is not None:
            return one_line(job.title) + self._counted(entry, job.crop)
        p = self.plantings.get(entry.planting)
        if p is None:
            return ""
        return f"{one_line(self.plan.crop(p.crop).name)}, {p.place}{self._counted(entry, p.crop)}"

    def _counted(self, entry: Entry, crop: str) -> str:
        """Return ``": 2 bunches came"`` of a harvest that was counted."""
        from sowplan.supply.wording import amount_text

        if entry.what != "harvested" or entry.number is None:
            return ""
        unit = self.plan.crop(crop).harvest_unit
        return f": {amount_text(entry.number, unit, self.plan.site.units)} came"

    def early(self, entries: Sequence[Entry]) -> list[str]:
        """Return a line for each entry of a job long before its day: a slip, perhaps."""
        from sowplan.supply.wording import day_text

        found = []
        for entry in entries:
            job = self.jobs.get(entry.task or "")
            if job is None or (job.day - entry.day).days < EARLY_DAYS:
                continue
            told = day_text(entry.day, weekday=False, year=True)
            planned = day_text(job.day, weekday=False, year=True)
            found.append(
                f"{job.id}: entered for {told}, {(job.day - entry.day).days} days before its day "
                f"({planned}). It is kept. If it is a slip: sowplan done --undo {job.id}"
            )
        if len(found) > MOST_TOLD:
            found[MOST_TOLD:] = [f"And so are {len(found) - MOST_TOLD} more."]
        return found

    def _day(self, text: str, when: str) -> date | None:
        from sowplan.records.garden_file.values.months import read_day

        near = {"today": 0, "yesterday": -1}.get(when.strip().casefold())
        if near is not None:
            return self.today + timedelta(days=near)
        try:
            return read_day(when)
        except ValueError as error:
            right = "write the day as 2026-11-05, today or yesterday."
            self._wrong(text, f"{right} {error}".strip())
            return None

    def _unknown(self, name: str, wanted: str = "job") -> str:
        """Say that an id is not known, what may be meant, and what there is to do these days.

        ``wanted`` is what it should be: a ``"job"``, a ``"harvest"`` or a ``"sowing"``.
        """
        from sowplan.problem import did_you_mean

        if name.split(":")[0] in self.plan.retired:
            return "this sowing is in the plan no more since it was planned again."
        which = self._which(name, wanted)
        if which:
            return which
        hint = did_you_mean(name, self.by_id.keys() | self.plantings.keys())
        near = sorted(
            (abs((task.day - self.day).days), task.id)
            for task in self.tasks
            if abs((task.day - self.day).days) <= NEAR_DAYS
        )
        listed = ", ".join(name for _, name in near[:MOST_TOLD])
        told = f" Jobs of these days: {listed}." if listed else ""
        return f"the plan has no such job.{hint}{told}"

    def _which(self, name: str, wanted: str) -> str:
        """Ask which of a crop's or a sowing's jobs is meant, or which sowing: the nearest first."""
        from sowplan.supply.wording import day_text

        if wanted == "sowing":
            mine = [p for p in self.plan.plantings if p.crop == name]
            none = timedelta(0)
            out = [max(p.sow - self.day, self.day - p.cleared, none) for p in mine]
            away = [
                (days, abs(p.sow - self.day), p.id, p.sow)
                for p, days in zip(mine, out, strict=True)
            ]
            ask = "which sowing of it?"
        else:
            able = [
                job
                for job in self.jobs.values()
                if name in (job.crop, job.planting, job.id.split(":")[0])
                and (wanted == "job" or job.kind == "harvest")
            ]
            able = [job for job in able if job.id in self.left] or able
            away = [(abs(job.day - self.day), job.day < self.day, job.id, job.day) for job in able]
            ask = "which of its jobs?" if wanted == "job" else "which harvest of it?"
        if not away:
            return ""
        near = [f"{one} ({day_text(day, weekday=False)})" for *_, one, day in sorted(away)]
        more = len(near) - NEAREST_TOLD
        told = "; ".join(near[:NEAREST_TOLD] if more > 1 else near)
        rest = f"; {more} more are farther off" if more > 1 else ""
        order = " The nearest first:" if len(near) > 1 else ""
        return f"{ask}{order} {told}{rest}."

    def _wrong(self, found: str, message: str) -> None:
        from sowplan.problem import Exit, Problem

        self.problems.append(Problem("", None, "done", found, message, Exit.WRONG))
