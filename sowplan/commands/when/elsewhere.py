"""What would come of a crop otherwise: under a cover, and in every other kind of place."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import date, timedelta
from typing import TYPE_CHECKING, Any

from sowplan.commands.when.grown import Grown, placed, plain_setting, setting
from sowplan.commands.when.table import plain, short
from sowplan.quantity import HARD_SPACE

if TYPE_CHECKING:
    from sowplan.growth.courses import Conditions
    from sowplan.growth.succession import GardenDays, Succession
    from sowplan.quantity import Units
    from sowplan.records.crop import Crop
    from sowplan.site.sky import Sky

_COVERS = {"fleece": "Under fleece", "tunnel": "Under a tunnel", "glass": "Under glass"}
YEAR_DAYS = 365
GAP_DAYS = 21  # so long without is a gap in what is eaten


def under_cover(
    found: Succession, crop: Crop, sky: Sky, conditions: Conditions, risk: float, kept: GardenDays
) -> list[str]:
    """Say which of the sowings that frost takes would live under a cover, the lightest first."""
    from sowplan.growth.reasons import by_cold_outside
    from sowplan.growth.succession import saved_by

    if not any(by_cold_outside(row.course.reason) for row in found.rows):
        return []
    lines, told = [], set()
    for cover, words in _COVERS.items():
        saved = set(saved_by(cover, found, crop, sky, conditions, risk, kept)) - told
        if saved:
            days = [found.rows[i].course.sow for i in sorted(saved)]
            lines.append(
                f"{words} {'also' if told else 'these would live'}: {_spans(days, _step(found))}."
            )
        told |= saved
    return lines or ["No fleece, tunnel or glass would bring the sowings that cold takes through."]


def same_there(alike: Grown, units: Units) -> str:
    """Say in which other places it grows as in the one of the table."""
    return f"In {placed(alike.places, units)} it is the same."


def otherwise(others: Sequence[tuple[Grown, Succession]], asked: Grown, units: Units) -> list[str]:
    """Return what comes of it in other places, and raised otherwise, a line each.

    ``"Wall box: sow 8 Sep to 23 Mar; 60 to 110 days; to eat 20 Nov to 9 Jul"``; how it is raised
    where that is not as it was asked for. Places of which the same is to be said share a line.
    """
    lines: dict[tuple[object, ...], Grown] = {}
    for grown, found in others:
        how = grown.conditions
        words = _summed_up(grown, found)
        alike = (how.raised, how.bought, how.cover, how.indoors_c, how.film, grown.tray, words)
        there = lines[alike].places if alike in lines else ()
        lines[alike] = replace(grown, places=(*there, *grown.places))
    told = []
    for (*_, words), grown in lines.items():
        as_asked = (grown.tray, grown.conditions.raised) == (asked.tray, asked.conditions.raised)
        head = placed(grown.places, units) if as_asked else setting(grown, units)
        told.append(f"{head}: {words}")
    return told


def with_others(
    asked: Grown, found: Succession, others: Sequence[tuple[Grown, Succession]]
) -> list[dict[str, Any]]:
    """Return the rows as JSON holds them, each with where it grows and what else would come of it.

    ``places`` are all in which it grows just so; ``otherwise`` has what a sowing on that day
    comes to in every other place, and raised otherwise.
    """
    alike = [way.places for way, _ in others if way.conditions == asked.conditions]
    here = replace(asked, places=(*asked.places, *(place for some in alike for place in some)))
    different = [(way, there) for way, there in others if way.conditions != asked.conditions]
    return [
        {
            **plain(row),
            **plain_setting(here),
            "otherwise": [
                {**plain_setting(way), **plain(there.rows[n])} for way, there in different
            ],
        }
        for n, row in enumerate(found.rows)
    ]


def _summed_up(grown: Grown, found: Succession) -> str:
    """Return a year of sowings in short: when to sow, how long it takes, when it is eaten."""
    rows = [row for row in found.rows if row.course.feasible]
    if not rows:
        return f"no sowing comes to a harvest{_mostly(found)}"
    sown = _spans([row.course.sow for row in rows], _step(found), round_=True)
    days = [row.days for row in rows if row.days is not None]
    fit = {
        lot.ready + timedelta(days=n)
        for row in rows
        for lot in row.course.lots
        for n in range((lot.last - lot.ready).days + 1)
    }
    start = found.rows[0].course.sow
    there = sorted({start + timedelta(days=(day - start).days % YEAR_DAYS) for day in fit})
    eaten = _spans(there, max(GAP_DAYS, _step(found)), round_=True)
    took = f"{min(days)}" if min(days) == max(days) else f"{min(days)} to {max(days)}"
    verb = "plant" if grown.conditions.bought else "sow"
    return f"{verb} {sown}; {took} days; to eat {eaten}"


def _mostly(found: Succession) -> str:
    """Return what stands in the way of most sowings, where it is the same for each of them."""
    from sowplan.growth.reasons import without_dates

    reasons = Counter(row.course.reason for row in found.rows)
    ((reason, _),) = reasons.most_common(1)
    return f": {reason}" if reason == without_dates(reason) else ""


def _step(found: Succession) -> int:
    """Return the days from one row to the next, a week at the least."""
    first = [row.course.sow for row in found.rows[:2]]
    return max(7, (first[-1] - first[0]).days)


def _spans(days: Sequence[date], step: int, round_: bool = False) -> str:
    """Return runs of days as dates: ``"9 Mar; 23 Mar to 6 Apr"``.

    Days up to ``step`` apart are of one run. With ``round_`` they are of a whole year, of which
    the last run may go on in the first: ``"all year"``.
    """
    runs: list[list[date]] = []
    for day in days:
        if runs and (day - runs[-1][-1]).days <= step:
            runs[-1].append(day)
        else:
            runs.append([day])
    if round_ and (runs[0][0] + timedelta(days=YEAR_DAYS) - runs[-1][-1]).days <= step:
        if len(runs) == 1:
            return "all year"
        runs = [[*runs[-1], *runs[0]], *runs[1:-1]]
    return "; ".join(_span(run) for run in runs)


def _span(run: Iterable[date]) -> str:
    first, *_, last = [short(day).strip().replace(" ", HARD_SPACE) for day in run] * 2
    return first if first == last else f"{first} to {last}"
