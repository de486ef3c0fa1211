"""``sowplan done``: enter what happened into the season's diary."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

if TYPE_CHECKING:
    from sowplan.problem import Problem
    from sowplan.records.diary import Entry
    from sowplan.season.plan import Plan
    from sowplan.supply.tasks import Task

NEAR_DAYS = 4
"""Jobs within so many days are told where an id is not known."""
MOST_TOLD = 8
EARLY_DAYS = 7
"""So many days before its day a job is hardly done: that is told, and entered all the same."""


def done(
    ids: Annotated[
        list[str] | None,
        typer.Argument(
            help="Jobs done, each as ID or ID=DAY; the page writes this line for you.",
            metavar="ID[=DAY]...",
        ),
    ] = None,
    lost: Annotated[
        list[str] | None,
        typer.Option(
            "--lost", metavar="ID=NUMBER", help="So many plants of a sowing were lost; repeatable."
        ),
    ] = None,
    skipped: Annotated[
        list[str] | None,
        typer.Option(
            "--skipped", metavar="ID", help="A planned sowing was not sown, and will not be."
        ),
    ] = None,
    only: Annotated[
        list[str] | None,
        typer.Option(
            "--only",
            metavar="ID[=DAY]",
            help="This job alone, not the like ones of its day that its id also stands for.",
        ),
    ] = None,
    on: Annotated[
        str | None,
        typer.Option(metavar="DAY", help="The day, where none is named; otherwise today."),
    ] = None,
    every: Annotated[
        bool,
        typer.Option("--all", help="All that `sowplan due` has for the day, each job of it."),
    ] = False,
    since: Annotated[
        str | None,
        typer.Option(
            metavar="DAY",
            help="With --all: also what was to be done from that day on, each on its own day.",
        ),
    ] = None,
    undo: Annotated[
        bool,
        typer.Option(
            "--undo",
            help="Take back the last entry, what was entered of each ID, or --all of a day.",
        ),
    ] = False,
    folder: Annotated[Path, typer.Option("--in", metavar="FOLDER", help="The plan folder.")] = Path(
        "plan"
    ),
    as_json: Annotated[bool, typer.Option("--json", help="Print JSON.")] = False,
) -> None:
    """Enter what happened: what was done and when, what was lost, what was not sown.

    Tick the jobs on the page, copy the line it makes, and run it here. It goes into the diary in
    the plan folder, a plain text you may also write yourself. The same line twice does no harm.

    Then `sowplan due` leaves out what is done, and `sowplan revise` plans on from there.

    For example:

      sowplan done lettuce-butterhead-3:sow=2026-11-07 radish-2:thin=2026-11-08

      sowplan done kale-1:plant-out --on yesterday

      sowplan done --all

      sowplan done --all --since 2026-11-02

      sowplan done --lost lettuce-butterhead-3=4

      sowplan done --skipped spinach-2 --in courtyard-plan

      sowplan done --undo
    """
    from sowplan.commands.due import day_meant
    from sowplan.commands.plan_files import opened_plan
    from sowplan.commands.problems import stop_on
    from sowplan.commands.undo import take_back_last
    from sowplan.records.diary import add_to_diary, diary_path, read_diary

    others = bool(only or lost or skipped or (ids if every else on))
    _stop_on_contrary_words(undo, others, every, since)
    if not (ids or only or lost or skipped or every or undo):
        raise typer.BadParameter(
            "Say what was done, such as kale-1:sow; `sowplan due --ids` shows the jobs, the page "
            "ticks them.",
            param_hint="ID",
        )
    plan = opened_plan(folder)
    today, last = day_meant(None, plan), day_meant(on, plan)
    first = day_meant(since, plan, "--since") if since else None
    path = diary_path(folder if folder.is_dir() else folder.parent, plan.site.start)
    known, problems = read_diary(path)
    stop_on(problems)
    if undo:
        days = (first or last, last) if every else None
        take_back_last(plan, path, known, ids or (), days, as_json)
        return
    reader = _Reader(plan, known, last, today)
    for text in ids or ():
        reader.job(text)
    for text in only or ():
        reader.job(text, alone=True)
    if every:
        reader.every(first)
    for text in lost or ():
        reader.loss(text)
    for text in skipped or ():
        reader.skip(text)
    stop_on(reader.problems)
    new = list(dict.fromkeys(reader.entries))
    old = {entry.told for entry in known}
    new, again = [e for e in new if e.told not in old], [e for e in new if e.told in old]
    stop_on(_contrary(plan, path, known, new, today))
    if new:
        stop_on(add_to_diary(path, [(e, reader.remark(e)) for e in new], _heading(plan)))
    _say(path, new, [*reader.again, *again], reader, as_json)
    if every and not (new or as_json):
        typer.echo("Of these days there is nothing left to enter.")
    for line in reader.early(new):
        typer.echo(line, err=True)


def _stop_on_contrary_words(undo: bool, others: bool, every: bool, since: str | None) -> None:
    """Leave where options are given that do not go together."""
    if undo and others:
        raise typer.BadParameter("Nothing but IDs, or --all, goes with it.", param_hint="--undo")
    if since is not None and not every:
        raise typer.BadParameter("This goes with --all.", param_hint="--since")


class _Reader:
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
            for job, day in done_by(self.plan, self.known, since or self.day, self.day):
                self.entries.append(entry_for(job.id, day))

    def loss(self, text: str) -> None:
        """Read ``ID=NUMBER``."""
        from sowplan.records.diary import Entry

        name, _, number = text.partition("=")
        name = name.split(":")[0]
        p = self.plantings.get(name)
        if p is None:
            self._wrong(name, self._unknown(name))
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
            self._wrong(name, self._unknown(name))
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
            return one_line(job.title)
        p = self.plantings.get(entry.planting)
        return one_line(self.plan.crop(p.crop).name) + f", {p.place}" if p else ""

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

    def _unknown(self, name: str) -> str:
        """Say that an id is not known, what may be meant, and what there is to do these days."""
        from sowplan.problem import did_you_mean

        if name.split(":")[0] in self.plan.retired:
            return "this sowing is in the plan no more since it was planned again."
        jobs = [job for job in self.jobs if job.split(":")[0] == name]
        if jobs:
            return f"which of its jobs? {', '.join(jobs)}."
        if ":" not in name and name in {p.crop for p in self.plan.plantings}:
            many = [p.id for p in self.plan.plantings if p.crop == name]
            return f"which sowing of it? {', '.join(many[:MOST_TOLD])}."
        hint = did_you_mean(name, self.by_id.keys() | self.plantings.keys())
        near = sorted(
            (abs((task.day - self.day).days), task.id)
            for task in self.tasks
            if abs((task.day - self.day).days) <= NEAR_DAYS
        )
        listed = ", ".join(name for _, name in near[:MOST_TOLD])
        told = f" Jobs of these days: {listed}." if listed else ""
        return f"the plan has no such job.{hint}{told}"

    def _wrong(self, found: str, message: str) -> None:
        from sowplan.problem import Exit, Problem

        self.problems.append(Problem("", None, "done", found, message, Exit.WRONG))


def _contrary(
    plan: Plan, path: Path, known: Sequence[Entry], new: Sequence[Entry], today: date
) -> list[Problem]:
    """Return what `sowplan revise` would refuse of the diary with the new entries in it."""
    from sowplan.season.revise.happened import happened_to

    _, before = happened_to(known, plan, str(path), today)
    _, after = happened_to([*known, *new], plan, str(path), today)
    return [problem for problem in after if problem not in before]


def _heading(plan: Plan) -> list[str]:
    """Return what a new diary begins with."""
    from sowplan.supply.wording import day_text, one_line

    first = day_text(plan.site.start, weekday=False, year=True)
    return [
        f"What happened in {one_line(plan.site.name)}, season from {first}.",
        "`sowplan done` writes here, and so may you: a day, what happened, to which sowing.",
        "sown, bought, planted, harvested, cleared, lost (with a number), skipped, or done and a "
        "job.",
        "What follows a # is for you alone.",
    ]


def _say(path: Path, new: list[Entry], again: list[Entry], reader: _Reader, as_json: bool) -> None:
    if as_json:
        import json
        from dataclasses import asdict

        def plain(entries: list[Entry]) -> list[dict]:
            return [{k: v for k, v in asdict(e).items() if k != "line"} for e in entries]

        told = {"diary": str(path), "entered": plain(new), "known": plain(again)}
        typer.echo(json.dumps(told, default=date.isoformat, ensure_ascii=False, indent=2))
        return
    for heading, entries in ((f"Entered in {path}:", new), ("Entered before:", again)):
        if entries:
            typer.echo(heading)
        for entry in entries:
            remark = reader.remark(entry)
            typer.echo(f"  {entry}" + (f"  ({remark})" if remark else ""))
    if any(entry.what in ("lost", "skipped") for entry in new):
        typer.echo("`sowplan revise` plans on from here, moving as little as can be.")
