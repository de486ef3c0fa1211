"""What stands: watched while frost can kill it, and cleared away at its end."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta

from sowplan.season.plan import SkyDay
from sowplan.supply.advice import how_to_clear
from sowplan.supply.ground import Ground
from sowplan.supply.task import Task, job
from sowplan.supply.wording import day_text, one_line
from sowplan.supply.workdays import Workdays, days

FROST_WATCH = 0.02
"""Frost chance, one year in 50, from which fleece is kept at hand for tender plants.
The plan itself stays below the gardener's own risk; this is for the nights that remain."""

FROST_LIKELY = 0.5
"""Frost chance from which to expect it on a day."""

FLEECE_READY_DAYS = 6  # so long before the first cold night the fleece may be laid ready
CLEAR_WITHIN_DAYS = 14  # a spent crop may stand so long where nothing needs its ground
# Both: common practice, no source.


def clear(ground: Ground, spent: date, needed: date | None, workdays: Workdays) -> Task:
    """Return the clearing of a planting.

    It is on the day on which the ground is filled again, before that work, where that day is a
    working day and soon; otherwise on the first working day, and at the latest on that day.

    Parameters
    ----------
    ground : Ground
        The planting's.
    spent : date
        The first day on which all that is wanted of it is brought in.
    needed : date or None
        The day on which the next planting comes onto its ground.
    workdays : Workdays
        The gardener's days.
    """
    p = ground.planting
    until = workdays.there_again(max(p.cleared, spent) + timedelta(days=CLEAR_WITHIN_DAYS))
    soon = needed is not None and needed <= until
    until = needed if soon else until
    first = min(spent, until)
    good = workdays.within(first, until)
    if soon and (until in good or not good):
        day = until
    else:
        day = workdays.earliest(first, until, min(p.last_day + timedelta(days=1), until))
    details = [
        f"Take the {p.cover} off." if p.cover != "none" else "",
        how_to_clear(ground.crop),
        _again(day, needed),
    ]
    title = f"Clear {one_line(ground.crop.name)}: {ground.short}"
    return job(ground, "clear", day, until, title, details)


def _again(day: date, needed: date | None) -> str:
    if needed is None:
        return ""
    if needed == day:
        return "The ground is filled again the same day."
    return f"The ground is needed again on {day_text(needed)}."


def protect(
    ground: Ground, start: date, sky: tuple[SkyDay, ...], workdays: Workdays
) -> Iterator[Task]:
    """Keep fleece at hand while a tender crop stands out and frost is still, or again, possible.

    A watch in the first half of the stay is number 1, one in the second half number 2,
    so that neither changes its name when the other comes or goes.
    """
    p, crop = ground.planting, ground.crop
    over = p.cover if p.cover != "none" else ground.place.cover
    if not crop.tender or over == "glass" or ground.place.indoors is not None:
        return
    cold = [d for d in sky if start <= d.day < p.cleared and d.frost_chance >= FROST_WATCH]
    middle = start + (p.cleared - start) / 2
    for number, half in (
        (1, [d for d in cold if d.day < middle]),
        (2, [d for d in cold if d.day >= middle]),
    ):
        if not half:
            continue
        first, last = half[0].day, half[-1].day
        ready = max(start, first - timedelta(days=FLEECE_READY_DAYS))
        day = _somebody_there(workdays.latest(ready, first, first), sky[0].day, workdays)
        cover = {
            "none": "Cover with frost fleece in the evening, off again in the morning.",
            "fleece": "See that the fleece reaches the ground all round.",
        }.get(over, "Shut the tunnel in the evening, and lay fleece inside.")
        details = [
            f"{ground.short}.",
            _how_likely(half),
            cover,
            _unwatched(first, last, over, workdays),
        ]
        title = f"Frost watch {one_line(crop.name)}: {one_line(ground.place.name)}"
        yield job(ground, "protect", day, last, title, details, number=number)


def _how_likely(cold: list[SkyDay]) -> str:
    """Return how likely frost is on some days; likely only of what stands out in it even so."""
    when = f"from {day_text(cold[0].day)} to {day_text(cold[-1].day)}"
    if max(day.frost_chance for day in cold) >= FROST_LIKELY:
        return (
            f"Frost kills these plants, and is likely {when}: cover them each clear, still night."
        )
    return (
        f"Frost kills these plants. It is unlikely but possible {when}: watch the local forecast."
    )


def _somebody_there(day: date, begin: date, workdays: Workdays) -> date:
    """Return a day, or the last before it on which somebody is there to lay the fleece.

    Where there is none from the season's first day on, the first after it.
    """
    before = workdays.there_before(day)
    return before if before >= begin else workdays.there_again(day)


def _unwatched(first: date, last: date, cover: str, workdays: Workdays) -> str:
    """Return what to do about nights after days on which nobody is there; fleece already lies."""
    if cover == "fleece" or not any(workdays.is_away(day) for day in days(first, last)):
        return ""
    return "Before days on which nobody is there, leave it covered if cold nights are forecast."
