"""What one thing more would bring: the finished season with a single limit lifted.

One square metre more, a dozen cells, another day to sow on, a fleece, no rest for a family, bought
plants: each is given to the season as it stands, and the sowings that become possible are made, on
real beds, with nothing else moved. What they bring is therefore there to be had; with everything
planned anew it may be more.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from sowplan.growth.reasons import as_planted, day_words
from sowplan.season.choices.book import Book
from sowplan.season.choices.instance import Instance
from sowplan.season.days import plants_per_unit
from sowplan.season.plan import Gain
from sowplan.season.reasons.limits import COVERED, PLANTS, Limit, limits_of, pairs_of, sowable
from sowplan.season.search.filling import Reach, best_more
from sowplan.season.search.standing import Standing

MOST_CROPS = 12
"""So many crops are asked after, those that lack most."""
WORTH_ASKING = 0.5
"""A crop that lacks fewer want-weeks is not asked after."""
WORTH_SOWING = 0.15
"""Least that a sowing has to bring in these trials [want-weeks]."""
MOST_SOWINGS = 10
"""Most sowings of one crop that one thing more is tried with."""
ROOMS_TOLD = 2
"""So many kinds of room are told that would help a want, so that other help is seen beside them."""
PAIRS_TOLD = 1
"""So many of two things together are told that would help a want."""
FURTHER = 1.25
"""Two things together are told where they bring so many times what the better of them does."""


@dataclass(frozen=True)
class Brought:
    """What a lifted limit brings each want of a crop [plants]: the days it is sown on, how many."""

    plants: dict[int, float]
    sown: list[int]
    many: int = 0


def gains_of(book: Book, standing: Standing) -> tuple[Gain, ...]:
    """Return what one thing more would bring each want that goes short, most useful first."""
    lacking = [(standing.served(n)[0], n) for n in range(len(book.crops))]
    lacking = sorted((p for p in lacking if p[0] >= WORTH_ASKING), key=lambda p: (-p[0], p[1]))
    found: list[Gain] = []
    for _, crop in sorted(lacking[:MOST_CROPS], key=lambda pair: pair[1]):
        found += _of_crop(book, standing, crop)
    return tuple(sorted(found, key=lambda gain: gain.want))


def _of_crop(book: Book, standing: Standing, crop: int) -> list[Gain]:
    """Return the gains of the wants of one crop, by want, most useful first."""
    before = _lack_by_want(book, standing, crop)
    limits = [_quieter(limit, standing, crop) for limit in limits_of(book, standing, crop)]
    brought = [_brought(standing, crop, limit, before) for limit in limits]
    # What small sowings would bring with nothing lifted at all is owed to no limit.
    anyway = _brought(standing, crop, Limit("", standing.instance), before)
    brought = [_beyond(each, anyway) for each in brought]
    idle = [not any(amount > 1e-6 for amount in each.plants.values()) for each in brought]
    # What helps in no way by itself may together with room: looked at where nothing else helps,
    # of covers where cold is what forbids some of the days, and of cells where they are scarce.
    paired = [
        limit
        for limit, no in zip(limits, idle, strict=True)
        if all(idle) or (no and limit.opens) or (limit.scarce and limit.with_room)
    ]
    alone = {limit.what: each for limit, each in zip(limits, brought, strict=True)}
    pairs = list(pairs_of(book, crop, paired))
    brought = [
        _more_than_parts(_beyond(_brought(standing, crop, pair, before), anyway), pair, alone)
        for pair in pairs
    ] + brought
    limits = pairs + limits
    of_room = {limit.what for limit in limits if limit.is_room}
    together = {_dated(book, pair.what, each) for pair, each in zip(pairs, brought, strict=False)}
    found = []
    for want, lack in before.items():
        asked = book.garden.wants[want]
        unit = plants_per_unit(book.crops[crop], asked.unit)
        mine = [
            Gain(
                want,
                _dated(book, limit.what, each),
                round(each.plants[want] / unit, 6),
                asked.unit,
            )
            for limit, each in zip(limits, brought, strict=True)
            if lack > 1e-6 and (each.plants[want] > 1e-6 or not limit.quiet)
        ]
        mine.sort(key=lambda gain: -gain.brings)
        useful = [gain.what for gain in mine if gain.brings > 0]
        rooms = [what for what in useful if what in of_room]
        twos = [what for what in useful if what in together]
        dropped = {*rooms[ROOMS_TOLD:], *twos[PAIRS_TOLD:]}
        told = [gain for gain in mine if gain.what not in dropped]
        if asked.raising == "bought plants":
            told = [replace(gain, what=as_planted(gain.what)) for gain in told]
        found += told
    return found


def _beyond(each: Brought, anyway: Brought) -> Brought:
    """Return what a limit brings beyond what comes with nothing lifted."""
    plants = {want: max(0.0, some - anyway.plants[want]) for want, some in each.plants.items()}
    return (
        replace(each, plants=plants)
        if any(p > 1e-6 for p in plants.values())
        else Brought(plants, [])
    )


def _more_than_parts(each: Brought, pair: Limit, alone: dict[str, Brought]) -> Brought:
    """Return what two things bring together; nothing where one of them brings nearly as much."""
    best = {want: max(alone[part].plants[want] for part in pair.parts) for want in each.plants}
    plants = {
        want: some if some > FURTHER * best[want] else 0.0 for want, some in each.plants.items()
    }
    return replace(each, plants=plants)


def _dated(book: Book, what: str, each: Brought) -> str:
    """Return a thing in words: a cover with the sowings it lies over, plants with their days."""
    if not each.sown or not (COVERED in what or PLANTS in what):
        return what
    first, last = (day_words(book.day(day)) for day in (min(each.sown), max(each.sown)))
    when = f"on {first}" if first == last else f"from {first} to {last}"
    told = what.replace(COVERED, f"what is sown {when}")
    return told.replace(PLANTS, f"buying {each.many} plant{'s' * (each.many > 1)} {when}")


def _quieter(limit: Limit, standing: Standing, crop: int) -> Limit:
    """Return a limit told only if it helps, where no reader would expect it to.

    Nothing is expected to help where the season itself forbids all days that go short.
    """
    short = np.array(standing.served(crop)[2]) > 1e-6
    forbidden = not (sowable(standing.instance.crops[crop]) & short).any()
    return replace(limit, quiet=limit.quiet or forbidden)


def _lack_by_want(book: Book, standing: Standing, crop: int) -> dict[int, float]:
    """Return what each want of a crop lacks [plants]."""
    periods = book.instance.crops[crop].periods
    lack = standing.served(crop)[2]
    found = dict.fromkeys(periods.want.tolist(), 0.0)
    for want, short in zip(periods.want.tolist(), lack, strict=True):
        found[want] += short
    return found


def _brought(standing: Standing, crop: int, limit: Limit, before: dict[int, float]) -> Brought:
    """Sow what a lifted limit makes possible; return what it brings each want [plants]."""
    other = _as_it_stands(standing, limit.instance)
    options = limit.instance.crops[crop].options
    reach, sown, many = Reach(limit.instance.crops[crop]), [], 0
    for _ in range(MOST_SOWINGS):
        more = best_more(
            other, crop, reach, among=limit.options, spots=limit.spots, least=WORTH_SOWING
        )
        if more is None:
            break
        other.add(more.batch)
        sown.append(int(options.sow[more.batch.option]))
        many += more.batch.plants
    periods = limit.instance.crops[crop].periods
    after = dict.fromkeys(before, 0.0)
    for want, short in zip(periods.want.tolist(), other.served(crop)[2], strict=True):
        after[want] += short
    brings = {want: max(0.0, lack - after[want]) for want, lack in before.items()}
    return Brought(brings, sown, many)


def _as_it_stands(standing: Standing, instance: Instance) -> Standing:
    """Return the same batches in an instance that has at least what theirs has."""
    other = Standing(instance)
    for batch in standing.batches.values():
        other.add(batch)
    other.log.clear()
    return other
