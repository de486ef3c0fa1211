"""The book of a season: the instance made of a garden, and the way back from its numbers.

The instance knows days and numbers only; the book keeps which crop, course, bed and tray they were.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any, NamedTuple

from sowplan.growth.courses import Conditions, CourseTable
from sowplan.records.crop import Crop
from sowplan.records.garden import Garden, Place, Tray
from sowplan.season.choices.instance import Instance
from sowplan.season.days import closed_to_sowing, watered_days
from sowplan.season.periods import is_away

ROWS = 1_000_000
"""A course's number is its table's number times this, plus its row."""


@dataclass(frozen=True, eq=False)
class Way:
    """A crop in equal conditions: in what places, from which group of trays, its courses."""

    crop: int
    conditions: Conditions
    groups: tuple[int, ...]
    tray: int  # group, or `DIRECT`, `BOUGHT`
    courses: CourseTable
    own: bool = False  # under a cover that is laid over some of the gardener's own sowings alone

    def is_of(self, cover: str) -> bool:
        """Return whether a sowing of the gardener's with such a cover over it grows this way."""
        return self.own == (cover != "none") and (not self.own or self.conditions.cover == cover)


class Settled(NamedTuple):
    """A sowing the gardener has decided on: its number and day, and when it may be harvested.

    ``since``: the season's first day, what was fit before is had; ``end``: first day it is gone.
    ``even_so``: it stands whether anything comes of it or not. ``cover``: what is laid over it.
    """

    number: int
    day: int
    since: int
    end: int
    even_so: bool = False
    cover: str = "none"


@dataclass(frozen=True, eq=False)
class Book:
    """A garden as an instance, with everything needed to read a solution back."""

    garden: Garden
    instance: Instance
    sky: Any
    origin: date
    crops: tuple[Crop, ...]
    places: tuple[Place, ...]
    trays: tuple[Tray, ...]
    ways: tuple[Way, ...]
    sow_days: tuple[int, ...]  # on which anything may be sown; see `open_to`
    unit_m: float  # metres of bed to a unit of room
    safety: float = 0.5  # share of years in which harvests are there on the planned day

    def day(self, index: int) -> date:
        """Return the date of a day of the instance."""
        return self.origin + timedelta(days=int(index))

    def index(self, day: date) -> int:
        """Return the day of the instance that a date is."""
        return (day - self.origin).days

    def open_to(self, way: Way, days: Iterable[int]) -> set[int]:
        """Return the days, of some, on which a crop may be sown in a way, be anybody away soon."""
        needs = watered_days(self.crops[way.crop], way.conditions)
        closed = closed_to_sowing(self.garden.season, needs)
        return {day for day in days if not is_away(closed, self.day(day))}

    def course(self, number: int) -> tuple[Way, int]:
        """Return the way and row that an option's course number stands for."""
        way, row = divmod(int(number), ROWS)
        return self.ways[way], row
