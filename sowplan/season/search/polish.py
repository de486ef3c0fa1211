"""The last touches to a season: nothing grown for nothing, nothing cleared sooner than need be."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import replace

from sowplan.season.choices.instance import Batch
from sowplan.season.search.standing import Standing


def trim(standing: Standing, but: Collection[int] = ()) -> None:
    """Take away plants and batches that serve nothing, and clear earlier what only grows waste.

    Never makes the season's score worse, nor touches the batches of the numbers ``but``.
    """
    for number, batch in sorted(standing.batches.items()):
        if not batch.fixed and number not in but:
            _trim_one(standing, number, batch)
    standing.log.clear()


def lengthen(standing: Standing, but: Collection[int] = ()) -> None:
    """Let each batch stand as long as its harvest lasts where nothing else needs the room.

    Only where that brings no further cut or pick: the gardener gains days to harvest in, and the
    score stays what it was. Batches of the numbers ``but`` stay as they are.
    """
    for number, batch in sorted(standing.batches.items()):
        if number in but:
            continue
        case = standing.instance.crops[batch.crop]
        options = case.options
        later = [
            option
            for option in _same_course(standing, batch)
            if options.clear[option] > options.clear[batch.option]
            and len(options.lots[option]) == len(options.lots[batch.option])
        ]
        for option in sorted(later, key=lambda n: -int(options.clear[n])):
            if batch.fixed or _swap(standing, number, batch, option, batch.plants):
                break
    standing.log.clear()


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
