"""What one thing more would bring: the finished season with a single limit lifted.

One square metre more, a dozen cells, another day to sow on, a fleece, no rest for a family: each is
given to the season as it stands, and the sowings that become possible are made, on real beds, with
nothing else moved. What they bring is therefore there to be had; with everything planned anew it
may be more.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from sowplan.quantity import format_area
from sowplan.quantity.units import FOOT
from sowplan.records.garden import Bed, Channel
from sowplan.season.book import Book
from sowplan.season.candidates import with_more
from sowplan.season.days import USUAL_SOWING_DAY, is_away, plants_per_unit
from sowplan.season.filling import Reach, best_more
from sowplan.season.instance import CropCase, Instance
from sowplan.season.plan import Gain
from sowplan.season.spaces import usable
from sowplan.season.standing import Standing

MOST_CROPS = 12
"""So many crops are asked after, those that lack most."""
WORTH_ASKING = 0.5
"""A crop that lacks fewer want-weeks is not asked after."""
WORTH_SOWING = 0.15
"""Least that a sowing has to bring in these trials [want-weeks]."""
MOST_SOWINGS = 10
"""Most sowings of one crop that one thing more is tried with."""
CELLS, HOLES = 12, 5
ROOMS_TOLD = 2
"""So many kinds of room are told that would help a want, so that other help is seen beside them."""
PAIRS_TOLD = 1
"""So many of two things together are told that would help a want."""
LARGE_M2 = 60.0
"""Where beds alike are larger together, a whole one more is asked after, not a square metre."""
FURTHER = 1.25
"""Two things together are told where they bring so many times what the better of them does."""
BUSY = 0.8
"""An hour more is expected to help where some week has so much of its hours taken."""
WEEKDAYS = ("Mondays", "Tuesdays", "Wednesdays", "Thursdays", "Fridays", "Saturdays", "Sundays")


@dataclass(frozen=True)
class Limit:
    """One limit lifted: what that is in words, the instance it makes, what may use it."""

    what: str
    instance: Instance
    spots: tuple[int, ...] | None = None  # places to keep to; None: all
    options: NDArray[np.bool_] | None = None  # of the crop asked after; None: all
    quiet: bool = False  # told only where it brings something
    with_room: bool = False  # may help together with more room where it does not by itself
    opens: bool = False  # makes days servable that nothing can serve without it
    is_room: bool = False
    scarce: bool = False  # hardly any is left when a sowing that helps would take it
    parts: tuple[str, ...] = ()  # of two things together, each by itself


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
    limits = [_quieter(limit, standing, crop) for limit in _limits(book, standing, crop)]
    brought = [_brought(standing, crop, limit, before) for limit in limits]
    idle = [not any(amount > 1e-6 for amount in each.values()) for each in brought]
    # What helps in no way by itself may together with room: looked at where nothing else helps,
    # of covers where cold is what forbids some of the days, and of cells where they are scarce.
    paired = [
        limit
        for limit, no in zip(limits, idle, strict=True)
        if all(idle) or (no and limit.opens) or (limit.scarce and limit.with_room)
    ]
    alone = {limit.what: each for limit, each in zip(limits, brought, strict=True)}
    pairs = list(_pairs(book, crop, paired))
    brought = [
        _more_than_parts(_brought(standing, crop, pair, before), pair, alone) for pair in pairs
    ] + brought
    limits = pairs + limits
    of_room = {limit.what for limit in limits if limit.is_room}
    together = {limit.what for limit in pairs}
    found = []
    for want, lack in before.items():
        asked = book.garden.wants[want]
        unit = plants_per_unit(book.crops[crop], asked.unit)
        mine = [
            Gain(want, limit.what, round(each[want] / unit, 6), asked.unit)
            for limit, each in zip(limits, brought, strict=True)
            if lack > 1e-6 and (each[want] > 1e-6 or not limit.quiet)
        ]
        mine.sort(key=lambda gain: -gain.brings)
        useful = [gain.what for gain in mine if gain.brings > 0]
        rooms = [what for what in useful if what in of_room]
        twos = [what for what in useful if what in together]
        dropped = {*rooms[ROOMS_TOLD:], *twos[PAIRS_TOLD:]}
        found += [gain for gain in mine if gain.what not in dropped]
    return found


def _more_than_parts(
    each: dict[int, float], pair: Limit, alone: dict[str, dict[int, float]]
) -> dict[int, float]:
    """Return what two things bring together; nothing where one of them brings nearly as much."""
    best = {want: max(alone[part].get(want, 0.0) for part in pair.parts) for want in each}
    return {want: some if some > FURTHER * best[want] else 0.0 for want, some in each.items()}


def _quieter(limit: Limit, standing: Standing, crop: int) -> Limit:
    """Return a limit told only if it helps, where no reader would expect it to.

    Nothing is expected to help where the season itself forbids all days that go short.
    """
    short = np.array(standing.served(crop)[2]) > 1e-6
    forbidden = not (_sowable(standing.instance.crops[crop]) & short).any()
    return replace(limit, quiet=limit.quiet or forbidden)


def _sowable(case: CropCase) -> NDArray[np.bool_]:
    """Return, by period, whether any sowing that is not settled already could serve it."""
    return (Reach(case).share[case.options.fixed < 0] > 0).any(axis=0)


def _lack_by_want(book: Book, standing: Standing, crop: int) -> dict[int, float]:
    """Return what each want of a crop lacks [plants]."""
    periods = book.instance.crops[crop].periods
    lack = standing.served(crop)[2]
    found = dict.fromkeys(periods.want.tolist(), 0.0)
    for want, short in zip(periods.want.tolist(), lack, strict=True):
        found[want] += short
    return found


def _brought(
    standing: Standing, crop: int, limit: Limit, before: dict[int, float]
) -> dict[int, float]:
    """Sow what a lifted limit makes possible; return what it brings each want [plants]."""
    other = _as_it_stands(standing, limit.instance)
    reach = Reach(limit.instance.crops[crop])
    for _ in range(MOST_SOWINGS):
        more = best_more(
            other, crop, reach, among=limit.options, spots=limit.spots, least=WORTH_SOWING
        )
        if more is None:
            break
        other.add(more.batch)
    periods = limit.instance.crops[crop].periods
    after = dict.fromkeys(before, 0.0)
    for want, short in zip(periods.want.tolist(), other.served(crop)[2], strict=True):
        after[want] += short
    return {want: max(0.0, lack - after[want]) for want, lack in before.items()}


def _as_it_stands(standing: Standing, instance: Instance) -> Standing:
    """Return the same batches in an instance that has at least what theirs has."""
    other = Standing(instance)
    for batch in standing.batches.values():
        other.add(batch)
    other.log.clear()
    return other


# -- the limits


def _limits(book: Book, standing: Standing, crop: int) -> Iterator[Limit]:
    """Yield each limit that may stand in a crop's way, lifted."""
    yield from _room(book, crop)
    yield from _cells(book, standing, crop)
    yield from _hours(standing, crop)
    yield from _rest(book, crop)
    yield from _days(book, crop)
    yield from _covers(book, crop)


