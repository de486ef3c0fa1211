"""Row shapes: how plants can stand in parallel rows of one given width.

All widths here are those on which plant centres may stand (the edge is already
taken off), so a row of n plants spans exactly that width. Only rows that repeat
every second row are told of here; whatever is stacked from them is the
business of strips and fits.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

Kind = Literal["plain", "offset", "mixed"]

SLACK = 1e-9
"""Relative slack when a length is counted in spacings: 1.2 m / 0.3 m is four in floats too."""

ROOT3 = math.sqrt(3.0)


@dataclass(frozen=True)
class RowShape:
    """Odd and even rows: numbers, first mark and the step in the row, and the pitch between rows.

    ``first_m`` are the places of the first plants of odd and even rows along the row, counted
    from the end of the width; ``step_m`` is the distance from plant to plant in the row.
    """

    kind: Kind
    per_row: tuple[int, int]
    first_m: tuple[float, float]
    step_m: float
    pitch_m: float

    def plants_in(self, rows: int) -> int:
        """Return the number of plants in so many rows, the first an odd one."""
        return (rows + 1) // 2 * self.per_row[0] + rows // 2 * self.per_row[1]

    def rows_for(self, plants: int) -> int:
        """Return the fewest rows that hold at least so many plants."""
        odd, even = self.per_row
        pairs, left = divmod(max(plants, 0), odd + even)
        return 2 * pairs + (left > 0) + (left > odd)


def count_along(width_m: float, spacing_m: float) -> int:
    """Return how many points ``spacing_m`` apart stand on a line of ``width_m`` (0 if negative)."""
    if width_m < -SLACK * spacing_m:
        return 0
    return math.floor(max(width_m, 0.0) / spacing_m + SLACK) + 1


def abreast(width_m: float, spacing_m: float, row_spacing_m: float) -> tuple[int, float, float]:
    """Return how many rows run side by side along a width, the first one's place, and their gap.

    The outermost may stand half an in-row spacing from either side, as the ends of rows do. What
    is left over is shared: half of a row's share of the width at either side, where that is more.

    Parameters
    ----------
    width_m : float
        Of the bed [m], its edge not taken off.
    spacing_m, row_spacing_m : float
        Between plants in the row, and the least between rows [m].

    Returns
    -------
    rows : int
        0 where the width is less than one in-row spacing.
    first_m, gap_m : float
        From the side to the first row, and from row to row [m].
    """
    inner = width_m - spacing_m
    rows = count_along(0.0 if abs(inner) <= SLACK * spacing_m else inner, row_spacing_m)
    if rows == 0:
        return 0, 0.0, 0.0
    gap = max(row_spacing_m, width_m / rows)
    return rows, (width_m - (rows - 1) * gap) / 2, gap


def plain(width_m: float, spacing_m: float, pitch_m: float) -> RowShape | None:
    """Return plain rows, every plant behind the last, spread over the whole width.

    Returns
    -------
    RowShape or None
        None where not even one plant stands in the width.
    """
    n = count_along(width_m, spacing_m)
    if n == 0:
        return None
    if n == 1:  # one plant a row stands in the middle, not at one end
        middle = max(width_m, 0.0) / 2
        return RowShape("plain", (1, 1), (middle, middle), spacing_m, pitch_m)
    return RowShape("plain", (n, n), (0.0, 0.0), width_m / (n - 1), pitch_m)


def offset_pitch(step_m: float, spacing_m: float) -> float:
    """Return the least pitch of rows offset by half a step.

    Plants of neighbouring rows are half a step aside, those of every second row straight
    behind one another: both must be ``spacing_m`` apart.
    """
    aside = min(step_m / 2, spacing_m)
    return max(math.sqrt(spacing_m**2 - aside**2), spacing_m / 2)


def offset_rows(width_m: float, spacing_m: float, plants: int, *, equal: bool) -> RowShape | None:
    """Return offset rows of ``plants`` each (``equal``) or of ``plants`` and one fewer in turn.

    The step is spread so that the rows fill the width; the rows then move together as far as
    the spacing allows. At a step of one spacing the pitch is √3/2 of it, the usual offset row.
    """
    gaps = plants - 0.5 if equal else plants - 1.0
    if plants < (1 if equal else 2) or width_m < 0.0:
        return None
    step = width_m / gaps
    if plants > 1 and step < spacing_m * (1 - SLACK):
        return None
    per_row = (plants, plants if equal else plants - 1)
    return RowShape("offset", per_row, (0.0, step / 2), step, offset_pitch(step, spacing_m))


def shapes(width_m: float, spacing_m: float) -> list[RowShape]:
    """Return every row shape worth trying for plants equally far apart in all directions.

    Plain rows first; then offset rows with steps from one spacing to √3 spacings (at √3 the
    offset rows are those along the other side, so nothing wider needs trying, save the first
    step beyond it, where a narrow bed leaves no other).
    """
    found = [plain(width_m, spacing_m, spacing_m)]
    most = count_along(width_m, spacing_m) + 1
    least = max(1, math.floor(max(width_m, 0.0) / (ROOT3 * spacing_m)))
    for n in range(most, least - 1, -1):
        found.append(offset_rows(width_m, spacing_m, n, equal=True))
        found.append(offset_rows(width_m, spacing_m, n, equal=False))
    return [shape for shape in found if shape is not None]
