"""The turns that families take in a bed: whether sowings keep to them."""

from __future__ import annotations

from collections.abc import Iterable


def in_turn(stands: Iterable[tuple[int, int, int]], turn_days: int) -> bool:
    """Return whether what stands of a family in a bed keeps to its turns.

    Growers count in seasons: a family has one turn in a bed, in which its sowings may follow one
    another, for at most ``turn_days`` from the first of them. After it the family waits its gap.
    Crops that need not wait have no part in it.

    Parameters
    ----------
    stands : iterable of (int, int, int)
        First day in the bed, first day it is free again, and days to wait before it may come back.
    turn_days : int
        How long a turn may last.
    """
    resting = sorted(stand for stand in stands if stand[2] > 0)
    if not resting:
        return True
    (start, last, _), *later = resting
    for first, until, gap in later:
        if first - start >= turn_days:
            if first < last + gap:
                return False
            start, last = first, until
        last = max(last, until)
    return True
