"""Strips of one place over time, and how they are fitted in side by side.

A strip takes so many units of a place from one day to another. Where it lies is told as the runs
of units it takes, ``(first, after the last)``; one run in a bed, and wherever it can be in holes
and pots.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from sowplan.season.instance import Batch, CropCase, Spot
from sowplan.season.room import runs

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


def from_end(strip: Strip, spot: Spot) -> bool:
    """Return whether a strip is laid from the upper end of its place.

    Tall crops stand at the poleward end; everything else is laid from the other.
    """
    return spot.poleward > 0 if strip.high else spot.poleward < 0


def fitted(
    spot: Spot,
    strips: Mapping[int, Strip],
    order: Sequence[int],
    lie: Mapping[int, Runs],
    tight: bool = False,
) -> dict[int, Runs] | None:
    """Return where strips come to lie, each as near its end of the place as it can.

    Parameters
    ----------
    spot : Spot
        The place.
    strips : mapping of int to Strip
        All strips, by number.
    order : sequence of int
        Those to lay, in this order.
    lie : mapping of int to runs
        Those that lie already.
    tight : bool
        Lay each into the tightest gap that holds it instead.

    Returns
    -------
    dict of int to runs
        Of all of ``lie`` and ``order``; None where they do not all fit.
    """
    found = dict(lie)
    shut = shut_in(spot)
    for number in order:
        strip = strips[number]
        taken = list(shut)
        for other, there in found.items():
            if strip.meets(strips[other]):
                taken += there
        at = _place(strip.units, list(gaps(taken, spot.size)), from_end(strip, spot), tight)
        if at < 0:
            return None
        found[number] = ((at, at + strip.units),)
    return found


def _place(units: int, free: list[tuple[int, int]], upper: bool, tight: bool) -> int:
    """Return the first unit of a gap to lay so many units from; -1 where there is none."""
    fit = [gap for gap in free if gap[1] - gap[0] >= units]
    if not fit:
        return -1
    if tight:
        gap = min(fit, key=lambda g: g[1] - g[0])
    else:
        gap = fit[-1] if upper else fit[0]
    return gap[1] - units if upper else gap[0]


def packed(
    spot: Spot, strips: Mapping[int, Strip], numbers: Sequence[int], lie: Mapping[int, Runs]
) -> dict[int, Runs] | None:
    """Return a way for strips to lie in a place, found by laying them in a few orders.

    ``lie`` tells where those lie that are there already: kept if the others fit in beside them.
    """
    new = [n for n in numbers if n not in lie]
    here = {n: lie[n] for n in numbers if n in lie}
    new.sort(key=lambda n: (-strips[n].area, n))
    found = fitted(spot, strips, new, here, True)
    if found is not None:
        return found
    held = {n: lie[n] for n in numbers if strips[n].held}
    free = [n for n in numbers if not strips[n].held]
    if _overfull(spot, [strips[n] for n in numbers]):
        return None
    for key in _ORDERS:
        found = fitted(spot, strips, sorted(free, key=lambda n: (key(strips[n]), n)), held)
        if found is not None:
            return found
    return None


_ORDERS = (
    lambda s: (s.into - s.clear, -s.units),  # long stays first: short ones fit around them
    lambda s: (s.into, -s.units),
    lambda s: (-s.units, s.into),
)


def _overfull(spot: Spot, strips: Sequence[Strip]) -> bool:
    """Return whether on some day more would be taken than there is."""
    steps = sorted(
        [(s.into, s.units) for s in strips] + [(s.clear, -s.units) for s in strips],
    )
    taken, room = 0, spot.open
    for _, units in steps:
        taken += units
        if taken > room:
            return True
    return False
