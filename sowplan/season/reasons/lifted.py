"""What one thing more would bring: the finished season with a single limit lifted.

One square metre more, a dozen cells, another day to sow on, a fleece, no rest for a family, bought
plants: each is given to the season as it stands, and the sowings that become possible are made, on
real beds, with nothing else moved. What they bring is therefore there to be had; with everything
planned anew it may be more or less.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import NamedTuple

import numpy as np

from sowplan.growth.reasons import day_words
from sowplan.season.choices.book import Book
from sowplan.season.days import plants_per_unit
from sowplan.season.plan import Gain
from sowplan.season.reasons.clauses import planted, planted_of
from sowplan.season.reasons.limits import COVERED, PLANTS, Limit, limits_of, pairs_of, sowable
from sowplan.season.reasons.trials import as_it_stands
from sowplan.season.search.filling import Reach, best_more
from sowplan.season.search.standing import Standing
from sowplan.season.words import listed, seen_twice

MOST_CROPS = 12
"""So many crops are asked after, those that lack most."""
WORTH_ASKING = 0.5
"""A crop that lacks fewer want-weeks is not asked after."""
WORTH_SOWING = 0.15
"""Least that a sowing has to bring in these trials [want-weeks]."""
PLACES_TOLD = 3
"""More places of further sowings than so many are told by their number."""
MOST_TOLD = {"room": 2, "two together": 1, "cover": 1}
"""So many of a kind are told that would help a want, so that other help is seen beside them: of
fleece and tunnel that which brings more, the fleece where they bring the same."""
FURTHER = 1.25
"""Two things together are told where they bring so many times what the better of them does."""


class Sown(NamedTuple):
    """A sowing made with a limit lifted: its day, its place, its plants, the days it stands."""

    day: int
    spot: int
    plants: int
    into: int
    clear: int


@dataclass(frozen=True)
class Brought:
    """What a lifted limit brings each want of a crop [plants], and by which sowings."""

    plants: dict[int, float]
    sown: tuple[Sown, ...] = ()


@dataclass(frozen=True)
class Tried:
    """A lifted limit, in words with days and places, and what it brings."""

    limit: Limit
    what: str
    brought: Brought

    @property
    def kind(self) -> str:
        """What kind of help it is."""
        if self.limit.parts:
            return "two together"
        if self.limit.is_room:
            return "room"
        return "cover" if COVERED in self.limit.what else "other"


def gains_of(book: Book, standing: Standing) -> tuple[Gain, ...]:
    """Return what one thing more would bring each want that goes short, most useful first."""
    lacking = [(standing.missing(n), n) for n in range(len(book.crops))]
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
    both = [
        _more_than_parts(_beyond(_brought(standing, crop, pair, before), anyway), pair, alone)
        for pair in pairs
    ]
    tried = [
        Tried(limit, _dated(book, crop, limit.what, each), each)
        for limit, each in zip(pairs + limits, both + brought, strict=True)
    ]
    return [
        gain
        for want, lack in before.items()
        if lack > 1e-6
        for gain in _of_want(book, crop, want, tried)
    ]


def _of_want(book: Book, crop: int, want: int, tried: Sequence[Tried]) -> list[Gain]:
    """Return the gains of one want, most useful first; of what is much alike only the best."""
    asked = book.garden.wants[want]
    unit = plants_per_unit(book.crops[crop], asked.unit)
    mine = [
        (one, Gain(want, one.what, round(one.brought.plants[want] / unit, 6), asked.unit))
        for one in tried
        if one.brought.plants[want] > 1e-6 or not one.limit.quiet
    ]
    mine.sort(key=lambda pair: -pair[1].brings)
    many: Counter[str] = Counter()
    told = []
    for one, gain in mine:
        many[one.kind] += gain.brings > 0
        if gain.brings <= 0 or many[one.kind] <= MOST_TOLD.get(one.kind, len(mine)):
            told.append(gain)
    what = planted_of(book.crops[crop], asked)
    return [replace(gain, what=planted(gain.what, what)) for gain in told] if what else told


def _beyond(each: Brought, anyway: Brought) -> Brought:
    """Return what a limit brings beyond what comes with nothing lifted."""
    plants = {want: max(0.0, some - anyway.plants[want]) for want, some in each.plants.items()}
    return (
        replace(each, plants=plants) if any(p > 1e-6 for p in plants.values()) else Brought(plants)
    )


def _more_than_parts(each: Brought, pair: Limit, alone: dict[str, Brought]) -> Brought:
    """Return what two things bring together; nothing where one of them brings nearly as much."""
    best = {want: max(alone[part].plants[want] for part in pair.parts) for want in each.plants}
    plants = {
        want: some if some > FURTHER * best[want] else 0.0 for want, some in each.plants.items()
    }
    return replace(each, plants=plants)


def _dated(book: Book, crop: int, what: str, each: Brought) -> str:
    """Return a thing in words, with the days and places of the sowings that it is counted with.

    Elsewhere they might be ready too late: bought plants are told so that each can be written into
    the garden file as a ``[[sowing]]``.
    """
    if each.sown and PLANTS in what:
        return what.replace(PLANTS, f"buying {_bought(book, each.sown)}")
    if not each.sown or COVERED not in what:
        return what
    days = sorted({sowing.day for sowing in each.sown})
    first, last = (_day(book, day) for day in (days[0], days[-1]))
    many = "sowings" if len(each.sown) > 1 else "a sowing"
    if book.day(days[0]).replace(day=1) == book.day(days[-1]).replace(day=1):
        first = str(book.day(days[0]).day)  # of one month, which is told once
    when = f"of {last}" if len(days) == 1 else f"of {first} to {last}"
    lies = _lying(book, crop, each.sown)
    return what.replace(COVERED, f"{many} {when}{_where(book, each.sown)}, {lies}")


def _lying(book: Book, crop: int, sown: Sequence[Sown]) -> str:
    """Return when a cover lies, as it is counted, and when frost makes it needed.

    ``"lying 5 December to 20 April (against frost 30 March to 20 April)"``.
    """
    kills_c, risk = book.crops[crop].killing_frost_c, book.garden.climate.frost_risk
    unsafe = ~book.sky.frost.safe(kills_c, risk)
    stands = np.zeros(len(unsafe), bool)
    for sowing in sown:
        stands[sowing.into : sowing.clear + 1] = True
    lies, cold = np.nonzero(stands)[0], np.nonzero(stands & unsafe)[0]
    words = f"lying {_day(book, int(lies[0]))} to {_day(book, int(lies[-1]))}"
    if not len(cold):
        return words
    what = "cold nights" if kills_c > 0 else "frost"
    first, last = (_day(book, int(day)) for day in (cold[0], cold[-1]))
    when = f"on {first}" if first == last else f"{first} to {last}"
    return f"{words} (against {what} {when})"


def _where(book: Book, sown: Sequence[Sown]) -> str:
    """Return the places of sowings; nothing for the bed that is lifted together with a cover."""
    spots = dict.fromkeys(sowing.spot for sowing in sorted(sown))
    places = [book.places[spot].name for spot in spots if spot < len(book.places)]
    if not places:
        return ""
    return f" in {listed(places) if len(places) <= PLACES_TOLD else f'{len(places)} beds'}"


def _bought(book: Book, sown: Sequence[Sown]) -> str:
    """Return ``"6 plants on 5 May for Long bed and 4 on 12 May for Tunnel"``.

    One place is told once, at the end, and one day once.
    """
    plants: Counter[tuple[int, int]] = Counter()
    for day, spot, some, *_ in sown:
        plants[day, spot] += some
    told, before = [], -1
    last, places = max(plants), {spot for _, spot in plants}
    for day, spot in sorted(plants):
        noun = "" if told else " plant" if plants[day, spot] == 1 else " plants"
        when = "" if day == before else f" on {_day(book, day)}"
        where = f" for {book.places[spot].name}"
        where = "" if len(places) == 1 and (day, spot) != last else where
        told.append(f"{plants[day, spot]}{noun}{when}{where}")
        before = day
    return listed(told)


def _day(book: Book, day: int) -> str:
    """Return a day in words, with its year where the season sees one date twice."""
    told: date = book.day(day)
    season = book.garden.season
    twice = seen_twice(told, season.start, season.end)
    return f"{day_words(told)} {told.year}" if twice else day_words(told)


def _quieter(limit: Limit, standing: Standing, crop: int) -> Limit:
    """Return a limit told only if it helps, where no reader would expect it to.

    Nothing is expected to help where the season itself forbids all days that go short.
    """
    short = np.array(standing.lack(crop)) > 1e-6
    forbidden = not (sowable(standing.instance.crops[crop]) & short).any()
    return replace(limit, quiet=limit.quiet or forbidden)


def _lack_by_want(book: Book, standing: Standing, crop: int) -> dict[int, float]:
    """Return what each want of a crop lacks [plants]."""
    periods = book.instance.crops[crop].periods
    lack = standing.lack(crop)
    found = dict.fromkeys(periods.want.tolist(), 0.0)
    for want, short in zip(periods.want.tolist(), lack, strict=True):
        found[want] += short
    return found


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
        day, into, clear = (
            int(days[more.batch.option]) for days in (options.sow, options.into, options.clear)
        )
        sown.append(Sown(day, more.batch.spot, more.batch.plants, into, clear))
    periods = limit.instance.crops[crop].periods
    after = dict.fromkeys(before, 0.0)
    for want, short in zip(periods.want.tolist(), other.lack(crop), strict=True):
        after[want] += short
    brings = {want: max(0.0, lack - after[want]) for want, lack in before.items()}
    return Brought(brings, tuple(sown))
