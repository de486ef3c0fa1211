"""A season partly gone and planned again: what stands, and the old plan's sowings to come."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from sowplan.records.garden import Garden
from sowplan.season.choices.book import Book
from sowplan.season.choices.instance import Batch
from sowplan.season.plan import Plan
from sowplan.season.revise.numbers import Numbers
from sowplan.season.revise.so_far import Past
from sowplan.season.revise.stood import State
from sowplan.season.search.standing import Standing


@dataclass(frozen=True, eq=False)
class Begun:
    """A season partly gone, with the old plan's sowings to come on the beds again."""

    plan: Plan
    garden: Garden
    today: date
    state: State
    numbers: Numbers
    book: Book
    standing: Standing
    stands: dict[str, Batch]  # by planting id
    kept: dict[str, Batch]  # futures that stand exactly as planned
    moved: dict[str, Batch]  # futures that found another place or day
    past: tuple[Past, ...]
    many: int  # sowings to come in the old plan, but for the gardener's own
