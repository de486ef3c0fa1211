"""Advice: where a crop that goes short could stand between slow ones, as a catch crop.

The plan gives each batch ground of its own. Between rows of a slow crop there is more room for some
weeks: this names the best use of it for the wants that go short, and leaves the doing to the
gardener. Only crops sown where they grow are named, since cells may be taken.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np

from sowplan.bed.intercrop import LIFTED_WITHIN_DAYS, Stay, intercrop, is_quick
from sowplan.bed.layout import BoundBy, Layout
from sowplan.bed.strips import positions
from sowplan.growth.courses import Course
from sowplan.growth.reasons import day_words
from sowplan.records.crop import Crop
from sowplan.season.choices.book import Book
from sowplan.season.days import plants_per_unit
from sowplan.season.plan import Plan, Planting, WantPeriod
from sowplan.season.words import in_list

MOST_TOLD = 3
WAIT_DAYS = 10
"""A catch crop goes in with the slow one, or so many days later at most."""
LEAST_STAY_DAYS = 45
"""Crops that stand for less than this before their harvest leave no time for another."""
LEAST_SPREAD_M = 0.2
TRIED = 150
"""So many places are looked at plant by plant, those that would serve most first."""
WORTH = 0.25
"""Less than so much of one period's want is not worth a gardener's time to read of."""


@dataclass(frozen=True)
class _Chance:
    """A slow planting, a quick course that fits its time, and the periods it would serve."""

    planting: Planting
    catch: Crop
    course: Course
    periods: tuple[WantPeriod, ...]

    @property
    def lacking(self) -> float:
        """What is missing in those periods, in periods' wants."""
        return sum(1 - want.met / want.wanted for want in self.periods)


def between_notes(book: Book, plan: Plan, since: date | None = None) -> tuple[str, ...]:
    """Return a sentence for each want that goes short and could be had between slow crops.

    Parameters
    ----------
    book : Book
        The season's courses.
    plan : Plan
        The finished season.
    since : date, optional
        Only beside what goes in from this day on: what goes in earlier is past advice.
    """
    since = since or date.min
    short = [
        want
        for want in plan.wants
        if want.end >= since and want.wanted - want.met > 0.02 * want.wanted
    ]
    crops = {crop.key: crop for crop in book.crops}
    chances = [
        chance
        for key in dict.fromkeys(want.crop for want in short)
        if is_quick(crops[key])
        for chance in _chances(book, plan, crops, key, [w for w in short if w.crop == key])
        if chance.planting.occupies_from >= since
    ]
    chances.sort(key=lambda c: (-round(c.lacking, 6), c.course.sow, c.planting.id, c.catch.key))
    best: dict[str, tuple[float, str]] = {}
    for chance in chances[:TRIED]:
        gain, words = _tried(plan, crops, chance)
        if gain >= WORTH and gain > best.get(chance.catch.key, (0.0, ""))[0] + 1e-9:
            best[chance.catch.key] = (gain, words)
    ranked = sorted(best.values(), key=lambda one: (-one[0], one[1]))
    return tuple(words for _, words in ranked[:MOST_TOLD])


def _chances(
    book: Book, plan: Plan, crops: dict[str, Crop], key: str, short: list[WantPeriod]
) -> Iterator[_Chance]:
    """Yield the slow plantings beside which a quick crop would be fit when it is short."""
    catch, spots = crops[key], {place.name: n for n, place in enumerate(book.places)}
    for p in plan.plantings:
        main = crops[p.crop]
        begins = p.occupies_from
        if p.kind != "bed" or main.key == key or main.spread_cm / 100 < LEAST_SPREAD_M:
            continue
        if (p.harvest_start - begins).days < LEAST_STAY_DAYS or _too_soon(plan, p, catch, crops):
            continue
        course = _course(book, catch, book.instance.spots[spots[p.place]].group, begins)
        if course is None or course.harvest_start >= p.harvest_start:
            continue
        first, last = course.harvest_start, _out(course) + timedelta(days=int(catch.keeps_days))
        served = tuple(want for want in short if want.start <= last and want.end >= first)
        if served:
            yield _Chance(p, catch, course, served)


def _course(book: Book, catch: Crop, group: int, begins: date) -> Course | None:
    """Return the first sowing where it grows that goes in with a slow crop, if any."""
    for way in book.ways:
        if book.crops[way.crop].key != catch.key or way.tray >= 0 or group not in way.groups:
            continue
        if way.own:
            continue
        table, day = way.courses, (begins - way.courses.start).days
        fine = table.feasible & (table.sow >= day) & (table.sow <= day + WAIT_DAYS)
        fine &= (table.lot_ready >= 0).any(axis=1)  # else it is fit while nobody is there
        found = np.flatnonzero(fine & (table.planting_out < 0))
        if found.size:
            return table.course(int(found[np.argmin(table.sow[found])]))
    return None


def _out(course: Course) -> date:
    """Return the day by which a catch crop is out."""
    return min(course.lots[0].last, course.harvest_start + timedelta(days=LIFTED_WITHIN_DAYS))


def _too_soon(plan: Plan, p: Planting, catch: Crop, crops: dict[str, Crop]) -> bool:
    """Return whether the catch crop's family stands in that bed too near in time."""
    if catch.family == crops[p.crop].family:
        return False
    gap = timedelta(days=catch.rotation_gap_days)
    if not gap:
        return False
    begins = p.occupies_from
    return any(
        crops[q.crop].family == catch.family
        and q.occupies_from < p.cleared + gap
        and q.cleared + gap > begins
        for q in plan.plantings
        if q.place == p.place
    )


def _tried(plan: Plan, crops: dict[str, Crop], chance: _Chance) -> tuple[float, str]:
    """Return how many periods' wants a chance would bring, and the advice in words."""
    p, catch, course = chance.planting, chance.catch, chance.course
    main, bed = crops[p.crop], plan.place(p.place)
    begins = p.occupies_from
    inner = bed.width_m - 2 * bed.edge_m
    spacing = main.spacing_cm / 100
    points = positions(p.strip, 0.0, inner, spacing)[: p.plants]
    rows = main.row_spacing_cm / 100
    layout = Layout(
        points, "rows", 0, BoundBy.NOTHING, p.strip_length_m, inner, spacing, rows, 0.0,
        along=p.along,
    )  # fmt: skip
    slow = Stay((p.harvest_start - begins).days, 0.0, p.planting_out is not None)
    quick = Stay((course.harvest_start - begins).days, (_out(course) - begins).days, False)
    found = intercrop(main, catch, slow, quick, layout)
    if not found.plants:
        return 0.0, ""
    share, gain = course.lots[0].share, 0.0
    left = found.plants * share / plants_per_unit(catch, chance.periods[0].unit)
    for want in sorted(chance.periods, key=lambda one: one.start):
        used = min(left, want.wanted - want.met)
        left, gain = left - used, gain + used / want.wanted
    first = min(want.start for want in chance.periods)
    sown = "as that is planted out" if p.planting_out else "with it"
    words = (
        f"{catch.name} goes short about {day_words(first)}: some {found.plants} could stand "
        f"between the {in_list(main.name)} in {p.place}, sown {day_words(course.sow)} {sown}, fit "
        f"about {day_words(course.harvest_start)} and out by {day_words(_out(course))}."
    )
    return gain, words
