"""Strips of one place over time, and how they are fitted in side by side.

A strip takes so many units of a place from one day to another. Where it lies is told as the runs
of units it takes, ``(first, after the last)``; one run in a bed, and wherever it can be in holes
and pots.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from sowplan.season.choices.instance import Batch, CropCase, Spot
from sowplan.season.search.room import runs

Runs = tuple[tuple[int, int], ...]


@dataclass(eq=False, slots=True)
class Strip:
    """A batch as ground taken: ``units`` of a place from ``into`` until before ``clear``.

    ``high`` says that it is tall and shades what stands poleward of it, ``held`` that it stays
    where it is.
    """

    crop: int
    family: int
    gap: int
    into: int
    clear: int
    units: int
    high: bool
    held: bool
    area: int  # units times days
    first: int  # the days of its stay that are in the season
    until: int

    def meets(self, other: Strip) -> bool:
        """Return whether two strips are there on a same day."""
        return self.into < other.clear and other.into < self.clear


def strip_of(batch: Batch, case: CropCase, held: bool) -> Strip:
    """Return a batch as a strip."""
    _, into, clear, *_ = case.options.rows[batch.option]
    units = batch.mask.bit_count()
    return Strip(
        batch.crop, case.family, case.gap_days, into, clear, units, case.high, held,
        units * (clear - into), max(into, 0), max(clear, into + 1, 1),
    )  # fmt: skip


def runs_of(mask: int) -> Runs:
    """Return units taken, as bits, as runs."""
    return tuple((at, at + many) for at, many in runs(mask))


def mask_of(taken: Runs) -> int:
    """Return runs of units as bits."""
    return sum(((1 << until - at) - 1) << at for at, until in taken)


def shut_in(spot: Spot) -> Runs:
    """Return the runs of a place that nothing can take."""
    return runs_of(spot.closed)


def gaps(taken: Iterable[tuple[int, int]], size: int) -> Iterator[tuple[int, int]]:
    """Yield each free run between taken ones, the lowest first."""
    at = 0
    for first, until in sorted(taken):
        if first > at:
            yield at, first
        at = max(at, until)
    if size > at:
        yield at, size
