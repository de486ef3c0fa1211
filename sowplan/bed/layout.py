"""A layout: where each plant of one crop stands in one place."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

Pattern = Literal[
    "square", "rows", "offset along length", "offset along width", "mixed", "free", "none"
]


@dataclass(frozen=True, eq=False)
class Layout:
    """Positions in metres from the bed's corner: x along the length, y along the width.

    ``positions`` has shape (plants, 2), sorted row by row; ``bound`` is a number of plants that
    no layout under the same rules can exceed, and ``bound_by`` says which bound it is.
    """

    positions: NDArray[np.float64]
    pattern: Pattern
    bound: int
    bound_by: str
    length_m: float
    width_m: float
    spacing_m: float
    row_spacing_m: float
    edge_m: float
    reason: str = ""  # why there is no plant at all, where there is none

    @property
    def plants(self) -> int:
        """Number of plants."""
        return len(self.positions)


@dataclass(frozen=True)
class Strip:
    """Whole rows across a bed: what one batch takes of the bed's length.

    ``per_row`` are the numbers in odd and even rows (they differ where rows are offset);
    rows stand ``pitch_m`` apart, the first ``lead_m`` behind the strip's start.
    """

    rows: int
    per_row: tuple[int, int]
    pitch_m: float
    lead_m: float
    length_m: float
    plants: int


def no_room(empty: Layout) -> str:
    """Return why a bed takes no plant at all, with the figures."""
    short = min(empty.length_m, empty.width_m)
    need = 2 * empty.edge_m
    return (
        f"the bed is {short * 100:g} cm at its narrowest, and one plant needs "
        f"{need * 100:g} cm: {empty.edge_m * 100:g} cm clear on either side"
    )
