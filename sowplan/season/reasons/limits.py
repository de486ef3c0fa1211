"""The limits of a season, each lifted by itself: more room, cells or hours, another day, plants.

Each is the season's instance with one thing more, that thing in words, and what may use it; what
it would bring is found in `sowplan.season.reasons.lifted`.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from sowplan.quantity import FOOT_M, format_area
from sowplan.records.garden import Bed, Channel, Garden
from sowplan.season.choices.book import Book
from sowplan.season.choices.candidates import with_more
from sowplan.season.choices.instance import BOUGHT, CropCase, Instance
from sowplan.season.choices.spaces import stands_open, usable
from sowplan.season.days import closed_to_sowing, is_away, sowing_weekdays
from sowplan.season.search.filling import Reach
from sowplan.season.search.standing import Standing

CELLS, HOLES = 12, 5
LARGE_M2, LARGE_BED_M2 = 60.0, 10.0
"""Where beds alike are larger together, or each of several is as large as the second, a whole one
more is asked after, not a square metre."""
BUSY = 0.8
"""An hour more is expected to help where some week has so much of its hours taken."""
MOST_SOWINGS, MOST_OWN = 10, 3
"""Most sowings of one crop that one thing more is tried with; and of those that are covered or
bought, so few that each can be told with its day and place, to be written as a [[sowing]]."""
COVERED = "its sowings"
"""What a cover lies over, until it is known which sowings those are."""
PLANTS = "buying plants"
"""As it is told until it is known how many, when and where."""
ANY_DAY = "sowing on any day"
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
    sowings: int = MOST_SOWINGS  # most that it is tried with
    whole: bool = True  # lifted for the whole garden, not for sowings of one crop
    days: tuple[Garden, tuple[int, ...]] | None = None  # a garden of more days, and when it sows


def everywhere(book: Book, limit: Limit, crops: Sequence[int]) -> Instance:
    """Return the instance of a lifted limit of the whole garden in which all of some crops have it.

    Further days to sow on are options of each crop; all else is there for every crop anyway.
    """
    if limit.days is None:
        return limit.instance
    garden, days = limit.days
    made = replace(book, garden=garden)
    for crop in crops:
        made, _ = with_more(made, crop, days)
    return replace(made.instance, spots=limit.instance.spots)  # with room that is lifted besides


def limits_of(book: Book, standing: Standing, crop: int) -> Iterator[Limit]:
    """Yield each limit that may stand in a crop's way, lifted."""
    yield from _room(book, crop)
    yield from _cells(book, standing, crop)
    yield from _hours(standing, crop)
    yield from _rest(book, crop)
    yield from _days(book, crop)
    yield from _covers(book, crop)
    yield from _plants(book, crop)


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
        kind = (type(place).__name__, place.cover, place.indoors)
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
        sizes = [instance.spots[s].size * book.unit_m * width for s in spots]
        if sum(sizes) > LARGE_M2 or (len(spots) > 1 and min(sizes) > LARGE_BED_M2):
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
    step = FOOT_M**2 if imperial else 0.1
    case = book.instance.crops[crop]
    here = np.nonzero(case.options.group == group)[0]
    least = min((case.least[n] for n in here.tolist()), default=1)
    needed = case.units[group][min(least, len(case.units[group]) - 1)] * book.unit_m * width
    area = max(10 * step, math.ceil(needed / step - 1e-6) * step)
    return max(1, int(area / width / book.unit_m + 1e-6)), format_area(area, book.garden.units)


def _cells(book: Book, standing: Standing, crop: int) -> Iterator[Limit]:
    """Yield more cells of each kind; expected to help only where they are nearly all taken."""
    options = book.instance.crops[crop].options
    for group in book.instance.trays_of:
        if (options.tray == group).any():
            instance, what = with_cells(book.instance, group)
            mine = options.tray == group
            plenty = _has_cells(standing, crop, group, mine)
            yield Limit(
                what, instance, options=mine, quiet=plenty, with_room=True, scarce=not plenty
            )


