"""Setting out: from positions to rows, and from rows to what one reads beside the bed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sowplan.bed.layout import Layout
from sowplan.quantity import INCH_M, Units, format_step

SAME_M = 0.002
"""Marks nearer than this are one mark: nobody sets a plant truer than two millimetres."""
MOST_MARKS = 14
"""More marks than this in a row, evenly apart, are told as a step instead."""
EACH_RUN = 5
"""Long rows of marks are told by their steps where each step is taken so many times or more."""
FEET_FROM_M = 120 * INCH_M
"""Marks that go on farther than this are told in feet and inches."""


@dataclass(frozen=True)
class Row:
    """One row: how far it is from the side, and its plants' marks from the end [m]."""

    at_m: float
    marks_m: tuple[float, ...]


@dataclass(frozen=True)
class SettingOut:
    """The rows of a layout. ``along`` says whether they run along the bed or across it."""

    along: bool
    rows: tuple[Row, ...]


def setting_out(positions: NDArray[np.float64], along: bool | None = None) -> SettingOut:
    """Return positions as rows, running whichever way makes fewer of them.

    Parameters
    ----------
    positions : ndarray, shape (plants, 2)
        Metres from the bed's corner.
    along : bool, optional
        Whether the rows run along the bed or across it, where that is settled (`Layout.along`).
    """
    if along is not None:
        return SettingOut(along, _rows(positions, 1 if along else 0))
    ways = [_rows(positions, axis) for axis in (1, 0)]
    along = len(ways[0]) <= len(ways[1])
    return SettingOut(along, ways[0] if along else ways[1])


def _rows(positions: NDArray[np.float64], axis: int) -> tuple[Row, ...]:
    order = np.lexsort((positions[:, 1 - axis], positions[:, axis]))
    rows: list[tuple[float, list[float]]] = []
    for point in positions[order].tolist():
        if not rows or point[axis] - rows[-1][0] > SAME_M:
            rows.append((point[axis], []))
        rows[-1][1].append(point[1 - axis])
    return tuple(Row(at, tuple(sorted(marks))) for at, marks in rows)


def mark(metres: float, units: Units = "metric") -> str:
    """Return a mark as a tape shows it: centimetres to the half, or inches to the quarter.

    From three feet up inches have the feet before them: ``"3′6″"``.
    """
    if units == "imperial":
        feet, quarters = _feet(metres)
        return f"{feet}′{_inches(quarters)}″" if feet else _inches(quarters)
    return f"{round(metres * 200) / 2:g}"


def _feet(metres: float) -> tuple[int, int]:
    """Return whole feet, 0 below three, and the rest in quarters of an inch."""
    quarters = round(metres / INCH_M * 4)
    return divmod(quarters, 48) if quarters >= 144 else (0, quarters)


def _inches(quarters: int) -> str:
    part = ("", "¼", "½", "¾")[quarters % 4]
    return f"{quarters // 4 if quarters >= 4 or not part else ''}{part}"


def unit_of(units: Units) -> str:
    """Return the unit of marks."""
    return "in" if units == "imperial" else "cm"


def mark_text(metres: float, units: Units = "metric") -> str:
    """Return a mark with its unit: ``"12.5 cm"``, ``"30 in"``, ``"3 ft 6 in"``."""
    feet, quarters = _feet(metres) if units == "imperial" else (0, 0)
    if not feet:
        return f"{mark(metres, units)} {unit_of(units)}"
    return f"{feet} ft {_inches(quarters)} in" if quarters else f"{feet} ft"


def marks_text(marks_m: Sequence[float], units: Units = "metric") -> str:
    """Return a list of marks: ``"10, 30, 50 cm"``, or by its steps where it is long.

    All are in one unit: along a tape inches count on past the feet, up to `FEET_FROM_M`.
    """
    runs = _even_runs(marks_m) if len(marks_m) > MOST_MARKS else []
    if runs and len(runs) <= len(marks_m) / EACH_RUN:
        told, at = mark_text(marks_m[0], units), 0
        for many in runs:
            part = marks_m[at : at + many + 1]
            every = _step_text((part[-1] - part[0]) / many, many, units)
            told += f", then every {every} up to {mark_text(part[-1], units)}"
            at += many
        return f"{told} ({len(marks_m)} marks)"
    if len(marks_m) == 1:
        return mark_text(marks_m[0], units)
    if units == "metric":
        return f"{', '.join(map(mark, marks_m))} cm"
    if marks_m[-1] > FEET_FROM_M:
        return ", ".join(mark_text(m, units) for m in marks_m)
    return f"{', '.join(_inches(round(m / INCH_M * 4)) for m in marks_m)} in"


