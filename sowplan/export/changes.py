"""What a revision changed, in a gardener's words."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence
from datetime import date

from sowplan.export.nearness import near_told
from sowplan.season.plan import Plan, Planting
from sowplan.season.revise.changes import ANEW, Change, Changes
from sowplan.season.words import in_list, sown_word
from sowplan.supply.ground import Ground
from sowplan.supply.task import Task
from sowplan.supply.tasks import days_of
from sowplan.supply.wording import (
    amount_text,
    count_text,
    day_text,
    join_words,
    one_line,
    percent_text,
)

WIDTH = 78
WORTH_ANEW = 0.001
"""Share of what is wanted for which planning anew is named."""
CROPS_TOLD = 4
"""Of which less, or more, comes than before; of the others the number."""


def headline(changes: Changes, old: Plan, new: Plan) -> list[str]:
    """Return what changed in a few sentences."""
    day = day_text(changes.today, weekday=False, year=True)
    told = [
        _many(changes.of("changed"), "moved or of another size"),
        _many(changes.of("dropped"), "dropped"),
    ]
    changed = join_words([words for words in told if words]) or "none changes"
    if changes.had_to:
        many, had_to = changes.many, changes.had_to
        which = "as it" if many == 1 else "as they" if many == had_to else f"{had_to} because they"
        changed += f" ({which} could not stay as planned)"
    added = _many(changes.of("new"), "new")
    told = (
        [f"of {count_text(changes.coming, 'sowing')} to come {changed}"] if changes.coming else []
    )
    told += [f"{added} besides" if told else added] if added else []
    lines = [f"Planned again from {day}{': ' if told else ''}{'; '.join(told)}."]
    share = percent_text(1.0 - new.quality.missing_share)
    if share == percent_text(1.0 - old.quality.missing_share):
        lines.append(f"Of all that is wanted {share} comes, as before.")
    else:
        before = percent_text(1.0 - old.quality.missing_share)
        lines.append(f"Of all that is wanted {share} comes; before it was {before}.")
    near = [words for words in (near_told(new), _kept_to(new)) if words]
    names = [f"{was} is called {now} now." for was, now in changes.renamed]
    return [*lines, *near, *_by_crop(old, new), *names, *_on_new_places(old, new)]


def _kept_to(new: Plan) -> str:
    """Return what to do where keeping to what was planned may cost much; it follows the figure."""
    q = new.quality
    if q.missing_share - q.missing_share_bound <= WORTH_ANEW or q.method.startswith(ANEW):
        return ""
    return (
        "Keeping to what was planned may cost as much as that: revise with --anew plans all that "
        "is to come afresh, and keeps that where it brings more."
    )


def _by_crop(old: Plan, new: Plan) -> list[str]:
    """Return of which crops less comes than before, and of which more, the largest first."""
    was, now = _comes(old), _comes(new)
    names = {crop.key: in_list(one_line(crop.name)) for crop in new.crops}
    found: dict[str, list[tuple[float, str]]] = {"Less": [], "More": []}
    for key in now.keys() & was.keys():
        share, before = percent_text(now[key]), percent_text(was[key])
        if share != before:
            which = "Less" if now[key] < was[key] else "More"
            told = f"{names[key]} ({share} instead of {before})"
            found[which].append((-abs(now[key] - was[key]), told))
    lines = []
    for which, crops in found.items():
        told = [words for _, words in sorted(crops)]
        if len(told) > CROPS_TOLD + 1:
            told = [*told[:CROPS_TOLD], f"{len(told) - CROPS_TOLD} other crops"]
        if told:
            lines.append(f"{which} than before comes of {join_words(told)}.")
    return lines


def _on_new_places(old: Plan, new: Plan) -> list[str]:
    """Return the new plan's notes on places the old one did not have."""
    added = {place.name for place in new.places} - {place.name for place in old.places}
    begins = tuple(f"{name}{after}" for name in sorted(added) for after in (" ", ", "))
    return [
        one_line(note)
        for note in new.notes
        if begins and note.startswith(begins) and (" is new" in note or " are new" in note)
    ]


