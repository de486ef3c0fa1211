"""What becomes of a crop sown on each day of the season: when it is fit, or why it never is.

As the plan itself counts it: with the harvests of a late year where it plans for one, only on days
on which somebody is there, and cleared before a frost where it is tender.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import timedelta
from typing import NamedTuple
from weakref import WeakKeyDictionary

import numpy as np

from sowplan.growth.courses import CourseTable
from sowplan.growth.evolve import evolve
from sowplan.growth.lying import worth_sowing
from sowplan.growth.reasons import day_words
from sowplan.records.garden import Season
from sowplan.season.choices.allowed import allowed_of
from sowplan.season.choices.book import Book, Way
from sowplan.season.choices.instance import BOUGHT, IN_TRAYS
from sowplan.season.choices.options import brought_in, lots_of
from sowplan.season.days import (
    absence_of,
    closed_to_planting,
    days_off,
    planting_days,
    sowing_days,
    why_not_brought_in,
)
from sowplan.season.periods import is_away
from sowplan.site.sky import sky

_WANTED: WeakKeyDictionary[Book, dict[int, Book]] = WeakKeyDictionary()
_KNOWN: WeakKeyDictionary[Book, dict[tuple[int, bool], list[Fate]]] = WeakKeyDictionary()
"""What is known of a book already, as long as there is one: each run of days asks again."""


class Fate(NamedTuple):
    """What becomes of a crop sown on a day: whether anything comes, first and last day, or why not.

    Of several ways to grow it, the quickest that comes to anything; else one raised in a tray, or
    that which comes to something soonest in the season: under a cover, say.
    ``out`` is the day it is planted out, -1 where it is not; ``way`` the number of the way to grow
    it, as `ways_of` has them.
    """

    sow: int
    comes: bool
    ready: int
    over: int
    reason: str
    out: int = -1
    way: int = -1


def ways_of(book: Book, crop: int) -> list[Way]:
    """Return the ways to grow a crop in this garden, whatever covers its settled sowings."""
    return [way for way in book.ways if way.crop == crop and not way.own]


def as_wanted(book: Book, want: int) -> Book:
    """Return a book with those ways to grow a crop, for `fates_of`, that suit one of its wants.

    What another want of the crop may be grown as, bought plants say, is no answer to this one.
    """
    known = _WANTED.setdefault(book, {})
    if want not in known:
        known[want] = _as_wanted(book, want)
    return known[want]


def _as_wanted(book: Book, want: int) -> Book:
    garden = book.garden
    crop = next(crop for crop in book.crops if crop.key == garden.wants[want].crop)
    terms = allowed_of(garden, crop, book.instance.spots).wants[want]
    ways = tuple(
        way
        for way in book.ways
        if book.crops[way.crop] == crop
        and any(terms.admit(group, min(way.tray, IN_TRAYS)) for group in way.groups)
    )
    return replace(book, ways=ways or book.ways)


def fates_of(book: Book, crop: int, always_there: bool = False) -> list[Fate]:
    """Return what becomes of a crop on each of the gardener's sowing days.

    Parameters
    ----------
    book : Book
        The season's courses.
    crop : int
        Number of the crop.
    always_there : bool
        As if nobody ever went away, on the sowing days this would give.
    """
    known = _KNOWN.setdefault(book, {})
    if (crop, always_there) not in known:
        known[crop, always_there] = _fates_of(book, crop, always_there)
    return known[crop, always_there]


def fates_on_any_day(book: Book, crop: int) -> list[Fate]:
    """Return the same of any weekday on which something may be done, be it none of those to sow."""
    season = book.garden.season
    every = tuple(day for day in range(7) if day not in season.never_on)
    return _fates_in(book, crop, replace(season, sow_on=every))


def _fates_of(book: Book, crop: int, always_there: bool) -> list[Fate]:
    season = book.garden.season
    return _fates_in(book, crop, replace(season, away=()) if always_there else season)


def _fates_in(book: Book, crop: int, season: Season) -> list[Fate]:
    """Return what becomes of a crop on the sowing days of a season, the book's or another."""
    days, other = set(book.sow_days), season != book.garden.season
    if other and days:
        open_ = sowing_days(replace(book.garden, season=season), 0)
        days = {day for day in map(book.index, open_) if day >= min(book.sow_days)}
    best: dict[int, tuple[tuple, Fate]] = {}
    for number, way in enumerate(ways_of(book, crop)):
        table = _table(book, way, sorted(days), season) if other else way.courses
        fates = tuple(fates_of_way(book, way, table, season, days))
        opens = min((fate.sow for fate in fates if fate.comes), default=len(book.sky.series))
        for fate in fates:
            good = (False, fate.ready, number)
            rank = good if fate.comes else (True, way.tray < 0, opens, number)
            if fate.sow not in best or rank < best[fate.sow][0]:
                best[fate.sow] = (rank, fate._replace(way=number))
    return [best[day][1] for day in sorted(best)]


