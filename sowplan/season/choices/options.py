"""The options of one crop: each sowing day, each way to grow it, each day to clear it on."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import fields
from statistics import NormalDist
from typing import Any

import numpy as np
from numpy.typing import NDArray

from sowplan.growth.courses import CourseTable
from sowplan.growth.harvests import WITHIN_DAYS
from sowplan.growth.lying import worth_sowing
from sowplan.records.crop import Crop
from sowplan.season.choices.book import ROWS, Settled, Way
from sowplan.season.choices.even_so import in_vain
from sowplan.season.choices.instance import NO_HARVEST, Options, Periods

LEAST_HARVEST_DAYS = 7
"""A batch is given at least so many days of harvest before it may be cleared."""
SMALL_SHARE = 0.75
"""Bulbs are not set so late that they stay smaller than such a share of the largest that could be
had here. Common practice, no source."""
STAYS_SHARE = 0.5
"""A crop cut or picked again stays at least until such a share of its harvests has been had."""
MOST_ENDS = 5
"""Most days on which one sowing may be cleared early."""


def options_of(
    crop: Crop,
    ways: Sequence[Way],
    first_way: int,
    periods: Periods,
    allowed: Sequence[set[int]],
    fixed: Sequence[Settled],
    frost: Any,
    safety: float,
    risk: float,
    away: NDArray[np.bool_] | None = None,
) -> Options:
    """Return all options of a crop.

    Parameters
    ----------
    crop : Crop
        The crop.
    ways : sequence of Way
        How it may be grown here, with the courses of each sowing day.
    first_way : int
        Number of the first of them in the book.
    periods : Periods
        When it is wanted.
    allowed : sequence of set of int
        Days on which the gardener sows, by way.
    fixed : sequence of Settled
        The gardener's own sowings of the crop.
    frost : FrostOutlook
        Of the site, from day 0 on.
    safety, risk : float
        See `lots_of`; share of years in which frost may catch a tender crop.
    away : ndarray of bool, shape (days of the series,), optional
        Days on which nobody harvests.
    """
    rows: list[tuple] = []
    lots: list[tuple] = []
    keeps = int(crop.keeps_days)
    reach = (periods.start.tolist(), periods.end.tolist())
    # A tender crop leaves the open before any frost at all, not only before one that kills it.
    frosty = np.nonzero(~frost.safe(max(0.0, crop.killing_frost_c), risk))[0]
    there = None if away is None else last_there(away)
    least = SMALL_SHARE * _largest(crop, ways, allowed)
    for number, (way, open_) in enumerate(zip(ways, allowed, strict=True), first_way):
        table = way.courses
        open_air = crop.tender and way.conditions.in_open
        ready, last, share = lots_of(table, safety)
        for row in np.nonzero(table.feasible)[0].tolist():
            day = int(table.sow[row])
            into = int(table.planting_out[row]) if way.tray >= 0 else day
            mine = [
                (int(a), int(b), float(s))
                for a, b, s in zip(ready[row], last[row], share[row], strict=True)
                if a >= 0
            ]
            if away is not None:
                mine = brought_in(crop, mine, away)
            if not mine or into < 0:
                continue
            head = (day, into, way.tray, number * ROWS + row)
            natural = max(b for _, b, _ in mine) + 1
            limit = natural
            if open_air:
                outside = into if way.tray >= 0 else int(table.emergence[row])
                after = np.searchsorted(frosty, outside)
                limit = int(frosty[after]) if after < len(frosty) else natural
            lies = int(table.emergence[row]) - day
            sensible = day in open_ and worth_sowing(crop, way.tray >= 0, lies)
            sensible = sensible and table.size[row] >= least and not table.reason[row]
            for end in _ends(mine, reach, keeps, limit, there) if sensible else ():
                for group in way.groups:
                    _add(rows, lots, mine, end, keeps, head, group, -1, there)
            mine_too = (one for one in fixed if one.even_so or not table.reason[row])
            for own in (one for one in mine_too if one.day == day):
                left = [(max(a, own.since), b, s) for a, b, s in mine if b >= own.since]
                left = left if away is None else brought_in(crop, left, away)
                end = min(natural, own.end)
                for group in way.groups if left and left[0][0] < end else ():
                    _add(rows, lots, left, end, keeps, head, group, own.number, there)
        if any(own.even_so for own in fixed):
            _in_vain(rows, lots, crop, (number, way), fixed, frost, risk)
    columns = np.array(rows, np.int64).reshape(-1, 7).T
    lot = np.array([entry[:4] for entry in lots], np.int64).reshape(-1, 4).T
    return Options(*columns, *lot, np.array([entry[4] for entry in lots], float))


def _largest(crop: Crop, ways: Sequence[Way], allowed: Sequence[set[int]]) -> float:
    """Return the size of the largest bulbs that the gardener's days allow; 0 for other crops."""
    if crop.bolt_effect != "bulbs":
        return 0.0
    able = [
        way.courses.size[way.courses.feasible & np.isin(way.courses.sow, list(days))]
        for way, days in zip(ways, allowed, strict=True)
    ]
    return max((float(sizes.max()) for sizes in able if len(sizes)), default=0.0)