def _comes(plan: Plan) -> dict[str, float]:
    """Return the share that comes of what is wanted of each crop."""
    wanted: dict[str, float] = {}
    met: dict[str, float] = {}
    for want in plan.wants:
        wanted[want.crop] = wanted.get(want.crop, 0.0) + want.wanted
        met[want.crop] = met.get(want.crop, 0.0) + want.met
    return {key: met[key] / wanted[key] for key in wanted if wanted[key] > 0}


def _many(found: Sequence[Change], what: str) -> str:
    """Return ``"4 are dropped"``, or nothing where there are none."""
    return f"{len(found)} {'is' if len(found) == 1 else 'are'} {what}" if found else ""


def changes_text(changes: Changes, old: Plan, new: Plan, assumed: Sequence[Task] = ()) -> str:
    """Return a plain text of all that changed, lines at most 78 characters wide.

    ``assumed`` are the tasks taken as done though the diary does not say so.
    """
    lines = [line for text in headline(changes, old, new) for line in textwrap.wrap(text, WIDTH)]
    for heading, items in sections(changes, old, new, assumed):
        lines += ["", heading, "-" * len(heading)]
        for item in items:
            lines += textwrap.wrap(
                item, WIDTH, initial_indent="- ", subsequent_indent="  ", break_on_hyphens=False
            )
    return "\n".join(lines) + "\n"


def sections(
    changes: Changes, old: Plan, new: Plan, assumed: Sequence[Task] = ()
) -> list[tuple[str, list[str]]]:
    """Return (heading, sentences) of what stands otherwise, what is gone, what is to come."""
    words = _Words(old, new, changes.today)
    found = [
        ("What stands", [words.standing(c) for c in changes.of("standing")]),
        ("What is no more", [words.gone(c) for c in changes.of("gone")]),
        ("What is to come", [words.coming(c) for c in changes.of("changed", "new", "dropped")]),
        ("Other dates expected", [words.forecast(c) for c in changes.of("forecast")]),
        (
            "Taken as done on its day, though the diary does not say so",
            [f"{day_text(task.day)}: {one_line(task.title)}." for task in assumed],
        ),
    ]
    return [(heading, items) for heading, items in found if items]