def _room(book: Book, crop: int) -> Iterator[Limit]:
    for group in _kinds_of_room(book, crop):
        instance, what, spot = with_room(book, group, crop, book.instance)
        yield Limit(what, instance, spots=(spot,), is_room=True)


def _kinds_of_room(book: Book, crop: int) -> list[int]:
    """Return groups of places to ask after: of beds under one cover the widest that suits."""
    found: dict[tuple, tuple[float, int]] = {}
    for group in sorted(book.instance.crops[crop].room):
        place = book.places[book.instance.spots_of[group][0]]
        width = place.width_m if isinstance(place, Bed) else 0.0
        kind = (type(place).__name__, place.cover)
        if kind not in found or width > found[kind][0]:
            found[kind] = (width, group)
    return [group for _, group in found.values()]


def with_room(book: Book, group: int, crop: int, instance: Instance) -> tuple[Instance, str, int]:
    """Return an instance with some room more of a kind, that in words, and the new place.

    A square metre more; or as much as the crop's least sowing takes, where that is more.
    """
    spots = instance.spots_of[group]
    place, spot = book.places[spots[0]], instance.spots[spots[0]]
    if isinstance(place, Bed):
        width = usable(place)[1]
        if sum(instance.spots[s].size for s in spots) * book.unit_m * width > LARGE_M2:
            size, what = spot.size, f"one more bed like {place.name}"
        else:
            size, area = _some_area(book, group, crop, width)
            what = f"{area} more of a bed like {place.name}"
    elif isinstance(place, Channel):
        size, what = HOLES, f"{HOLES} more holes in a channel like {place.name}"
    else:
        size, what = 1, f"one more pot like those of {place.name}"
    more = replace(spot, size=size, closed=spot.closed if size == spot.size else 0)
    return replace(instance, spots=(*instance.spots, more)), what, len(instance.spots)


def _some_area(book: Book, group: int, crop: int, width: float) -> tuple[int, str]:
    """Return units of room and the area they are: one square metre, or what a crop needs."""
    imperial = book.garden.units == "imperial"
    step = FOOT**2 if imperial else 0.1
    case = book.instance.crops[crop]
    here = np.nonzero(case.options.group == group)[0]
    least = min((case.least[n] for n in here.tolist()), default=1)
    needed = case.units[group][min(least, len(case.units[group]) - 1)] * book.unit_m * width
    area = max(10 * step, math.ceil(needed / step - 1e-6) * step)
    return max(1, int(area / width / book.unit_m + 1e-6)), format_area(area, book.garden.units)


def _cells(book: Book, standing: Standing, crop: int) -> Iterator[Limit]:
    """Yield more cells of each kind; expected to help only where they are nearly all taken."""
    options = book.instance.crops[crop].options
    for group, trays in book.instance.trays_of.items():
        if (options.tray == group).any():
            instance, what = with_cells(book.instance, group)
            mine = options.tray == group
            plenty = _has_cells(standing, crop, trays, mine)
            yield Limit(
                what, instance, options=mine, quiet=plenty, with_room=True, scarce=not plenty
            )