def _even_runs(marks_m: Sequence[float]) -> list[int]:
    """Return the numbers of steps that are alike one after the other, from the first mark on."""
    runs: list[int] = []
    first = -1.0
    for step in np.diff(marks_m).tolist():
        if runs and abs(step - first) < SAME_M:
            runs[-1] += 1
        else:
            runs.append(1)
            first = step
    return runs


def _step_text(step_m: float, many: int, units: Units) -> str:
    """Return a step that is taken so many times: finer than a mark where that would add up."""
    if units == "metric":
        on_mark = abs(step_m * 200 - round(step_m * 200)) <= 0.02
        return mark_text(step_m, units) if on_mark else f"{step_m * 1000:.1f} mm"
    inches = step_m / INCH_M
    on_mark = abs(inches * 4 - round(inches * 4)) * many <= 2.0
    return mark_text(step_m, units) if on_mark else format_step(step_m, many)


def instructions(layout: Layout, units: Units = "metric") -> list[str]:
    """Return how to set a layout out, a line for each kind of row.

    Rows with the same marks share a line. All marks are measured from one and the same corner.
    """
    if layout.plants == 0:
        return []
    if layout.pattern == "free":
        return _each_plant(layout, units)
    out = setting_out(layout.positions, layout.along)
    way = "along the bed" if out.along else "across the bed"
    side = "long side" if out.along else "end"
    if out.along and layout.length_m < layout.width_m:
        side = "side"
    one = len(out.rows) == 1
    count = "1 row" if one else f"{len(out.rows)} rows"
    at = marks_text([row.at_m for row in out.rows], units)
    lines = [f"{count} {way}, {at} from the {side}."]
    for name, marks in kinds(out):
        lines.append(f"{name}: {marks_text(marks, units)}")
    return lines


def kinds(out: SettingOut) -> list[tuple[str, tuple[float, ...]]]:
    """Return the kinds of rows: which rows they are, in words, and their marks [m]."""
    return [(_which(numbers, len(out.rows)), marks) for numbers, marks in _alike(out.rows)]


def _each_plant(layout: Layout, units: Units) -> list[str]:
    unit = unit_of(units)
    lines = [f"Each plant at its own mark, {unit} along the bed | {unit} across it:"]
    for start in range(0, layout.plants, 6):
        part = layout.positions[start : start + 6].tolist()
        lines.append("  ".join(f"{mark(x, units)} | {mark(y, units)}" for x, y in part))
    return lines


def _alike(rows: Sequence[Row]) -> list[tuple[list[int], tuple[float, ...]]]:
    """Return rows with like marks together: their numbers, from 1, and the marks."""
    kinds: list[tuple[list[int], tuple[float, ...]]] = []
    for number, row in enumerate(rows, 1):
        for numbers, marks in kinds:
            same = len(marks) == len(row.marks_m)
            if same and all(abs(a - b) < SAME_M for a, b in zip(marks, row.marks_m, strict=True)):
                numbers.append(number)
                break
        else:
            kinds.append(([number], row.marks_m))
    return kinds


def _which(numbers: list[int], rows: int) -> str:
    """Return ``"Every row"``, ``"Odd rows"``, ``"Row 2"`` or ``"Rows 1, 4 and 7"``."""
    if len(numbers) == rows:
        return "Every row" if rows > 1 else "Row 1"
    if rows > 4 and numbers == list(range(1, rows + 1, 2)):
        return "Odd rows (1, 3, 5 …)"
    if rows > 4 and numbers == list(range(2, rows + 1, 2)):
        return "Even rows (2, 4, 6 …)" if rows > 5 else "Even rows (2, 4)"
    if len(numbers) > max(4, rows / 2):
        missing = [n for n in range(1, rows + 1) if n not in numbers]
        return f"All rows but {_list(missing)}"
    if len(numbers) == 1:
        return f"Row {numbers[0]}"
    return f"Rows {_list(numbers)}"


def _list(numbers: list[int]) -> str:
    """Return ``"1, 4 and 7"``."""
    head = ", ".join(map(str, numbers[:-1]))
    return f"{head} and {numbers[-1]}" if head else str(numbers[-1])
