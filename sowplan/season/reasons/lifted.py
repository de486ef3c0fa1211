"""What one thing more would bring: the finished season with a single limit lifted.

One square metre more, a dozen cells, another day to sow on, a fleece, no rest for a family, bought
plants: each is given to the season as it stands, and the sowings that become possible are made, on
real beds, with nothing else moved. What a cover or bought plants bring is told so: it is had by
those very sowings, whatever else is planned.

What serves the whole garden is not told by that, since planned anew it would go to whom it serves
best. Of such things the most promising are given to the season and the search goes on with each
(`sowplan.season.reasons.continued`): what then comes to all wants together is what is told.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from sowplan.season.bound.model import Relaxation, relax
from sowplan.season.choices.book import Book
from sowplan.season.days import plants_per_unit
from sowplan.season.plan import Gain
from sowplan.season.reasons.clauses import planted, planted_of
from sowplan.season.reasons.continued import Continued, lack_by_want
from sowplan.season.reasons.limits import (
    COVERED,
    Limit,
    everywhere,
    limits_of,
    pairs_of,
    sowable,
)
from sowplan.season.reasons.own_sowings import Sown, dated
from sowplan.season.reasons.trials import as_it_stands
from sowplan.season.search.filling import Reach, best_more
from sowplan.season.search.standing import Standing

MOST_CROPS = 12
"""So many crops are asked after, those that lack most."""
WORTH_ASKING = 0.5
"""A crop that lacks fewer want-weeks is not asked after."""
WORTH_SOWING = 0.15
"""Least that a sowing has to bring in these trials [want-weeks]."""
WORTH_TELLING, CERTAIN = 0.5, 0.1
"""What brings less to the whole season than so much is not told [want-weeks]; nor what brings less
than such a share of what may be missing beyond the least: planned anew, a season is seldom as far
from the best again, and the difference might hide it (measured on some twenty gardens)."""
MOST_TOLD = {"two together": 1, "cover": 1}
"""So many of a kind are told that would help a want, so that other help is seen beside them: of
fleece and tunnel that which brings more, the fleece where they bring the same."""
MOST_CONTINUED, SMALL = 6, 3000
"""So many things are searched on with; two fewer in a garden larger than a home garden, of more
places times periods."""
SURE = 0.75
"""Of what the search found for several wants together so much is told: planned anew from nothing it
mostly comes to as much, seldom to all of it (measured as above)."""
FURTHER = 1.25
"""Two things together are told where they bring so many times what the better of them does."""


@dataclass(frozen=True)
class Brought:
    """What a lifted limit brings each want of a crop [plants], by which sowings, and in all.

    ``weeks`` is how much less is missing [want-weeks].
    """

    plants: dict[int, float]
    weeks: float
    sown: tuple[Sown, ...] = ()

    @property
    def helps(self) -> bool:
        """Whether it brings anything."""
        return any(amount > 1e-6 for amount in self.plants.values())


@dataclass(frozen=True)
class Tried:
    """A limit lifted for one crop, and what it brings with nothing else moved."""

    crop: int
    limit: Limit
    brought: Brought

    @property
    def kind(self) -> str:
        """What kind of help it is."""
        return "two together" if self.limit.parts else "cover" if self._covers else "other"

    @property
    def _covers(self) -> bool:
        return COVERED in self.limit.what


def gains_of(
    book: Book, standing: Standing, relaxation: Relaxation | None = None, effort: float = 1.0
) -> tuple[Gain, ...]:
    """Return what one thing more would bring the wants that go short, by want, the best first.

    Parameters
    ----------
    book : Book
        The garden's.
    standing : Standing
        The finished season.
    relaxation : Relaxation, optional
        The season's, solved; else it is solved here.
    effort : float
        Work spent on it, as a multiple of the usual.
    """
    lacking = [(standing.missing(n), n) for n in range(len(book.crops))]
    lacking = sorted((p for p in lacking if p[0] >= WORTH_ASKING), key=lambda p: (-p[0], p[1]))
    if not lacking:
        return ()
    crops = sorted(crop for _, crop in lacking[:MOST_CROPS])
    relaxation = relaxation or relax(standing.instance)
    least = max(WORTH_TELLING, CERTAIN * (standing.score().missing - relaxation.bound))
    tried = [one for crop in crops for one in _tries(book, standing, crop)]
    continued = Continued(standing, relaxation, effort)
    whole = [one for one in tried if one.limit.whole]
    found = list(_of_all(book, standing, crops, whole, continued, least))
    told = {(gain.what, gain.want): gain.brings for gain in found}
    rest = [one for one in tried if not one.limit.whole]
    found += _of_crops(book, standing, rest, least, told)
    helping = {gain.what for gain in found if gain.brings > 0}
    order = sorted(found, key=lambda gain: (gain.want, -gain.brings))
    return tuple(gain for gain in order if gain.brings > 0 or gain.what not in helping)


def _tries(book: Book, standing: Standing, crop: int) -> list[Tried]:
    """Return what each limit brings a crop by itself, and two together where that may be more."""
    before = lack_by_want(standing, crop)
    limits = [_quieter(limit, standing, crop) for limit in limits_of(book, standing, crop)]
    brought = [_brought(standing, crop, limit, before) for limit in limits]
    # What small sowings would bring with nothing lifted at all is owed to no limit.
    anyway = _brought(standing, crop, Limit("", standing.instance), before)
    brought = [_beyond(each, anyway) for each in brought]
    idle = [not each.helps for each in brought]
    # What helps in no way by itself may together with room: looked at where nothing else helps,
    # of covers where cold is what forbids some of the days, and of cells where they are scarce.
    paired = [
        limit
        for limit, no in zip(limits, idle, strict=True)
        if all(idle) or (no and limit.opens) or (limit.scarce and limit.with_room)
    ]
    alone = {limit.what: each for limit, each in zip(limits, brought, strict=True)}
    pairs = list(pairs_of(book, crop, paired))
    both = [_beyond(_brought(standing, crop, pair, before), anyway) for pair in pairs]
    both = [
        each if pair.whole else _more_than_parts(each, pair, alone)
        for pair, each in zip(pairs, both, strict=True)
    ]
    every = zip(pairs + limits, both + brought, strict=True)
    return [Tried(crop, limit, each) for limit, each in every]


# -- what one crop's own sowings bring


def _of_crops(
    book: Book,
    standing: Standing,
    tried: Sequence[Tried],
    least: float,
    whole: dict[tuple[str, int], float],
) -> Iterator[Gain]:
    """Yield the gains by a crop's own sowings; of what is much alike only the best of a want.

    What helps less than half the ``least`` is told neither as help nor as none [want-weeks], for
    its sowings are as surely made as they are written down; nor what brings a want hardly more
    than the part of it does that serves the ``whole`` garden.
    """
    total = standing.instance.wanted or 1.0
    many: Counter[tuple[int, str]] = Counter()
    for one in sorted(tried, key=lambda one: -one.brought.weeks):
        if one.brought.helps and one.brought.weeks < least / 2:
            continue
        told = dated(book, one.crop, one.limit.what, one.brought.sown)
        share = max(one.brought.weeks, 0.0) / total
        for want, plants in one.brought.plants.items():
            gain = _gain(book, want, told, plants, share)
            alone = max((whole.get((part, want), 0.0) for part in one.limit.parts), default=0.0)
            if gain.brings < FURTHER * alone:
                continue
            many[want, one.kind] += gain.brings > 0
            first = many[want, one.kind] <= MOST_TOLD.get(one.kind, len(tried))
            if first if gain.brings > 0 else not one.limit.quiet:
                yield gain


# -- what the whole garden makes of it


def _of_all(
    book: Book,
    standing: Standing,
    crops: Sequence[int],
    tried: Sequence[Tried],
    continued: Continued,
    least: float,
) -> Iterator[Gain]:
    """Yield the gains of all wants by what serves the whole garden, and what helps nobody.

    ``least`` as in `_of_crops`.
    """
    total = standing.instance.wanted or 1.0
    weeks: dict[str, float] = {}
    for one in _to_continue(standing, tried):
        plants, less = continued.brings(everywhere(book, one.limit, crops))
        parts = [weeks.get(part, 0.0) for part in one.limit.parts]
        if less < max(least, FURTHER * max(parts, default=0.0)):
            continue
        weeks[one.limit.what] = less
        served = [want for want, some in plants.items() if some > 1e-6]
        share = less / total * (SURE if len(served) > 1 else 1.0)
        for want in served:
            yield _gain(book, want, one.limit.what, plants[want], share)
    known = {_thing(one.limit.what): "" for one in tried if one.brought.helps}
    for one in tried:
        if not one.limit.quiet and not one.brought.helps:
            what = known.setdefault(_thing(one.limit.what), one.limit.what)
            for want in one.brought.plants if what else ():
                yield _gain(book, want, what, 0.0)


def _to_continue(standing: Standing, tried: Sequence[Tried]) -> list[Tried]:
    """Return one of each thing that helps some crop, the most promising, single things first."""
    best: dict[str, Tried] = {}
    for one in sorted(tried, key=lambda one: -one.brought.weeks):
        if one.brought.helps and one.brought.weeks > 0:
            best.setdefault(_thing(one.limit.what), one)
    most = MOST_CONTINUED if standing.instance.extent <= SMALL else MOST_CONTINUED - 2
    first = list(best.values())[:most]
    return sorted(first, key=lambda one: bool(one.limit.parts))


def _thing(what: str) -> str:
    """Return what a thing is, however much of it a crop asks for: ``"more of a bed like Low"``."""
    return what.lstrip("0123456789., ") if what[0].isdigit() else what


def _gain(book: Book, want: int, what: str, plants: float, in_all: float = 0.0) -> Gain:
    asked = book.garden.wants[want]
    crop = next(crop for crop in book.crops if crop.key == asked.crop)
    planted_as = planted_of(crop, asked)
    told = planted(what, planted_as) if planted_as else what
    amount = round(max(plants, 0.0) / plants_per_unit(crop, asked.unit), 6)
    return Gain(want, told, amount, asked.unit, round(in_all, 6))


# -- a limit lifted for one crop, with nothing else moved


def _beyond(each: Brought, anyway: Brought) -> Brought:
    """Return what a limit brings beyond what comes with nothing lifted."""
    plants = {want: max(0.0, some - anyway.plants[want]) for want, some in each.plants.items()}
    beyond = Brought(plants, each.weeks - anyway.weeks, each.sown)
    return beyond if beyond.helps else Brought(plants, 0.0)


def _more_than_parts(each: Brought, pair: Limit, alone: dict[str, Brought]) -> Brought:
    """Return what two things bring together; nothing where one of them brings nearly as much."""
    best = {want: max(alone[part].plants[want] for part in pair.parts) for want in each.plants}
    plants = {
        want: some if some > FURTHER * best[want] else 0.0 for want, some in each.plants.items()
    }
    return replace(each, plants=plants)


def _quieter(limit: Limit, standing: Standing, crop: int) -> Limit:
    """Return a limit told only if it helps, where no reader would expect it to.

    Nothing is expected to help where the season itself forbids all days that go short.
    """
    short = np.array(standing.lack(crop)) > 1e-6
    forbidden = not (sowable(standing.instance.crops[crop]) & short).any()
    return replace(limit, quiet=limit.quiet or forbidden)


def _brought(standing: Standing, crop: int, limit: Limit, before: dict[int, float]) -> Brought:
    """Sow what a lifted limit makes possible; return what it brings each want [plants]."""
    other = as_it_stands(standing, limit.instance)
    options = limit.instance.crops[crop].options
    reach = Reach(limit.instance.crops[crop])
    sown: list[Sown] = []
    for _ in range(limit.sowings):
        more = best_more(
            other, crop, reach, among=limit.options, spots=limit.spots, least=WORTH_SOWING
        )
        if more is None:
            break
        other.add(more.batch)
        columns = (options.sow, options.into, options.clear, options.raising)
        day, into, clear, raising = (int(column[more.batch.option]) for column in columns)
        sown.append(Sown(day, more.batch.spot, more.batch.plants, into, clear, raising))
    after = lack_by_want(other, crop)
    brings = {want: max(0.0, lack - after[want]) for want, lack in before.items()}
    return Brought(brings, standing.missing(crop) - other.missing(crop), tuple(sown))
