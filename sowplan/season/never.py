"""Why no sowing of a season could serve some days: what cold, heat, light or calendar forbid."""

from __future__ import annotations

from collections import Counter
from datetime import timedelta
from typing import NamedTuple

import numpy as np

from sowplan.growth.evolve import evolve
from sowplan.growth.reasons import day_words, without_dates
from sowplan.season.book import Book, Way
from sowplan.season.plan import labelled
from sowplan.site.sky import sky

EARLIER_DAYS = 91
"""How long before the season sowings are looked at that would have been in time."""
SHORT_DAY_H = 11.0
"""Growth in days shorter than this on the mean is held up by them (common practice, no source)."""
SLOWER = 1.3
"""A sowing that takes so many times as long as the quickest is held up by something."""

_LABELS = (
    ("no bulb forms", "short days"),
    ("days longer", "long days"),
    ("after the cold of winter", "bolting"),
    ("frost", "frost"),
    ("a night of", "cold"),
    ("cold nights", "cold"),
    ("too hot", "heat"),
    ("heat", "heat"),
    ("cold and short days", "cold and short days"),
    ("too cold", "cold"),
    ("no time to plant it out", "cold"),
    ("not ready by", "too late"),
)


class Row(NamedTuple):
    """What becomes of a crop sown on a day: whether anything comes, first and last day, or why not.

    Of several ways to grow it, the quickest that comes to anything; else the one raised in a tray.
    """

    sow: int
    comes: bool
    ready: int
    over: int
    reason: str


def label_of(reason: str) -> str:
    """Return a growth reason in a word or two: ``"frost"``, ``"short days"``."""
    return next((label for words, label in _LABELS if words in reason), "the season")


def rows_of(book: Book, crop: int) -> list[Row]:
    """Return what becomes of a crop on each of the gardener's sowing days."""
    days = set(book.sow_days)
    best: dict[int, tuple[tuple, Row]] = {}
    for number, way in enumerate(_first_ways(book, crop)):
        table = way.courses
        for i in range(len(table)):
            day = int(table.sow[i])
            if day not in days:
                continue
            ready, over = int(table.harvest_start[i]), int(table.harvest_end[i])
            row = Row(day, bool(table.feasible[i]), ready, over, table.reason[i])
            rank = (not row.comes, ready if row.comes else way.tray < 0, number)
            if day not in best or rank < best[day][0]:
                best[day] = (rank, row)
    return [best[day][1] for day in sorted(best)]


def _first_ways(book: Book, crop: int) -> list[Way]:
    return [way for way in book.ways if way.crop == crop]


def never(book: Book, crop: int, start: int, end: int) -> str:
    """Say why no sowing of the season is fit to harvest from day ``start`` to day ``end``."""
    name = book.crops[crop].name
    if not _first_ways(book, crop):
        raised = book.crops[crop].start == "raised" and not book.trays
        if raised:
            return labelled("no tray", "it is raised before planting out, and there is no tray")
        return labelled("no place", f"no place here suits {name}")
    # In a season of a year and more, what is sown after these days cannot serve them.
    rows = [row for row in rows_of(book, crop) if row.sow <= end]
    good = [row for row in rows if row.comes]
    if not good:
        in_time = [row for row in rows if row.sow <= start]
        return _nothing_comes(book, in_time or rows, end)
    if min(row.ready for row in good) > end:
        return _too_early(book, crop, rows, good, start)
    return _between(book, crop, rows, good, start, end)