def _has_cells(standing: Standing, crop: int, group: int, mine) -> bool:
    """Tell whether some sowing that would serve days that go short finds cells in plenty."""
    case = standing.instance.crops[crop]
    options = case.options
    short = np.array(standing.lack(crop)) > 1e-6
    serves = mine & (options.fixed < 0) & (Reach(case).share[:, short] > 0).any(axis=1)
    return any(
        standing.cells_free(group, sow, into) >= CELLS
        for sow, into in {
            (int(options.sow[n]), int(options.into[n])) for n in np.nonzero(serves)[0]
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


def pairs_of(book: Book, crop: int, limits: Sequence[Limit]) -> Iterator[Limit]:
    """Yield room lifted together with something else: cells, another day, a cover."""
    for group in _kinds_of_room(book, crop):
        for other in limits:
            if other.with_room:
                instance, what, spot = with_room(book, group, crop, other.instance)
                options = other.options & (instance.crops[crop].options.group == group)
                parts = (what, other.what)
                yield Limit(
                    " and ".join(parts), instance, (spot,), options, quiet=True, parts=parts,
                    sowings=other.sowings, whole=other.whole, days=other.days,
                )  # fmt: skip


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
    """Yield sowing on one more weekday, that farthest from those the gardener sows on.

    Where the file names no days, things are planted out on any: naming two to sow on would tie that
    to them as well. What can be written without is that all days are for sowing.
    """
    season = book.garden.season
    weekday = another_weekday(sowing_weekdays(season), season.never_on)
    if weekday is None:
        return
    named = bool(season.sow_on)
    any_day = tuple(day for day in range(7) if day not in season.never_on)
    sow_on = tuple(sorted({*season.sow_on, weekday})) if named else any_day
    garden = replace(book.garden, season=replace(season, sow_on=sow_on))
    new = {weekday} if named else {*any_day} - {*sowing_weekdays(season)}
    closed = closed_to_sowing(season, 0)  # what must be watered is seen to by each way
    days = range(book.index(season.start), book.index(season.end) + 1)
    sow = tuple(
        n for n in days if book.day(n).weekday() in new and not is_away(closed, book.day(n))
    )
    sow = tuple(sorted({*book.sow_days, *sow}))  # what is sown as ever may be planted out sooner
    more, had = with_more(replace(book, garden=garden), crop, sow)
    what = f"sowing on {WEEKDAYS[weekday]} too" if named else ANY_DAY
    yield replace(_further(what, more, crop, had, True), days=(garden, sow))


def another_weekday(sow_on: Sequence[int], never_on: Sequence[int] = ()) -> int | None:
    """Return the weekday farthest from those of a week; None where none is two days away."""

    def away(day: int) -> int:
        return min(min((day - other) % 7, (other - day) % 7) for other in sow_on)

    able = [day for day in range(7) if day not in never_on]
    farthest = max(able, key=lambda day: (away(day), day))
    return farthest if away(farthest) >= 2 else None


def _covers(book: Book, crop: int) -> Iterator[Limit]:
    """Yield a cover over the crop's own sowings in beds that stand open: the least that helps.

    A tunnel only where days go short that nothing in the open can serve, even under fleece.
    """
    case = book.instance.crops[crop]
    places = [book.places[book.instance.spots_of[group][0]] for group in case.room]
    if not any(isinstance(place, Bed) and stands_open(place) for place in places):
        return
    for cover in ("fleece", "tunnel"):
        more, had = with_more(book, crop, book.sow_days, cover)
        article = "a " if cover == "tunnel" else ""
        opens = bool((sowable(more.instance.crops[crop]) & ~sowable(case)).any())
        lifted = _further(f"{article}{cover} over {COVERED}", more, crop, had, True)
        needed = lifted.options & _needed(more.instance.crops[crop], had)
        yield replace(lifted, options=needed, opens=opens, sowings=MOST_OWN, whole=False)
        if sowable(case).all() or opens:
            return


def _needed(case: CropCase, had: int) -> NDArray[np.bool_]:
    """Return which options serve some days that none of the first ``had`` sown alike does.

    Alike is what is sown on the same day, in the same way and kind of place, but not covered.
    """
    options, serves = case.options, Reach(case).share > 0
    keys = list(
        zip(options.sow.tolist(), options.group.tolist(), options.tray.tolist(), strict=True)
    )
    bare: dict[tuple[int, int, int], NDArray[np.bool_]] = {}
    for n, key in enumerate(keys[:had]):
        bare[key] = bare[key] | serves[n] if key in bare else serves[n]
    return np.array([(serves[n] & ~bare.get(key, False)).any() for n, key in enumerate(keys)], bool)


def _plants(book: Book, crop: int) -> Iterator[Limit]:
    """Yield bought plants of what is usually sold as such, to be neither sown direct nor bought."""
    key, wants = book.crops[crop].key, book.garden.wants
    able = [n for n, w in enumerate(wants) if w.crop == key and w.raising in (None, "in trays")]
    if book.crops[crop].start not in ("raised", "either") or not able:
        return
    bought = tuple(
        replace(want, raising="bought plants") if n in able else want
        for n, want in enumerate(wants)
    )
    garden = replace(book.garden, wants=bought)
    more, had = with_more(replace(book, garden=garden), crop, book.sow_days)
    lifted = _further(PLANTS, more, crop, had, True)
    new = lifted.options & (more.instance.crops[crop].options.raising == BOUGHT)
    yield replace(lifted, options=new, with_room=False, sowings=MOST_OWN, whole=False)


def _further(what: str, book: Book, crop: int, had: int, quiet: bool) -> Limit:
    options = book.instance.crops[crop].options
    new = np.arange(len(options)) >= had
    return Limit(what, book.instance, options=new, quiet=quiet, with_room=True)


def sowable(case: CropCase) -> NDArray[np.bool_]:
    """Return, by period, whether any sowing that is not settled already could serve it."""
    return (Reach(case).share[case.options.fixed < 0] > 0).any(axis=0)
