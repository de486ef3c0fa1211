"""What ``sowplan fit`` says: the count first, then how to set it out, then what if."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from sowplan.quantity import format_length

if TYPE_CHECKING:
    from sowplan.bed.compare import Choice
    from sowplan.bed.layout import Layout
    from sowplan.bed.marks import Units

PATTERN_WORDS = {
    "square": "square: every plant right behind the last",
    "rows": "plain rows",
    "offset along length": "offset rows along the bed",
    "offset along width": "offset rows across the bed",
    "mixed": "offset rows, drawn out to fill the bed",
    "free": "each plant at its own mark",
    "none": "none",
}


def sentence(layout: Layout, name: str, bed: str, units: Units, clump: int = 1) -> str:
    """Return the answer: ``"45 plants of butterhead lettuce fit into 2.4 m × 1.2 m, …"``."""
    what = "clump" if clump > 1 else "plant"
    plural = "" if layout.plants == 1 else "s"
    fit = "fits" if layout.plants == 1 else "fit"
    apart = spacing_words(layout, units)
    if layout.plants == 0:
        return f"No {what} of {name} fits into {bed}, {apart}: {layout.reason}."
    more = f" of {clump}" if clump > 1 else ""
    return f"{layout.plants} {what}{plural}{more} of {name} {fit} into {bed}, {apart}."


def spacing_words(layout: Layout, units: Units) -> str:
    """Return ``"25 cm apart"`` or ``"5 cm apart in rows 15 cm apart"``."""
    in_row = format_length(layout.spacing_m, units)
    if abs(layout.spacing_m - layout.row_spacing_m) <= 1e-9:
        return f"{in_row} apart"
    return f"{in_row} apart in rows {format_length(layout.row_spacing_m, units)} apart"


def area_words(area_m2: float | None, units: Units) -> str:
    """Return a small area: ``"0.064 m²"`` or ``"0.69 sq ft"``."""
    if area_m2 is None:
        return "–"
    value, unit = (area_m2 / 0.09290304, "sq ft") if units == "imperial" else (area_m2, "m²")
    digits = max(0, 1 - math.floor(math.log10(value)))
    return f"{value:.{digits}f} {unit}"


def pattern_line(layout: Layout, area_m2: float, units: Units) -> str:
    """Return pattern, area each, and the bound."""
    each = area_words(area_m2 / layout.plants, units)
    if layout.bound == layout.plants:
        limit = f"No layout holds more ({layout.bound_by})"
    else:
        limit = f"No layout can hold more than {layout.bound} ({layout.bound_by})"
    return f"{PATTERN_WORDS[layout.pattern].capitalize()}. {each} each. {limit}."


def others_line(counts: Sequence[tuple[str, int]]) -> str:
    """Return what the plain patterns hold: ``"Square 36 · offset along 45 · offset across 40"``."""
    names = {
        "square": "square",
        "offset along length": "offset rows along the bed",
        "offset along width": "offset rows across it",
    }
    return "For comparison: " + ", ".join(f"{names[p]} {n}" for p, n in counts) + "."


def even_line(layout: Layout, units: Units) -> str:
    """Return what the bed holds with the same room for each, but equally far to all sides."""
    apart = format_length(layout.spacing_m, units)
    return f"With as much room for each, but {apart} apart in all directions: {layout.plants}."


def comparison(choices: Sequence[Choice], units: Units, chosen_m: float) -> list[str]:
    """Return a table of spacings: ``"25 cm   45   0.064 m² each   offset rows …"``."""
    lines = []
    for choice in choices:
        here = "→" if abs(choice.spacing_m - chosen_m) < 1e-6 else " "
        apart = spacing_words(choice.layout, units).replace(" apart", "", 1)
        each = area_words(choice.area_each_m2, units)
        how = PATTERN_WORDS[choice.layout.pattern].split(":")[0]
        lines.append(f"{here} {apart:<24}{choice.layout.plants:>6}  {each:>10} each  {how}")
    return lines


def sizes(choices: Sequence[Choice], base: Layout, units: Units) -> list[str]:
    """Return what a larger bed would hold, a line each."""
    lines = []
    for choice in choices:
        wider, longer = choice.width_m - base.width_m, choice.length_m - base.length_m
        word = "wider" if wider > 0 else "longer"
        by = format_length(max(wider, longer), units)
        more = choice.layout.plants - base.plants
        lines.append(
            f"  {by} {word}: {choice.layout.plants} ({more:+d})"
            if more
            else f"  {by} {word}: {choice.layout.plants} (no more)"
        )
    return lines


def as_json(layout: Layout, crop: str, outcome: dict[str, Any]) -> dict[str, Any]:
    """Return a layout as plain values; lengths in metres."""
    from sowplan.bed.marks import setting_out

    rows: list[dict[str, Any]] = []
    along = None
    if layout.plants and layout.pattern != "free":
        out = setting_out(layout.positions)
        along = out.along
        rows = [{"at": _m(row.at_m), "marks": [_m(v) for v in row.marks_m]} for row in out.rows]
    return {
        "crop": crop,
        "plants": layout.plants,
        "pattern": layout.pattern,
        "bound": layout.bound,
        "bound_by": layout.bound_by,
        "positions": [[_m(x), _m(y)] for x, y in layout.positions.tolist()],
        "length_m": layout.length_m,
        "width_m": layout.width_m,
        "spacing_m": layout.spacing_m,
        "row_spacing_m": layout.row_spacing_m,
        "edge_m": _m(layout.edge_m),
        "rows_along_length": along,
        "rows": rows,
        "reason": layout.reason or None,
        **outcome,
    }


def _m(value: float) -> float:
    """Drop the dust of binary fractions: twelve decimals of a metre."""
    return round(value, 12) + 0.0
