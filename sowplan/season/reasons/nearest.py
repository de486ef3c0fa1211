"""Of sowings that come to nothing, the one that came nearest to serving some days, and its end.

A sowing that is planted and grows came nearer than one whose seed lies too cold, whatever way it is
grown; of those ended by frost the one that lacked the fewest days, of seedlings that outgrow their
cells the one that would have had the shortest wait.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from typing import NamedTuple

import numpy as np

from sowplan.growth.evolve import evolve
from sowplan.growth.reasons import without_dates
from sowplan.season.choices.book import Book, Way
from sowplan.season.choices.even_so import safe_days
from sowplan.season.days import planting_days
from sowplan.season.reasons.fates import Fate, fates_of_way, looked_longer, ways_of

HARDY_C = -90.0
"""No frost kills what bears so much: a crop as it would do but for frost."""
UNKNOWN_DAYS = 366
"""What lacks nobody knows how many days lacks more than what is known."""

LAST_DAY, FURTHER_DAYS = "the last day looked at", 182

_STAGES = (
    (0, ("nobody is there", "the days away", "nothing is done on")),
    (1, ("ground is frozen", "for the seed", "lie too long")),
    (2, ("the seedlings",)),
    (3, ("outgrow its cell", "no time to plant it out", "cold outside", "to plant it out")),
    (3, (LAST_DAY,)),
)
_GROWS = 4


class Attempt(NamedTuple):
    """A sowing that came to nothing: how far in its life it came, and what it lacked [days]."""

    fate: Fate
    stage: int
    short_days: int
    way: int


def nearest(book: Book, crop: int, start: int, end: int) -> tuple[Fate, Fate | None] | None:
    """Return the sowing that came nearest to serving days ``start`` to ``end``, of all ways.

    Beside it, of sowings made before it in the same way, the last that did not come as far. None
    where there is no sowing that tells why nothing comes of it.
    """
    tries = list(_attempts(book, crop, start, end))
    if any(LAST_DAY in attempt.fate.reason for attempt in tries):
        # What would end it comes after the days a season looks at.
        tries = list(_attempts(looked_longer(book, crop, FURTHER_DAYS), crop, start, end)) or tries
    if not tries:
        return None
    far = max(attempt.stage for attempt in tries)
    mine = [attempt for attempt in tries if attempt.stage == far]
    least = min(attempt.short_days for attempt in mine)
    mine = [attempt for attempt in mine if attempt.short_days == least]
    many = Counter(without_dates(attempt.fate.reason) for attempt in mine)
    most = many.most_common(1)[0][0]
    mine = sorted(
        (attempt for attempt in mine if without_dates(attempt.fate.reason) == most),
        key=lambda attempt: (attempt.way, attempt.fate.sow),
    )
    best = mine[len(mine) // 2] if least == UNKNOWN_DAYS else mine[0]
    before = [
        attempt for attempt in tries if attempt.way == best.way and attempt.fate.sow < best.fate.sow
    ]
    last = max(before, key=lambda attempt: attempt.fate.sow, default=None)
    return best.fate, last.fate if last and 0 < last.stage < far else None


def _attempts(book: Book, crop: int, start: int, end: int) -> Iterator[Attempt]:
    days = set(book.sow_days)
    for number, way in enumerate(ways_of(book, crop)):
        table = way.courses
        rows = {int(sow): row for row, sow in enumerate(table.sow)}
        unkilled: dict[int, int] | None = None
        for fate in fates_of_way(book, way, table, book.garden.season, days):
            if fate.comes or not fate.reason or fate.sow > end:
                continue
            stage, row, short = _stage(fate.reason), rows[fate.sow], UNKNOWN_DAYS
            if "would kill it about" in fate.reason:
                unkilled = _ready_but_for_frost(book, way) if unkilled is None else unkilled
                stands = max(int(table.planting_out[row]), int(table.emergence[row]))
                killed, ready = _killed(book, way, stands), unkilled[fate.sow]
                short = _days_short(ready, killed, start, end)
                if ready < 0:  # the one that stood the longest
                    short = UNKNOWN_DAYS - min(killed - stands, UNKNOWN_DAYS - 1)
            elif "outgrow its cell" in fate.reason:
                short = int(table.fit_day[row]) - int(table.large_enough[row])
            yield Attempt(fate, stage, short, number)


def _stage(reason: str) -> int:
    """Return how far in its life a sowing comes before what ends it."""
    named = (stage for stage, words in _STAGES if any(word in reason for word in words))
    return next(named, _GROWS)


def _days_short(ready: int, killed: int, start: int, end: int) -> int:
    """Return by how many days frost came too early for a sowing to serve some days.

    One that would be ready only after them even without frost lacks those days besides.
    """
    return max(ready, start) - killed + max(0, ready - end)


def _ready_but_for_frost(book: Book, way: Way) -> dict[int, int]:
    """Return by sowing day when a crop would be ready, planted out as it is, were there no frost.

    -1 where something else would end it.
    """
    series, season = book.sky.series, book.garden.season
    crop, risk = book.crops[way.crop], book.garden.climate.frost_risk
    out_days = _safe(book, way)
    open_ = planting_days(season, series.start, len(series))
    out_days = out_days if open_ is None else out_days & open_
    hardy = replace(crop, killing_frost_c=HARDY_C)
    table = evolve(hardy, book.sky, np.asarray(way.courses.sow), way.conditions, risk, out_days)
    return dict(zip(table.sow.tolist(), table.harvest_start.tolist(), strict=True))


def _killed(book: Book, way: Way, stands: int) -> int:
    """Return the first day from one on with a killing frost, in the share of years risked."""
    unsafe = np.nonzero(~_safe(book, way)[stands:])[0]
    return stands + int(unsafe[0]) if len(unsafe) else len(book.sky.series)


def _safe(book: Book, way: Way):
    """Return by day whether no frost would kill the crop where it grows."""
    crop, risk = book.crops[way.crop], book.garden.climate.frost_risk
    return safe_days(crop, way, book.sky.frost, risk, len(book.sky.series))