def days_before(book: Book, crop: int, days: int, by: int) -> Book:
    """Return a book of one crop's sowings in the last days before the season, for `fates_of`.

    Parameters
    ----------
    book : Book
        The season's courses; its first day is that of the oldest sowing settled in the file.
    crop : int
        Number of the crop.
    days : int
        How many days before the season's first the book begins.
    by : int
        Day of ``book`` until which its sky has to reach, and ``days`` more.
    """
    garden, first = book.garden, book.garden.season.start
    start = first - timedelta(days=days)
    before = replace(garden.season, start=start, end=first - timedelta(days=1))
    sow = tuple((day - start).days for day in sowing_days(replace(garden, season=before), 0))
    reach = (book.day(by) - start).days + days
    outlook = sky(garden.site, garden.climate, start, reach)
    earlier = replace(book, sky=outlook, origin=start, sow_days=sow)
    ways = (
        replace(way, courses=_table(earlier, way, sow, garden.season))
        for way in ways_of(book, crop)
    )
    return replace(earlier, ways=tuple(ways))


def bought_instead(book: Book, crop: int) -> Book | None:
    """Return a book of one crop's plants bought instead of raised, for `fates_of`.

    None where it is bought already, or usually sown where it grows: that is not for sale.
    """
    raised = [way for way in ways_of(book, crop) if way.tray >= IN_TRAYS]
    sold = book.crops[crop].start in ("raised", "either")
    if not (raised and sold) or any(way.tray == BOUGHT for way in ways_of(book, crop)):
        return None
    without = {"tray_temperature_c": None, "tray_dli_mol": None, "bought": True}
    alike = {replace(way.conditions, **without): way for way in raised}
    ways = [replace(way, conditions=kind, tray=BOUGHT) for kind, way in alike.items()]
    days, season = sorted(book.sow_days), book.garden.season
    told = (replace(way, courses=_table(book, way, days, season)) for way in ways)
    return replace(book, ways=tuple(told))


def looked_longer(book: Book, crop: int, days: int) -> Book:
    """Return a book of one crop's sowings whose sky reaches some days further, for `fates_of`."""
    reach = len(book.sky.series) + days
    longer = replace(book, sky=sky(book.garden.site, book.garden.climate, book.origin, reach))
    ways = (
        replace(way, courses=_table(longer, way, sorted(book.sow_days), book.garden.season))
        for way in ways_of(book, crop)
    )
    return replace(longer, ways=tuple(ways))


def fates_of_way(
    book: Book, way: Way, table: CourseTable, season: Season, days: set[int]
) -> Iterator[Fate]:
    """Yield what becomes of a crop grown in one way on each of some days.

    Parameters
    ----------
    book : Book
        The season's courses.
    way : Way
        The way it is grown.
    table : CourseTable
        Its courses: those of ``way``, or of another season.
    season : Season
        With the days on which nobody is there.
    days : set of int
        The sowing days looked at; those closed to what is grown this way are left out.
    """
    crop, series = book.crops[way.crop], book.sky.series
    days = replace(book, garden=replace(book.garden, season=season)).open_to(way, days)
    ready, last, share = lots_of(table, book.safety)
    gone = days_off(season, series.start, len(series))
    gone = np.zeros(len(series), bool) if gone is None else gone
    risk = book.garden.climate.frost_risk
    frosty = np.nonzero(~book.sky.frost.safe(max(0.0, crop.killing_frost_c), risk))[0]
    open_air = crop.tender and way.conditions.in_open
    without = None  # the same, were somebody always there
    for i in range(len(table)):
        sow, out, up = int(table.sow[i]), int(table.planting_out[i]), int(table.emergence[i])
        if sow not in days:
            continue
        reason = table.reason[i]
        if reason:
            if season.away:
                without = without or _table(book, way, table.sow, replace(season, away=()))
                away = _out_while_away(book, season, int(without.planting_out[i]))
                reason = without.reason[i] or away or reason
            yield Fate(sow, False, -1, -1, reason)
            continue
        rows = zip(ready[i], last[i], share[i], strict=True)
        lots = [(int(a), int(b), float(s)) for a, b, s in rows if a >= 0]
        if not lots and (table.lot_ready[i] >= 0).any():
            yield Fate(sow, False, -1, -1, "in a late year it would not be ready in time", out)
            continue
        fit = [day for a, b, _ in brought_in(crop, lots, gone) for day in (a, b)]
        ends = frosty[np.searchsorted(frosty, out if out >= 0 else up) :] if open_air else ()
        ends = int(ends[0]) if len(ends) else len(series)
        if not worth_sowing(crop, way.tray >= 0, up - sow):
            yield Fate(sow, False, -1, -1, "the seed would lie too long in the ground")
        elif not fit:
            why = why_not_brought_in(
                season, book.day(lots[0][0] if lots else table.harvest_start[i])
            )
            yield Fate(sow, False, -1, -1, why, out)
        elif min(fit) >= ends:
            told = f"frost would end it about {day_words(book.day(ends))}, before it is ready"
            yield Fate(sow, False, -1, -1, told, out)
        else:
            yield Fate(sow, True, min(fit), min(max(fit), ends - 1), "", out)


def _table(book: Book, way: Way, sow, season: Season) -> CourseTable:
    """Return the courses of a way to grow a crop, with the days of a season to plant out on."""
    series = book.sky.series
    return evolve(
        book.crops[way.crop], book.sky, np.asarray(sow, np.int64), way.conditions,
        book.garden.climate.frost_risk, planting_days(season, series.start, len(series)),
        absence=absence_of(season, series.start, len(series)),
    )  # fmt: skip


def _out_while_away(book: Book, season: Season, out: int) -> str:
    """Say that it would be planted out in or near days away; empty where it would not."""
    if out < 0 or not is_away(closed_to_planting(season), book.day(out)):
        return ""
    return f"it would be planted out about {day_words(book.day(out))}, in or near the days away"
