"""What a season leaves out because it begins when it does: what would be sown before its start."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray

from sowplan.growth.courses import SMALL_SIZE
from sowplan.records.crop import Crop
from sowplan.records.garden import FixedSowing, Garden, Season, Want
from sowplan.season.choices.book import Book
from sowplan.season.choices.candidates import book_of
from sowplan.season.choices.instance import NEVER, CropCase, Options

DAY = timedelta(days=1)
SOONER_DAYS = 305
"""So much sooner a season is taken to begin at the most: ten months. Nothing in the crop table
stands longer before it is fit than garlic, set in September and lifted in July (practice)."""
TOLD_DAYS = 366
"""What is wanted later after a season's first day than this is not looked at."""


@dataclass(frozen=True)
class LeftOut:
    """Times of a want that only sowings before the season could serve, or serve in full size.

    Parameters
    ----------
    crop : str
        Key of the crop.
    first, last : date
        First day of the first such time, last day of the last.
    sow : date
        Sown by this day, each of them could be served.
    small : bool
        Whether bulbs set in the season come in time as well, but small.
    """

    crop: str
    first: date
    last: date
    sow: date
    small: bool = False


def left_out(
    garden: Garden,
    crops: dict[str, Crop],
    season: Season,
    wants: Sequence[Want],
    standing: Sequence[FixedSowing],
    earliest: date,
    safety: float = 0.5,
) -> tuple[LeftOut, ...]:
    """Return what is wanted early in a season and would have to be sown before it begins.

    What stands on its first day is reckoned to serve what it can. Room is not weighed.

    Parameters
    ----------
    garden : Garden
        The garden.
    crops : dict of str to Crop
        The crop table.
    season : Season
        The season.
    wants : sequence of Want
        What is wanted in it.
    standing : sequence of FixedSowing
        What stands when it begins.
    earliest : date
        The first day on which a season could begin instead.
    safety : float
        As for `sowplan.season.planner.make_plan`.
    """
    first = max(earliest, season.start - SOONER_DAYS * DAY)
    soon = tuple(w for w in wants if w.start < season.start + SOONER_DAYS * DAY)
    if first >= season.start or not soon:
        return ()
    end = max(season.start, min(season.end, season.start + TOLD_DAYS * DAY))
    soon = tuple(replace(w, end=min(w.end, end)) for w in soon)
    here = tuple(s for s in standing if any(w.crop == s.crop for w in soon))
    begun = replace(season, start=first, end=end)
    book = book_of(replace(garden, season=begun, wants=soon, sowings=here), crops, safety)
    found = []
    begin = book.index(season.start)
    for number, (case, crop) in enumerate(zip(book.instance.crops, book.crops, strict=True)):
        times = _only_before(case, _sizes(book, crop, case.options), begin)
        if times:
            last = max(b for _, b, _ in times)
            found.append(
                LeftOut(
                    crop.key,
                    book.day(min(a for a, _, _ in times)),
                    book.day(last),
                    book.day(min(sow for _, _, sow in times)),
                    crop.bolt_effect == "bulbs" and _grows_later(book, number, begin, last),
                )
            )
    return tuple(found)


def _sizes(book: Book, crop: Crop, options: Options) -> NDArray[np.float64]:
    """Return the weight of what each option grows against its usual one, as far as it counts.

    Bulbs set late stay small for good. Leaf that is cut young is none the worse.
    """
    if crop.bolt_effect != "bulbs":
        return np.ones(len(options))
    numbers, back = np.unique(options.course, return_inverse=True)
    courses = [book.course(number) for number in numbers.tolist()]
    return np.array([way.courses.size[row] for way, row in courses], float)[back]


def _only_before(
    case: CropCase, sizes: NDArray[np.float64], begin: int
) -> list[tuple[int, int, int]]:
    """Return first and last day of each period served in full size by sowings before a day alone.

    And the latest day on which what serves it so is sown. What stands there serves as well, and
    such a period is not told.
    """
    found, options = [], case.options
    lots = options.lot_option
    fit = options.lot_ready < NEVER
    sow, size = options.sow[lots], sizes[lots]
    stands = options.fixed[lots] >= 0
    for start, last in zip(case.periods.start.tolist(), case.periods.end.tolist(), strict=True):
        serves = fit & (options.lot_ready <= last) & (options.lot_expiry >= start)
        if not np.any(serves) or np.any(serves & stands):
            continue
        full = serves & (size >= SMALL_SIZE * size[serves].max())
        if not np.any(full & (sow >= begin)):
            found.append((start, last, int(sow[full].max())))
    return found


def _grows_later(book: Book, number: int, begin: int, last: int) -> bool:
    """Return whether anything of a crop that is sown from a day on is fit by another."""
    tables = (way.courses for way in book.ways if way.crop == number and not way.own)
    return any(
        np.any(t.feasible & (t.sow >= begin) & (t.harvest_start <= last)).item() for t in tables
    )
