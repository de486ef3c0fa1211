"""Sowings to come on the days the old plan has for them, where the garden file has other ones now.

Of what may be sown, planted out and cleared, the instance has what the garden file's own days and
wants call for. Another day to plant out on, or another span of a want, is no reason to do
otherwise what was planned: so each batch to come may still go out and be cleared when it was to,
as long as somebody is there on those days and the crop can be.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from sowplan.growth.courses import CourseTable
from sowplan.growth.evolve import evolve
from sowplan.season.choices.book import ROWS, Book, Way
from sowplan.season.choices.options import LEAST_HARVEST_DAYS, brought_in, last_there, lots_of
from sowplan.season.days import absence_of, days_off, planting_days
from sowplan.season.revise.changes import SAME_DAYS
from sowplan.season.revise.kept import Future, of_its_days
from sowplan.season.revise.so_far import with_options

OVER_DAYS = 7
"""What is over may stand so many days longer, where it is not harvested on every day: until the
day planned for clearing it (common practice, no source)."""


def with_own_days(book: Book, futures: Sequence[Future]) -> Book:
    """Return a book in which batches to come may be sown, planted out and cleared as planned.

    Parameters
    ----------
    book : Book
        The rest of the season, as the garden file now has it.
    futures : sequence of Future
        What was still to be sown. Whose sowing day is none any more, or whose place, tray or way
        to be raised, gets no option; whose day to be planted out is none, or too early or late as
        it now grows, gets one with the garden file's own; its day of clearing is the nearest to
        that planned on which it can be cleared.
    """
    for number in range(len(book.crops)):
        lacking = [
            future
            for future, options in zip(futures, of_its_days(book.instance, futures), strict=True)
            if future.crop == number and not options
        ]
        by_way: dict[int, list[Future]] = {}
        for future in lacking:
            way = _way_of(book, future)
            if way is not None:
                by_way.setdefault(way, []).append(future)
        for way, mine in by_way.items():
            book = _with_options(book, way, mine)
    return book


def _way_of(book: Book, future: Future) -> int | None:
    """Return the number of the way in which a batch may still be grown; None where in none."""
    if future.spot is None or future.tray is None:
        return None
    group = book.instance.spots[future.spot].group
    own = 0 <= future.fixed < len(book.garden.sowings)
    cover = book.garden.sowings[future.fixed].cover if own else "none"
    for number, way in enumerate(book.ways):
        same = (way.crop, way.tray) == (future.crop, future.group) and way.is_of(cover)
        if same and group in way.groups:
            open_ = future.fixed >= 0 or future.sow in book.open_to(way, book.sow_days)
            return number if open_ and future.sow in way.courses.sow else None
    return None


def _with_options(book: Book, number: int, futures: Sequence[Future]) -> Book:
    """Return a book with an option for each batch, all of one crop and grown in one way."""
    way = book.ways[number]
    rows, lots = [], []
    for table, mine in _tables(book, way, futures):
        if table is not way.courses:
            book = replace(book, ways=(*book.ways, replace(way, courses=table)))
        at = number if table is way.courses else len(book.ways) - 1
        for future in mine:
            row = int(np.nonzero(table.sow == future.sow)[0][0])
            made = _option(book, future, book.ways[at], row)
            if made is not None:
                clear, own = made
                raised = way.tray >= 0
                into = int(table.planting_out[row]) if raised else future.sow
                group = book.instance.spots[future.spot].group
                course = at * ROWS + row
                rows.append((future.sow, into, clear, group, way.tray, course, future.fixed))
                lots.append(own)
    case = with_options(book.instance.crops[way.crop], rows, lots)
    crops = (*book.instance.crops[: way.crop], case, *book.instance.crops[way.crop + 1 :])
    return replace(book, instance=replace(book.instance, crops=crops))


def _tables(
    book: Book, way: Way, futures: Sequence[Future]
) -> list[tuple[CourseTable, list[Future]]]:
    """Return how batches grow, each planted out on its own day where it can be.

    Those that can are found together as far as may be: a batch goes out on the first day open to
    it, so mostly no other's day comes in between.
    """
    courses, found = way.courses, []
    row_of = {int(day): row for row, day in enumerate(courses.sow)}
    season, series = book.garden.season, book.sky.series
    open_ = planting_days(season, series.start, len(series))

    def moves(future: Future) -> bool:
        """Whether it would be planted out on another day than its own, which is still open."""
        out = courses.planting_out[row_of[future.sow]]
        return way.tray >= 0 and out != future.into and (open_ is None or open_[future.into])

    own = [future for future in futures if moves(future)]
    by_rule = [future for future in futures if not moves(future)]
    together = True
    while own:
        some = own if together else own[:1]
        table = _out_on(book, way, some)
        rows = {int(day): row for row, day in enumerate(table.sow)}
        fit = [future for future in some if table.planting_out[rows[future.sow]] == future.into]
        if fit:
            found.append((table, fit))
        left = [future for future in own if future not in fit]
        if not together:
            by_rule += [future for future in some if future not in fit]
            left = [future for future in left if future not in some]
        own, together = left, False
    return [*found, *([(courses, by_rule)] if by_rule else [])]


def _out_on(book: Book, way: Way, futures: Sequence[Future]) -> CourseTable:
    """Return how batches grow where only their own days are open to be planted out on."""
    season, series = book.garden.season, book.sky.series
    days = np.zeros(len(series), bool)
    days[[future.into for future in futures]] = True
    return evolve(
        book.crops[way.crop],
        book.sky,
        sorted({future.sow for future in futures}),
        way.conditions,
        book.garden.climate.frost_risk,
        days,
        absence=absence_of(season, series.start, len(series)),
    )


def _option(
    book: Book, future: Future, way: Way, row: int
) -> tuple[int, list[tuple[int, int, int, float]]] | None:
    """Return the day of clearing and the lots of a batch; None where nothing comes of it."""
    crop, table = book.crops[way.crop], way.courses
    if not table.feasible[row]:
        return None
    columns = zip(*(column[row] for column in lots_of(table, book.safety)), strict=True)
    lots = [(int(a), int(b), float(share)) for a, b, share in columns if a >= 0]
    off = days_off(book.garden.season, book.sky.series.start, len(book.sky.series))
    if off is not None:
        lots = brought_in(crop, lots, off)
    if not lots:
        return None
    first, over = lots[0][0], max(b for _, b, _ in lots) + 1
    limit = over + (SAME_DAYS if off is None else OVER_DAYS)
    if crop.tender and way.conditions.in_open:  # it leaves the open before any frost at all
        frosty = np.nonzero(~book.sky.frost.safe(max(0.0, crop.killing_frost_c), _risk(book)))[0]
        outside = int(table.planting_out[row] if way.tray >= 0 else table.emergence[row])
        limit = min([limit, *frosty[frosty >= outside][:1].tolist()])
    clear = min(max(future.clear, min(first + LEAST_HARVEST_DAYS, over)), limit)
    if future.clear > first:
        clear = min(future.clear, limit)
    if clear <= first:
        return None
    there, keeps = None if off is None else last_there(off), int(crop.keeps_days)
    own = []
    for a, b, share in lots:
        if a < clear:
            last = min(b, clear - 1)
            last = last if there is None else max(a, there[last])
            own.append((a, last, last + keeps, share))
    return clear, own


def _risk(book: Book) -> float:
    return book.garden.climate.frost_risk