def _nothing_comes(book: Book, rows: list[Row], end: int) -> str:
    """Say why no sowing comes to anything: the reason of most, that of the day nearest success."""
    told = [row.reason for row in rows if row.sow <= end and row.reason]
    if not told:
        return labelled("too late", "no sowing day of the season is in time")
    most = Counter(without_dates(reason) for reason in told).most_common(1)[0][0]
    mine = [row for row in rows if without_dates(row.reason) == most]
    middle = mine[len(mine) // 2]
    sown = f"sown on {day_words(book.day(middle.sow))}, "
    dated = without_dates(middle.reason) != middle.reason
    return labelled(label_of(most), f"{sown if dated else ''}{middle.reason}")


def _too_early(book: Book, crop: int, rows: list[Row], good: list[Row], start: int) -> str:
    """Say when the first sowing of the season is ready, and what keeps earlier ones back."""
    first = min(row.ready for row in good)
    opens, ready = (_day(book, day, start) for day in (rows[0].sow, first))
    words = f"nothing sown from {opens} on is ready before {ready}"
    early = [row for row in rows if row.sow < good[0].sow and row.reason]
    if early:
        to = _day(book, good[0].sow, start)
        return labelled("too early", f"{words}; sown before {to}: {early[0].reason}")
    before = _before_season(book, crop, start)
    if before is not None:
        by = day_words(book.day(start))
        sown = _day(book, before, start)
        words += f"; for {by} it would be sown by {sown}, before the season begins"
    return labelled("too early", words)


def _day(book: Book, day: int, asked: int) -> str:
    """Return a day in words, with its year where that is not the year of the days asked for."""
    told = book.day(day)
    same = told.year == book.day(asked).year
    return day_words(told) if same else f"{day_words(told)} {told.year}"


def _before_season(book: Book, crop: int, by: int) -> int | None:
    """Return the last day before the season from which a harvest comes by a day, if any does."""
    start = book.origin - timedelta(days=EARLIER_DAYS)
    garden = book.garden
    outlook = sky(garden.site, garden.climate, start, by + 2 * EARLIER_DAYS)
    found = -1
    for way in _first_ways(book, crop):
        table = evolve(
            book.crops[crop], outlook, np.arange(EARLIER_DAYS), way.conditions,
            garden.climate.frost_risk,
        )  # fmt: skip
        in_time = table.feasible & (table.harvest_start <= by + EARLIER_DAYS)
        found = max(found, int(np.nonzero(in_time)[0].max(initial=-1)))
    return found - EARLIER_DAYS if found >= 0 else None


def _between(book: Book, crop: int, rows, good, start: int, end: int) -> str:
    """Say why harvests stop before some days, and begin again after them, if they do."""
    keeps = int(book.crops[crop].keeps_days)
    over = [row for row in good if row.over + keeps < start]
    later = [row for row in good if row.ready > end]
    parts, label = [], ""
    if over:
        last = max(over, key=lambda row: (row.over, row.sow))
        by, gone = (_day(book, day, start) for day in (last.sow, last.over))
        parts.append(f"what is sown by {by} is over by {gone}")
    opens = max((row.sow for row in over), default=rows[0].sow - 1)
    held = [row for row in rows if opens < row.sow <= end and not row.comes and row.reason]
    if held:
        most = Counter(without_dates(row.reason) for row in held).most_common(1)[0][0]
        mine = [row for row in held if without_dates(row.reason) == most]
        label = label_of(most)
        parts.append(f"sown on {_day(book, mine[0].sow, start)}, {mine[0].reason}")
    if later:
        row = min(later, key=lambda row: (row.ready, row.sow))
        label = label or slow_label(book, good, row)
        from_, ready = (_day(book, d, start) for d in (min(r.sow for r in later), row.ready))
        parts.append(f"nothing sown from {from_} on is ready before {ready}")
    if not parts:
        return _nothing_comes(book, rows, end)
    return labelled(label or "too late", "; ".join(parts))


def slow_label(book: Book, good: list[Row], row: Row) -> str:
    """Return what holds a sowing up; empty where it takes hardly longer than the quickest."""
    quickest = min(other.ready - other.sow for other in good)
    if row.ready - row.sow < SLOWER * quickest:
        return ""
    hours = float(book.sky.series.daylength[row.sow : row.ready + 1].mean())
    return "short days" if hours < SHORT_DAY_H else "cold"
