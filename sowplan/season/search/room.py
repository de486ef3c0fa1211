"""Room in one place over time: who stands where, and where a batch can still go.

A place is a row of units (millimetres of a bed, holes, pots); what is taken is a whole number whose
bits are the units. Finding a free stretch for a span of days is then a handful of operations on
long integers, however many batches stand there.
"""

from __future__ import annotations

from collections.abc import Iterator


class Room:
    """What stands in one place, as (first day, first free day, units, holder)."""

    __slots__ = ("size", "full", "stands")

    def __init__(self, size: int, closed: int = 0):
        self.size = size
        self.full = ((1 << size) - 1) & ~closed
        self.stands: list[tuple[int, int, int, int]] = []

    def free(self, into: int, clear: int) -> int:
        """Return the units that nothing takes from ``into`` until the day before ``clear``."""
        taken = 0
        for first, until, units, _ in self.stands:
            if first < clear and into < until:
                taken |= units
        return self.full & ~taken

    def strip(
        self, into: int, clear: int, length: int, end: int = 0, outermost: bool | int = False
    ) -> int:
        """Return ``length`` adjoining free units in the tightest gap that holds them; 0 if none.

        ``end`` 1 puts the strip at the upper end of its gap, -1 or 0 at the lower one;
        ``outermost`` takes the gap nearest that end of the place instead of the tightest.
        """
        best_gap = self.size + 1
        best = 0
        for start, gap in runs(self.free(into, clear)):
            if gap < length:
                continue
            if outermost:
                if end < 0:
                    return ((1 << length) - 1) << start
                best_gap, best = gap, start + gap - length
            elif gap < best_gap:
                best_gap = gap
                best = start + (gap - length if end > 0 else 0)
                if gap == length:
                    break
        if best_gap > self.size:
            return 0
        return ((1 << length) - 1) << best

    def scattered(self, into: int, clear: int, pieces: int, each: int) -> int:
        """Return ``pieces`` times ``each`` adjoining free units, tightest gaps first; 0 if none."""
        found = 0
        gaps = sorted(runs(self.free(into, clear)), key=lambda gap: (gap[1] % each, gap[0]))
        for start, gap in gaps:
            take = min(gap // each, pieces)
            if take:
                found |= ((1 << take * each) - 1) << start
                pieces -= take
            if not pieces:
                return found
        return 0

    def most(self, into: int, clear: int, each: int, whole: bool) -> int:
        """Return the most units that one batch could have for a span of days.

        Adjoining ones where the place is taken as a ``whole``, as beds are; else all that stand
        free by ``each``.
        """
        return widest(self.free(into, clear), each, whole)

    def add(self, into: int, clear: int, units: int, holder: int) -> None:
        """Let a holder take units for a span of days."""
        self.stands.append((into, clear, units, holder))

    def remove(self, holder: int) -> None:
        """Free what a holder takes."""
        self.stands = [stand for stand in self.stands if stand[3] != holder]


def widest(free: int, each: int, whole: bool) -> int:
    """Return the most of some free units that one batch could have, as `Room.most`."""
    gaps = [gap for _, gap in runs(free)]
    return max(gaps, default=0) if whole else sum(gap // each * each for gap in gaps)


def runs(units: int) -> Iterator[tuple[int, int]]:
    """Yield each run of set bits as (lowest, number), lowest first."""
    at = 0
    while units:
        skip = (units & -units).bit_length() - 1
        units >>= skip
        at += skip
        length = (~units & (units + 1)).bit_length() - 1
        yield at, length
        units >>= length
        at += length
