"""A layout: where each plant of one crop stands in one place."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import Literal

import numpy as np
from numpy.typing import NDArray

Pattern = Literal[
    "square", "rows", "offset along length", "offset along width", "mixed", "free", "none"
]


class BoundBy(StrEnum):
    """What says that no layout holds more plants."""

    NOTHING = "nothing fits"
    OLER = "Oler's bound"
    AREA = "the area bound"
    NARROW = "a bed narrower than one spacing"
    SQUARE = "the proven best for points in a square"
    CIRCLE = "the proven best for points in a circle"
    PARTS = "the bounds of its parts"
    ROWS = "whole rows along either side"
    ROWS_FREE = "whole rows, were nothing in the way"
    SQUARES = "whole squares"
    TRELLIS = "one line along the trellis"


@dataclass(frozen=True)
class NoRoom:
    """Why not one plant finds room, in metres; put into words where the units are known.

    ``kind`` is ``"narrow"`` where the shorter side is less than one plant needs, ``"outline"``
    where no part of an odd outline is wide enough, ``"in the way"`` where keep-outs leave no place,
    ``"pattern"`` where only the pattern asked for has none, ``"squares"`` where no whole square
    goes in. ``side_m`` is the side in question, ``need_m`` what one plant takes of it; for
    ``"in the way"`` half of ``need_m`` is kept from the sides and ``clear_m`` from what stands
    there.
    """

    kind: Literal["narrow", "outline", "in the way", "pattern", "squares"]
    side_m: float = 0.0
    need_m: float = 0.0
    clear_m: float = 0.0


@dataclass(frozen=True, eq=False)
class Layout:
    """Positions in metres from the bed's corner: x along the length, y along the width.

    ``positions`` has shape (plants, 2), sorted row by row; ``bound`` is a number of plants that
    no layout under the same rules can exceed, and ``bound_by`` says which bound it is. ``along``
    says which way plain rows run whose spacing differs from that of the plants in them: along the
    bed or across it; None for all other layouts.
    """

    positions: NDArray[np.float64]
    pattern: Pattern
    bound: int
    bound_by: BoundBy
    length_m: float
    width_m: float
    spacing_m: float
    row_spacing_m: float
    edge_m: float
    reason: NoRoom | None = None  # why there is no plant at all, where there is none
    along: bool | None = None

    @property
    def plants(self) -> int:
        """Number of plants."""
        return len(self.positions)


@dataclass(frozen=True)
class Strip:
    """Rows across a bed, or side by side along it: what one batch takes of the bed's length.

    ``per_row`` are the numbers in odd and even rows (they differ where rows are offset). Rows
    stand ``pitch_m`` apart: across the bed behind one another, the first ``lead_m`` from the
    strip's start; ``along`` it beside one another, the first plant of each ``lead_m`` from it.
    ``plants`` is how many there is room for.
    """

    rows: int
    per_row: tuple[int, int]
    pitch_m: float
    lead_m: float
    length_m: float
    plants: int
    along: bool = False