def brought_in(
    crop: Crop, lots: Sequence[tuple[int, int, float]], away: NDArray[np.bool_]
) -> list[tuple[int, int, float]]:
    """Return the lots somebody is there for, on the days somebody is.

    Those of the likely weather are so already (`sowplan.growth.harvests`); what is planned for a
    late year is fit later than they are.

    Parameters
    ----------
    crop : Crop
        What is cut or picked may wait for a few days more.
    lots : sequence of (int, int, float)
        First and last day on which each is fit, and its share.
    away : ndarray of bool, shape (days,)
        Days on which nobody harvests.
    """
    found = []
    for first, last, share in lots:
        there = np.nonzero(~away[first : last + 1])[0]
        if not len(there) and crop.harvest != "once":
            there = np.nonzero(~away[first : first + WITHIN_DAYS + 1])[0][:1]
        if len(there):
            found.append((first + int(there[0]), first + int(there[-1]), share))
    return found


def joined(one: Options, two: Options) -> Options:
    """Return the options of one and two; those of two are numbered on."""
    columns = {
        name: np.concatenate([getattr(one, name), getattr(two, name)])
        for name in (field.name for field in fields(Options))
        if name != "lot_option"
    }
    return Options(
        **columns, lot_option=np.concatenate([one.lot_option, two.lot_option + len(one)])
    )


def some_of(options: Options, keep: NDArray[np.bool_]) -> Options:
    """Return some of the options, numbered anew."""
    numbers = np.cumsum(keep) - 1
    lots = keep[options.lot_option]
    columns = {
        field.name: getattr(options, field.name)[lots if field.name.startswith("lot_") else keep]
        for field in fields(Options)
    }
    return Options(**columns | {"lot_option": numbers[options.lot_option[lots]]})


def last_there(away: NDArray[np.bool_]) -> list[int]:
    """Return, by day, the last day up to it on which somebody harvests; -1 where none was."""
    return np.maximum.accumulate(np.where(away, -1, np.arange(len(away)))).tolist()


def _add(rows, lots, mine, end: int, keeps: int, head, group, fixed, there) -> None:
    """Add an option that is cleared on a day, with the lots that are ready before.

    What is cleared after days away was brought in before them.
    """
    for a, b, share in mine:
        if a < end:
            last = min(b, end - 1)
            if there is not None:
                last = max(a, there[last])
            lots.append((len(rows), a, last, last + keeps, share))
    day, into, tray, course = head
    rows.append((day, into, end, group, tray, course, fixed))