class _Words:
    """Sentences about plantings of an old plan and a new one."""

    def __init__(self, old: Plan, new: Plan, today: date):
        self.today = today
        self.units = new.site.units
        self.crops = {c.key: c for c in (*old.crops, *new.crops)}
        self.old = {p.name: p for p in old.places}
        self.new = {p.name: p for p in new.places}
        self.clear, self.clear_before = (days_of(plan, "clear") for plan in (new, old))

    def name(self, p: Planting) -> str:
        """Return ``"Butterhead lettuce"``."""
        return one_line(self.crops[p.crop].name)

    def of(self, p: Planting) -> str:
        """Return ``"Butterhead lettuce of 12 March"``."""
        return f"{self.name(p)} of {day_text(p.sow, weekday=False)}"

    def where(self, p: Planting) -> str:
        """Return ``"Wall box, 80-140 cm"``."""
        place = self.new.get(p.place) or self.old[p.place]
        return Ground(p, self.crops[p.crop], place, self.units).short

    def standing(self, change: Change) -> str:
        """Say how what stands is otherwise than planned."""
        was, now = change.before, change.after
        assert was is not None and now is not None
        parts = []
        if now.lost > was.lost:
            parts.append(f"{now.lost - was.lost} lost, {now.plants} left{self._left_in(was, now)}")
        parts += self._by_count(was, now)
        if now.sow != was.sow and not now.bought:
            begun = sown_word(self.crops[now.crop])
            parts.append(f"{begun} on {day_text(now.sow, weekday=False)}")
        if now.planting_out != was.planting_out and now.planting_out and was.planting_out:
            told = "planted out" if now.planting_out < self.today else "to be planted out"
            parts.append(f"{told} on {day_text(now.planting_out, weekday=False)}")
        if now.place != was.place:
            parts.append(f"{self.where(now)} instead of {was.place}")
        parts += self._harvest(was, now)
        return f"{self.of(was)} ({now.id}): {'; '.join(parts) or _in_between(was, now)}."

    def _by_count(self, was: Planting, now: Planting) -> list[str]:
        """Say what is still to come where the gardener counted another harvest than planned."""
        new = [lot for lot in now.lots if lot not in was.lots]
        if not any(lot.ready == lot.last < self.today for lot in new):
            return []
        rest = sum(lot.amount for lot in now.lots if lot.last >= self.today)
        much = amount_text(rest, self.crops[now.crop].harvest_unit, self.units)
        return [f"{much if rest else 'nothing'} still to come, by what was counted"]

    def _left_in(self, was: Planting, now: Planting) -> str:
        """Say which pots or holes are taken as free again, as nobody told which plants went."""
        if now.place != was.place or now.slots == was.slots:
            return ""
        return f" (taken to stand in {self.where(now)}; if others do, swap the numbers)"

    def gone(self, change: Change) -> str:
        """Say what is no more, and why."""
        assert change.before is not None
        why = f": {change.why}" if change.why else ""
        return f"{self.of(change.before)} ({change.before.id}){why}."

    def coming(self, change: Change) -> str:
        """Say how a sowing to come is otherwise than it was."""
        was, now = change.before, change.after
        if was is None:
            assert now is not None
            day = day_text(now.sow, weekday=False)
            return f"New: {now.plants} {self.name(now)} on {day}, {self.where(now)} ({now.id})."
        if now is None:
            why = f": {change.why}" if change.why else ""
            return f"Dropped: {was.plants} {self.name(was)} of {_day(was)} ({was.id}){why}."
        parts = []
        if now.sow != was.sow:
            parts.append(f"on {_day(now)} instead")
        elif now.planting_out != was.planting_out and now.planting_out and was.planting_out:
            out, before = (day_text(p.planting_out, weekday=False) for p in (now, was))
            parts.append(f"planted out on {out} instead of {before}")
        if now.plants != was.plants:
            parts.append(f"{now.plants} instead of {was.plants}")
        if (now.tray, now.raising) != (was.tray, was.raising):
            begun = sown_word(self.crops[now.crop])
            other = "bought as plants" if now.bought else f"{begun} direct"
            parts.append(f"on {now.tray}" if now.tray else other)
        if now.place != was.place:
            parts.append(f"{self.where(now)} instead of {was.place}")
        elif (now.strip_start_m, now.strip_length_m, now.slots) != (
            was.strip_start_m, was.strip_length_m, was.slots,
        ):  # fmt: skip
            parts.append(f"now {self.where(now)}")
        parts += self._harvest(was, now)
        return f"{self.of(was)} ({now.id}): {'; '.join(parts) or _in_between(was, now)}."

    def forecast(self, change: Change) -> str:
        """Say that only other dates are expected."""
        was, now = change.before, change.after
        assert was is not None and now is not None
        parts = self._harvest(was, now)
        return f"{self.of(was)} ({now.id}): {'; '.join(parts) or _in_between(was, now)}."

    def _harvest(self, was: Planting, now: Planting) -> list[str]:
        parts = []
        if now.harvest_start != was.harvest_start and not (now.in_vain or was.in_vain):
            first, before = (day_text(p.harvest_start, weekday=False) for p in (now, was))
            parts.append(f"harvest from {first} instead of {before}")
        if now.cleared <= self.today:
            if now.cleared != was.cleared:
                parts.append(f"gone since {day_text(now.cleared, weekday=False)}")
            return parts
        day = self.clear.get(now.id, now.cleared)  # that of the job, as everywhere
        if day != self.clear_before.get(was.id, was.cleared):
            parts.append(f"cleared on {day_text(day, weekday=False)}")
        return parts


def _in_between(was: Planting, now: Planting) -> str:
    """Say what differs where first harvest and clearing are as they were."""
    return "harvested on other days in between" if now.lots != was.lots else "other dates"


def _day(p: Planting) -> str:
    return day_text(p.sow, weekday=False)
