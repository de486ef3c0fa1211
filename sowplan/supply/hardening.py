"""Hardening off: a week in which seedlings get used to the open, before they are planted out."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date, timedelta

from sowplan.supply.advice import bound_to_fail
from sowplan.supply.ground import Ground
from sowplan.supply.task import Task, job
from sowplan.supply.wording import (
    WEEKDAYS,
    day_text,
    days_text,
    join_words,
    one_line,
    stations_text,
)
from sowplan.supply.workdays import Workdays

# Common practice, no source.
HARDEN_DAYS = 7
HARDEN_DAYS_FEWEST, HARDEN_DAYS_MOST = 5, 10
HARDEN_DAYS_UNDER_COVER = 3  # a tunnel or glass is a half-way house by itself
HARDEN_DAYS_UNDER_COVER_FEWEST, HARDEN_DAYS_UNDER_COVER_MOST = 2, 7


def harden_off(ground: Ground, out: date | None, workdays: Workdays) -> Iterator[Task]:
    """Yield the job of hardening off what is planted out on a day, where it needs it."""
    p = ground.planting
    if out is None:
        return
    begins = _begins(ground, out, workdays)
    if begins is None:
        return
    day = workdays.nearest(*begins)
    frost = "Bring them in when frost is forecast." if ground.crop.tender else ""
    how = [
        "Out in shelter for some hours on the first day, longer each day, all night at the end.",
        frost,
        *_left_alone(day, out - timedelta(days=1), workdays),
        bound_to_fail(p),
    ]
    details = hardened([(ground, out)], how)
    title = f"Harden off {one_line(ground.crop.name)} until {day_text(out)}"
    until = out - timedelta(days=1)
    yield job(ground, "harden off", day, until, title, details, place=p.tray or "")


def hardened(sown: Sequence[tuple[Ground, date]], how: Sequence[str]) -> list[str]:
    """Return what is said of hardening off one crop of one tray, in however many strips it will be.

    ``how`` it is done stands between how many there are and where they go.
    """
    first, out = sown[0]
    plants = sum(ground.planting.plants for ground, _ in sown)
    number = stations_text(plants, first.crop.plants_per_cell)
    many = len(sown) > 1
    goes = [f"{g.planting.plants} to {g.short}" if many else g.short for g, _ in sown]
    return [
        f"{number} from {one_line(first.planting.tray or 'the tray')}.",
        *how,
        f"Planting out {day_text(out)}: {'; '.join(goes)}.",
    ]


def _left_alone(first: date, last: date, workdays: Workdays) -> list[str]:
    """Return what to do where nobody is there on some days of a job that is work on each."""
    words = []
    for gone, back in sorted(workdays.away):
        if gone <= last and first <= back:
            after = ", and go on after" if back < last else ""
            when = days_text(max(first, gone), min(last, back))
            words.append(
                f"Nobody is there {when}: leave them where they were raised in those days{after}."
            )
    return words + _off_days(first, last, workdays)


def _off_days(first: date, last: date, workdays: Workdays) -> list[str]:
    """Return what to do on the weekdays on which nothing is done, where the job has such days."""
    met = {(first + timedelta(days=n)).weekday() for n in range((last - first).days + 1)}
    off = [f"{WEEKDAYS[day]}s" for day in workdays.never_on if day in met]
    return [f"On {join_words(off)} they stay where they were raised."] if off else []


def _begins(ground: Ground, out: date, workdays: Workdays) -> tuple[date, date, date] | None:
    """Return the earliest, the latest and the usual day to begin hardening off; None for none.

    What stays indoors needs none. Days on which nobody is there to take the seedlings out do not
    count. A time away lies between only where too few days are left after it.
    """
    if ground.place.indoors is not None:
        return None
    most, usual, fewest = HARDEN_DAYS_MOST, HARDEN_DAYS, HARDEN_DAYS_FEWEST
    if ground.place.cover in ("tunnel", "glass"):
        most, usual, fewest = (
            HARDEN_DAYS_UNDER_COVER_MOST,
            HARDEN_DAYS_UNDER_COVER,
            HARDEN_DAYS_UNDER_COVER_FEWEST,
        )
    there: list[date] = []
    day = out - timedelta(days=1)
    while len(there) < most and day > ground.planting.emergence:
        if not workdays.is_away(day):
            there.append(day)
        elif len(there) >= fewest and day.weekday() not in workdays.never_on:
            break
        day -= timedelta(days=1)
    if not there:
        return None
    first, last, begin = (there[min(many, len(there)) - 1] for many in (most, fewest, usual))
    return first, last, begin
