"""The last touches to a season: nothing grown for nothing, and some days in hand to harvest in."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import replace

from sowplan.season.choices.instance import Batch
from sowplan.season.search.service import hand_out
from sowplan.season.search.standing import Standing

IN_HAND_DAYS = 7
"""So much longer than it serves a batch may stand: about as late as a harvest is in a late year."""
LIFTED_DAYS = 14
"""So much longer what goes into the store: a dry day is among them. Common sense, no source."""


def trim(standing: Standing, but: Collection[int] = ()) -> None:
    """Take away plants and batches that serve nothing, and clear earlier what only grows waste.

    Never makes the season's score worse, nor touches the batches of the numbers ``but``.
    """
    for number, batch in sorted(standing.batches.items()):
        if not batch.fixed and number not in but:
            _trim_one(standing, number, batch)
    standing.log.clear()


def lengthen(standing: Standing, but: Collection[int] = ()) -> None:
    """Let each sowing stand until what it serves is over and some days longer, where there is room.

    `IN_HAND_DAYS` longer at most, or `LIFTED_DAYS` what is eaten out of store, or until the season
    ends if it goes on giving then (`to_the_end`); what has not even `LIFTED_DAYS` to be brought in,
    until the next day on which it may be cleared. And only where that brings no further cut or
    pick: the gardener gains days to harvest in, and the score stays what it was. Strips that were
    cleared on one day still are. Batches of the numbers ``but`` stay as they are.
    """
    alike: dict[tuple[int, int], list[int]] = {}
    for number, batch in sorted(standing.batches.items()):
        if number not in but and not batch.fixed:
            alike.setdefault((batch.crop, batch.option), []).append(number)
    until = _until(standing, alike)
    for (crop, option), numbers in alike.items():
        options = standing.instance.crops[crop].options
        longer = [
            other
            for other in _same_course(standing, standing.batches[numbers[0]])
            if options.clear[other] > options.clear[option]
            and len(options.lots[other]) == len(options.lots[option])
        ]
        longer.sort(key=lambda n: int(options.clear[n]))
        brief = options.clear[option] - options.lots[option][0][0] < LIFTED_DAYS
        able = [
            other
            for n, other in enumerate(longer)
            if options.clear[other] <= until[crop, int(options.course[option])]
            or to_the_end(standing, crop, other)
            or (brief and not n)
        ]
        for other in reversed(able):
            if _swap_all(standing, numbers, other):
                break
    standing.log.clear()


def _until(standing: Standing, alike: dict[tuple[int, int], list[int]]) -> dict:
    """Return until when the batches of each crop and course may stand; all strips equally long."""
    last = _last_days(standing)
    until: dict[tuple[int, int], int] = {}
    for (crop, option), numbers in alike.items():
        case = standing.instance.crops[crop]
        most = int(case.options.clear[option]) + LIFTED_DAYS
        if not case.stored:
            served = max(last.get(number, 0) + 1 for number in numbers)
            most = max(served, int(case.options.clear[option])) + IN_HAND_DAYS
        key = crop, int(case.options.course[option])
        until[key] = max(most, until.get(key, most))
    return until


def to_the_end(standing: Standing, crop: int, option: int) -> bool:
    """Return whether what is cut or picked again stands until the season ends: it may go on."""
    options = standing.instance.crops[crop].options
    again = len(options.lot_option) > len(options)
    return again and options.clear[option] >= standing.instance.days


def _last_days(standing: Standing) -> dict[int, int]:
    """Return the last day of what each batch serves; no day for those that serve nothing."""
    last: dict[int, int] = {}
    for case, batches in zip(standing.instance.crops, standing.of_crop, strict=True):
        lots, owner = [], []
        for number, batch in batches.items():
            for ready, expiry, share in case.options.lots[batch.option]:
                lots.append((ready, expiry, share * batch.plants))
                owner.append(number)
        for period, lot, _ in hand_out(case.periods, lots):
            end = int(case.periods.end[period])
            last[owner[lot]] = max(end, last.get(owner[lot], end))
    return last


def _trim_one(standing: Standing, number: int, batch: Batch) -> None:
    before = standing.score()
    mark = len(standing.log)
    standing.remove(number)
    if standing.score().better(before):
        return
    standing.undo(mark)
    case = standing.instance.crops[batch.crop]
    options = case.options
    earlier = [
        option
        for option in _same_course(standing, batch)
        if options.clear[option] < options.clear[batch.option]
    ]
    for option in sorted(earlier, key=lambda n: int(options.clear[n])):
        if _swap(standing, number, batch, option, batch.plants):
            if standing.score().better(before):
                batch, before = standing.batches[max(standing.batches)], standing.score()
                number = max(standing.batches)
                break
            standing.undo(mark)
    spare = standing.wasted(batch.crop) / case.worth if case.worth else 0.0
    fewer = int(spare / standing.total[batch.crop][batch.option] + 1e-9)
    while fewer > 0:
        mark = len(standing.log)
        plants = batch.plants - fewer
        if plants > 0 and _swap(standing, number, batch, batch.option, plants):
            if standing.score().better(before):
                return
            standing.undo(mark)
        fewer //= 2


def _same_course(standing: Standing, batch: Batch) -> list[int]:
    """Return the free options that differ from a batch's in the day of clearing only."""
    options = standing.instance.crops[batch.crop].options
    same = (
        (options.course == options.course[batch.option])
        & (options.group == options.group[batch.option])
        & (options.tray == options.tray[batch.option])
        & (options.fixed < 0)
    )
    return [n for n in same.nonzero()[0].tolist() if n != batch.option]


def _swap_all(standing: Standing, numbers: list[int], option: int) -> bool:
    """Put another option in the places of some batches; return whether it fits in all of them."""
    mark = len(standing.log)
    for number in numbers:
        batch = standing.batches[number]
        if not _swap(standing, number, batch, option, batch.plants):
            standing.undo(mark)
            return False
    return True


def _swap(standing: Standing, number: int, batch: Batch, option: int, plants: int) -> bool:
    """Put another option or number in a batch's own place; return whether it fits there."""
    mark = len(standing.log)
    options = standing.instance.crops[batch.crop].options
    standing.remove(number)
    found = standing.place(batch.crop, option, plants, [batch.spot])
    if found is None:
        standing.undo(mark)
        return False
    if plants == batch.plants:
        into, clear = int(options.into[option]), int(options.clear[option])
        free = standing.rooms[batch.spot].free(into, clear)
        if batch.mask & ~free:
            standing.undo(mark)
            return False
        found = replace(found, mask=batch.mask, tray=batch.tray)
    standing.add(found)
    return True