def _has_cells(standing: Standing, crop: int, trays: Sequence[int], mine) -> bool:
    """Tell whether some sowing that would serve days that go short finds cells in plenty."""
    case = standing.instance.crops[crop]
    options = case.options
    short = np.array(standing.served(crop)[2]) > 1e-6
    serves = mine & (options.fixed < 0) & (Reach(case).share[:, short] > 0).any(axis=1)
    return any(
        standing.cells[trays, sow : max(into, sow + 1)].min(axis=1).max() >= CELLS
        for sow, into in {
            (max(int(options.sow[n]), 0), int(options.into[n])) for n in np.nonzero(serves)[0]
        }
    )


def with_cells(instance: Instance, group: int) -> tuple[Instance, str]:
    """Return an instance with some cells more of a kind, and that in words."""
    tray = instance.trays[instance.trays_of[group][0]]
    more = replace(tray, cells=CELLS)
    what = (
        f"{CELLS} more tray cells"
        if len(instance.trays_of) == 1
        else f"{CELLS} more cells like {tray.name}"
    )
    return replace(instance, trays=(*instance.trays, more)), what


def _hours(standing: Standing, crop: int) -> Iterator[Limit]:
    """Yield an hour more of work in every week, where hours are limited at all."""
    instance, most = standing.instance, standing.instance.week_minutes
    if most is not None:
        slack = max(standing.load.values(), default=0.0) < BUSY * most
        more = replace(instance, week_minutes=most + 60)
        every = np.ones(len(instance.crops[crop].options), bool)
        yield Limit(
            "one hour of work a week more", more, options=every, quiet=slack, with_room=True,
            scarce=not slack,
        )  # fmt: skip


def _pairs(book: Book, crop: int, limits: Sequence[Limit]) -> Iterator[Limit]:
    """Yield room lifted together with something else: cells, another day, a cover."""
    for group in _kinds_of_room(book, crop):
        for other in limits:
            if other.with_room:
                instance, what, spot = with_room(book, group, crop, other.instance)
                options = other.options & (instance.crops[crop].options.group == group)
                parts = (what, other.what)
                yield Limit(
                    " and ".join(parts), instance, (spot,), options, quiet=True, parts=parts
                )


def _rest(book: Book, crop: int) -> Iterator[Limit]:
    """Yield the season without a family's rest, where that shuts a bed."""
    instance, case = book.instance, book.instance.crops[crop]
    stays = [s for s in instance.stays if s.family == case.family and s.until + case.gap_days >= 0]
    beds = any(instance.spots[s.spot].whole for s in stays)
    if not beds and instance.days <= instance.turn_days:
        return
    family = book.crops[crop].family
    free = tuple(stay for stay in instance.stays if stay not in stays)
    yield Limit(
        f"no rest for {family}", replace(instance, stays=free, turn_days=instance.days), quiet=True
    )


def _days(book: Book, crop: int) -> Iterator[Limit]:
    """Yield sowing on one more weekday, that farthest from those the gardener sows on."""
    weekday = another_weekday(book.garden.season.sow_on or (USUAL_SOWING_DAY,))
    if weekday is None:
        return
    season = book.garden.season
    days = range(book.index(season.start), book.index(season.end) + 1)
    sow = tuple(
        n
        for n in days
        if book.day(n).weekday() == weekday and not is_away(season.away, book.day(n))
    )
    more, had = with_more(book, crop, sow)
    yield _further(f"sowing on {WEEKDAYS[weekday]} too", more, crop, had, True)


def another_weekday(sow_on: Sequence[int]) -> int | None:
    """Return the weekday farthest from those of a week; None where none is two days away."""

    def away(day: int) -> int:
        return min(min((day - other) % 7, (other - day) % 7) for other in sow_on)

    farthest = max(range(7), key=lambda day: (away(day), day))
    return farthest if away(farthest) >= 2 else None


def _covers(book: Book, crop: int) -> Iterator[Limit]:
    """Yield a cover over the crop's own sowings in beds that stand open: the least that helps.

    A tunnel only where days go short that nothing in the open can serve, even under fleece.
    """
    case = book.instance.crops[crop]
    places = [book.places[book.instance.spots_of[group][0]] for group in case.room]
    if not any(isinstance(place, Bed) and place.cover == "none" for place in places):
        return
    for cover in ("fleece", "tunnel"):
        more, had = with_more(book, crop, book.sow_days, cover)
        article = "a " if cover == "tunnel" else ""
        opens = bool((_sowable(more.instance.crops[crop]) & ~_sowable(case)).any())
        lifted = _further(f"{article}{cover} over its sowings", more, crop, had, True)
        yield replace(lifted, opens=opens)
        if _sowable(case).all() or opens:
            return


def _further(what: str, book: Book, crop: int, had: int, quiet: bool) -> Limit:
    options = book.instance.crops[crop].options
    new = np.arange(len(options)) >= had
    return Limit(what, book.instance, options=new, quiet=quiet, with_room=True)
