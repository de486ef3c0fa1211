"""The least of rows of numbers over any span of days, kept in tables of spans of 1, 2, 4 … days."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray


class RangeLow:
    """The least of each row over any span of days; ``changed`` rows are refreshed on asking."""

    def __init__(self, rows: NDArray[np.int64]):
        self.rows = rows
        many, days = rows.shape
        self.levels = max(int(days).bit_length(), 1)
        self.low = np.empty((many, self.levels, days), np.int32)
        self.log = np.zeros(days + 2, np.int64)
        self.log[2:] = np.floor(np.log2(np.arange(2, days + 2)) + 1e-12)
        self.changed = set(range(many))

    def refresh(self, row: int) -> None:
        """Work a row out anew."""
        low = self.low[row]
        low[0] = self.rows[row]
        for level in range(1, self.levels):
            half = 1 << (level - 1)
            low[level] = low[level - 1]
            np.minimum(low[level - 1, :-half], low[level - 1, half:], out=low[level, :-half])

    def most(
        self, rows: NDArray[np.int64], first: NDArray[np.int64], until: NDArray[np.int64]
    ) -> NDArray[np.int64]:
        """Return, for each span ``first`` to before ``until``, the greatest least of the rows."""
        for row in self.changed.intersection(rows.tolist()):
            self.refresh(row)
            self.changed.discard(row)
        level = self.log[until - first]
        _, levels, days = self.low.shape
        low, start = self.low.reshape(-1), (rows * (levels * days))[:, None]
        # Looked up by their position in the whole table: no part of it is copied.
        ahead = low.take(start + (level * days + first))
        behind = low.take(start + (level * days + until - (1 << level)))
        return np.minimum(ahead, behind).max(axis=0)
