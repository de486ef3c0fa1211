"""The rulers beside a bed's plan: marks to set the plants at, measured from the bed's corner."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial

from sowplan.bed.marks import SAME_M, Row, SettingOut, Units, mark
from sowplan.export.pictures import svg
from sowplan.export.pictures.lettering import width
from sowplan.export.pictures.style import SMALL, Palette
from sowplan.quantity import INCH_M

WIDE = 480.0
"""Width of the picture [px]: shown on a phone, its smallest letters stay legible."""
TAPE_STEPS_M = (0.05, 0.1, 0.2, 0.5, 1.0)
TAPE_STEPS_IN_INCHES_M = tuple(INCH_M * inches for inches in (2, 4, 6, 12, 24, 48))
TAPE_PX = 26.0
"""Figures of a plain tape stand at least so far apart [px]."""


@dataclass(frozen=True)
class Sheet:
    """Where a length of the bed is drawn: its part of the bed [m] and its top left [px].

    ``pad`` is how far leaves lean out over the sides [px]: rulers keep clear of them.
    """

    start_m: float
    end_m: float
    left: float
    top: float
    scale: float
    pad: float

    def at(self, x_m: float, y_m: float) -> tuple[float, float]:
        """Return where a place of the bed is drawn [px]."""
        return self.left + (x_m - self.start_m) * self.scale, self.top + y_m * self.scale


def rulers(
    patches: Sequence[SettingOut],
    sheet: Sheet,
    sides_m: tuple[float, float],
    units: Units,
    colours: Palette,
    whole: bool = False,
) -> list[str]:
    """Return the rulers of a bed.

    With one crop, the marks of its first kind of row stand above, of its second below, and the
    places of the rows at the side (or the other way round, where rows run across). With several,
    whose rows seldom agree, all their rows stand along one side and a plain tape along the other.

    Parameters
    ----------
    patches : sequence of SettingOut
        Each crop's rows; none of them empty.
    sheet : Sheet
        The part of the bed that is drawn.
    sides_m : tuple of float
        Length and width of the bed [m].
    units : "metric" or "imperial"
        Of the figures.
    colours : Palette
        Colours of the picture.
    whole : bool
        Whether figures are told no finer than in the sheets of a plan.
    """
    if not patches:
        return []
    say = partial(_coarse, units=units) if whole else partial(mark, units=units)
    high = sides_m[1] * sheet.scale
    above, below = sheet.top - sheet.pad, sheet.top + high + sheet.pad
    if len(patches) > 1:
        top, across = (
            _rows_of_all(patches, axis) or _tape(side, sheet.scale, units)
            for axis, side in enumerate(sides_m)
        )
        marks = ((top, above, -1.0), ([], below, 1.0))
    else:
        odd, even, across = _of_one(patches[0])
        marks = ((odd, above, -1.0), (even, below, 1.0))
    parts = []
    for places, base, down in marks:
        here = [m for m in places if sheet.start_m <= m <= sheet.end_m]
        parts += _ruler(here, sheet, base, down, say, colours)
    return parts + _side_ruler(across, sheet, say, colours)


def _of_one(out: SettingOut) -> tuple[Sequence[float], Sequence[float], list[float]]:
    """Return one crop's marks above, below and at the side [m]."""
    rows: tuple[Row, ...] = out.rows
    if out.along:
        along = [row.marks_m for row in rows[:2]]
        across = [row.at_m for row in rows]
    else:  # rows run across: their places along the bed are the marks
        along = [tuple(row.at_m for row in rows[k::2]) for k in (0, 1)]
        across = sorted({round(m, 4) for row in rows[:2] for m in row.marks_m})
    if len(along) == 1 or _within(along[1], along[0]):
        return along[0], (), across
    return along[0], along[1], across


def _rows_of_all(patches: Sequence[SettingOut], axis: int) -> list[float]:
    """Return the places along a side (0: the length) of all rows, where all run across it."""
    found: list[float] = []
    for out in patches:
        if out.along == (axis == 1):
            found += [row.at_m for row in out.rows]
        elif all(len(row.marks_m) == 1 for row in out.rows):  # one line, whichever way it is told
            found += [row.marks_m[0] for row in out.rows[:1]]
        else:
            return []
    return sorted(found)


def _tape(side_m: float, scale: float, units: Units) -> list[float]:
    """Return the figures of a plain tape [m]: round ones, with room between."""
    steps = TAPE_STEPS_IN_INCHES_M if units == "imperial" else TAPE_STEPS_M
    step = next((one for one in steps if one * scale >= TAPE_PX), steps[-1])
    return [step * k for k in range(math.floor(side_m / step + 1e-9) + 1)]


def _within(marks: Sequence[float], others: Sequence[float]) -> bool:
    """Return whether every mark is among the others."""
    return all(any(abs(m - o) < SAME_M for o in others) for m in marks)


def _ruler(
    marks: Sequence[float],
    sheet: Sheet,
    base: float,
    down: float,
    say: Callable[[float], str],
    colours: Palette,
) -> list[str]:
    parts, free = [], -math.inf
    for m in marks:
        x, _ = sheet.at(m, 0.0)
        parts.append(svg.line(x, base, x, base + 5 * down, stroke=colours.quiet))
        words = say(m)
        half = width(words, SMALL) / 2
        if x - half < free:
            continue
        free = x + half + 5
        y = base - 8 if down < 0 else base + 16
        x = min(x, WIDE - 3 - half)
        parts.append(svg.text(x, y, words, SMALL, text_anchor="middle", fill=colours.ink))
    return parts


def _coarse(metres: float, units: Units) -> str:
    """Return a mark in whole centimetres or half inches, halves up."""
    if units == "imperial":
        return mark(math.floor(metres / INCH_M * 2 + 0.5 + 1e-9) / 2 * INCH_M, units)
    return f"{math.floor(metres * 100 + 0.5 + 1e-9)}"


def _side_ruler(
    marks: Sequence[float], sheet: Sheet, say: Callable[[float], str], colours: Palette
) -> list[str]:
    parts, free, left = [], -math.inf, sheet.left - sheet.pad
    for m in marks:
        _, y = sheet.at(0.0, m)
        parts.append(svg.line(left - 5, y, left, y, stroke=colours.quiet))
        if y - 5 < free:
            continue
        free = y + 7
        words = say(m)
        parts.append(svg.text(left - 8, y + 4, words, SMALL, text_anchor="end", fill=colours.ink))
    return parts