def _in_vain(rows, lots, crop: Crop, numbered: tuple[int, Way], fixed, frost, risk: float) -> None:
    """Add the stays of sowings that are to stand even so, in a way in which they give nothing."""
    number, way = numbered
    given = {(entry[5], entry[6]) for entry in rows if entry[6] >= 0}
    for own in (one for one in fixed if one.even_so):
        row = way.courses.sow.tolist().index(own.day)
        course = number * ROWS + row
        vain = in_vain(crop, way, row, own, frost, risk)
        for group in way.groups if vain and (course, own.number) not in given else ():
            lots.append((len(rows), *NO_HARVEST))
            rows.append((own.day, vain.into, vain.clear, group, way.tray, course, own.number))


def _spans(lots: list[tuple], keeps: int) -> list[tuple[int, int]]:
    """Return the spans of days in which any of some lots is fit to eat, first and last day."""
    found: list[tuple[int, int]] = []
    for ready, last, _ in sorted(lots):
        if found and ready <= found[-1][1]:
            found[-1] = (found[-1][0], max(found[-1][1], last + keeps))
        else:
            found.append((ready, last + keeps))
    return found


def _ends(
    lots: list[tuple],
    reach: tuple[list[int], list[int]],
    keeps: int,
    limit: int,
    there: list[int] | None,
) -> list[int]:
    """Return the days on which clearing a batch may make sense: when some want's period is over.

    None where the batch serves no want at all, or has to go by ``limit`` before it is ready.
    A crop that goes on giving is not pulled after its first picks while the kitchen wants it: it
    stays until it has given `STAYS_SHARE` of its harvests, or the last want it serves is over.
    Nothing stands on after the last day on which somebody brings it in.
    """
    starts, ends = reach
    spans = _spans(lots, keeps)
    first, natural = lots[0][0], max(b for _, b, _ in lots) + 1
    had = lots[max(math.ceil(len(lots) * STAYS_SHARE) - 1, 0)][0]
    served = [
        (start, end)
        for start, end in zip(starts, ends, strict=True)
        if any(a <= end and b >= start for a, b in spans)
    ]
    if not served:
        return []
    latest = max(end for _, end in served) + 1
    days = {min(end + 1, natural) for start, end in served if end >= first and start < natural}
    days.add(min(natural, first + LEAST_HARVEST_DAYS))
    days = {day for day in days if first < day <= max(latest, first + LEAST_HARVEST_DAYS)}
    stays = min(had + LEAST_HARVEST_DAYS, natural)
    least = max(min(first + LEAST_HARVEST_DAYS, natural), min(stays, latest))
    days = {max(day, least) for day in days}
    early = {min(day, limit) for day in days if first < min(day, limit)}
    found = sorted(early if there is None else {there[day - 1] + 1 for day in early})
    if len(found) > MOST_ENDS:
        picked = np.linspace(0, len(found) - 1, MOST_ENDS).round().astype(int)
        found = [found[n] for n in picked]
    return found


def lots_of(table: CourseTable, safety: float) -> tuple[Any, Any, Any]:
    """Return ready, last and share of the lots, shape (sowings, lots), as sure as asked for.

    At ``safety`` 0.5 those of the likely weather. Beyond, a lot is counted on only from when it
    is fit in a year as late as one in ``1 / (1 - safety)``; in the table 0.9 is worked out, and
    other shares go by the normal distribution.
    """
    if safety <= 0.5:
        return table.lot_ready, table.lot_last, table.lot_share
    z = NormalDist().inv_cdf(min(safety, 0.99)) / NormalDist().inv_cdf(0.9)
    delay = np.maximum(table.harvest_start_late - table.harvest_start, 0)
    delay = np.where(table.feasible, np.ceil(delay * z), 0).astype(np.int64)[:, None]
    there = table.lot_ready >= 0
    late = np.any(table.late_ready >= 0, axis=1)[:, None] & there
    ready = np.where(late, table.lot_ready + delay, -1)
    return ready, np.where(late, np.maximum(table.lot_last, ready), -1), table.lot_share


def overgrown_days(table: CourseTable, row: int, clear: int) -> list[int]:
    """Return the days, before it is cleared, on which what overgrew of a sowing is taken off."""
    return sorted({day for day in table.spoilt[row].tolist() if 0 <= day < clear})
