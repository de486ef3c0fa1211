"""What ``sowplan fit`` says: the count first, then how to set it out, then what if."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from sowplan.bed.layout import BoundBy
from sowplan.quantity import format_area, format_length, format_spacing

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


BOUND_WORDS = {
    BoundBy.OLER: "reckoned from area and outline",
    BoundBy.AREA: "reckoned from area and outline",
    BoundBy.NARROW: "too narrow for two plants abreast",
    BoundBy.SQUARE: "proven for square beds",
    BoundBy.CIRCLE: "proven for round ones",
    BoundBy.PARTS: "reckoned part by part",
    BoundBy.ROWS: "whole rows, along the bed or across it",
}
"""The bounds of `Layout.bound_by` in plainer words; any other is plain already."""


def sentence(layout: Layout, name: str, bed: str, units: Units, clump: int = 1) -> str:
    """Return the answer: ``"45 plants of butterhead lettuce fit into 2.4 m × 1.2 m, …"``."""
    what = "clump" if clump > 1 else "plant"
    plural = "" if layout.plants == 1 else "s"
    fit = "fits" if layout.plants == 1 else "fit"
    apart = spacing_words(layout, units)
    if layout.reason is not None:
        return f"No {what} of {name} fits into {bed}, {apart}: {reason(layout, units)}."
    more = f" of {clump}" if clump > 1 else ""
    return f"{layout.plants} {what}{plural}{more} of {name} {fit} into {bed}, {apart}."


def trellis_sentence(layout: Layout, name: str, bed: str, side: str, units: Units) -> str:
    """Return the answer for a trellis: ``"14 plants of cucumber stand along a trellis on …"``."""
    apart = format_spacing(layout.spacing_m, units)
    if layout.reason is not None:
        return f"No plant of {name} fits along a trellis on {side} of {bed}, {apart} apart."
    plural, stand = ("", "stands") if layout.plants == 1 else ("s", "stand")
    return (
        f"{layout.plants} plant{plural} of {name} {stand} along a trellis on {side} of {bed}, "
        f"{apart} apart."
    )


def over_the_sides_sentence(layout: Layout, name: str, bed: str, units: Units) -> str:
    """Return the answer of a crop wider than the bed: ``"38 plants … down the middle of …"``."""
    plural, stand = ("", "stands") if layout.plants == 1 else ("s", "stand")
    apart = "" if layout.plants == 1 else f", {format_spacing(layout.spacing_m, units)} apart"
    many = f"{layout.plants} plant{plural}"
    return (
        f"{many} of {name} {stand} in one row down the middle of {bed}{apart}; "
        "the leaves reach out over its sides."
    )


PROPER = ("Brussels", "Chinese", "Florence", "Malabar", "New", "Swiss")
"""First words of crops' names that keep their capital within a sentence."""


def in_sentence(name: str) -> str:
    """Return a crop's name as it stands within a sentence."""
    return name if name.split(" ")[0] in PROPER else name[:1].lower() + name[1:]


def squares_sentence(layout: Layout, name: str, bed: str, side_m: float, units: Units) -> str:
    """Return the answer for whole squares: how many go into each, or how many each plant takes."""
    side = format_spacing(side_m, units)
    if layout.reason is not None:
        need = format_spacing(layout.reason.need_m, units)
        return f"No plant of {name} fits into {bed} in whole squares: one takes {need} each way."
    plural, fit = ("", "fits") if layout.plants == 1 else ("s", "fit")
    a_side = side_m / layout.spacing_m
    if a_side > 0.999:
        each = f"{round(a_side) ** 2} to a square"
    else:
        each = f"one to {round(1 / a_side) ** 2} squares"
    apart = format_spacing(layout.spacing_m, units)
    return (
        f"{layout.plants} plant{plural} of {name} {fit} into {bed}, in whole squares of {side}: "
        f"{each}, {apart} apart."
    )


def reason(layout: Layout, units: Units) -> str:
    """Return why not one plant finds room in an empty layout, with the figures."""
    why = layout.reason
    assert why is not None  # there is no plant
    side, need, half, clear = (
        format_spacing(m, units) for m in (why.side_m, why.need_m, why.need_m / 2, why.clear_m)
    )
    if why.kind == "narrow":
        return f"it is {side} at its narrowest, and one plant needs {need}: {half} on either side"
    if why.kind == "outline":
        return f"it is nowhere as wide as one plant needs, {need}: {half} on either side"
    if why.kind == "in the way":
        return (
            "what stands in the way leaves no place for a single plant "
            f"{clear} clear of it and {half} from the sides"
        )
    if why.kind == "squares":
        return f"no whole square of {need} goes into it"
    return "the bed is too small for the pattern asked for"


def leaning_line(layout: Layout, units: Units) -> str:
    """Return how many there are where they may lean out: ``"If they may lean out …: 8 in …"``."""
    from sowplan.bed.marks import marks_text, setting_out

    out = setting_out(layout.positions, layout.along)
    n = layout.plants
    if n == 1:
        how = "1 in the middle"
    elif len(out.rows) == 1:
        way, end = ("down", "end") if out.along else ("across", "long side")
        marks = marks_text(out.rows[0].marks_m, units)
        how = f"{n} in one row {way} the middle, {marks} from the {end}"
    else:
        named = PATTERN_WORDS[layout.pattern].split(":")[0]
        free = layout.pattern in ("free", "square")
        how = f"{n}, each at its own mark" if free else f"{n} in {named}"
    it = "it" if n == 1 else "they"
    return f"If {it} may lean out over the edge: {how} ({edge_option(layout, units)})."


def edge_option(layout: Layout, units: Units) -> str:
    """Return the option that leaves a layout's edge: ``'--edge "7.5 cm"'``."""
    if layout.edge_m < 1e-9:
        return "--edge 0"
    return f'--edge "{format_length(layout.edge_m, units)}"'


def spacing_words(layout: Layout, units: Units) -> str:
    """Return ``"25 cm apart"`` or ``"5 cm apart in rows 15 cm apart"``."""
    in_row = format_spacing(layout.spacing_m, units)
    if layout.along is not None and layout.plants and _one_row(layout):
        return f"{in_row} apart in one row"
    if abs(layout.spacing_m - layout.row_spacing_m) <= 1e-9:
        return f"{in_row} apart"
    return f"{in_row} apart in rows {format_spacing(layout.row_spacing_m, units)} apart"


def _one_row(layout: Layout) -> bool:
    across = layout.positions[:, 1 if layout.along else 0].tolist()
    return max(across) - min(across) < 1e-6


def area_words(area_m2: float | None, units: Units) -> str:
    """Return a small area: ``"0.064 m²"`` or ``"0.7 sq ft"``."""
    if area_m2 is None:
        return "–"
    if units == "imperial":
        return format_area(area_m2, units)
    digits = max(0, 1 - math.floor(math.log10(area_m2)))
    return f"{area_m2:.{digits}f} m²"


def pattern_line(layout: Layout, area_m2: float, units: Units) -> str:
    """Return pattern, area each, and the bound."""
    each = area_words(area_m2 / layout.plants, units)
    by = BOUND_WORDS.get(layout.bound_by, layout.bound_by.value)
    if layout.bound == layout.plants:
        limit = f"No layout holds more ({by})"
    else:
        limit = f"No layout can hold more than {layout.bound} ({by})"
    return f"{PATTERN_WORDS[layout.pattern].capitalize()}. {each} each. {limit}."


def others_line(counts: Sequence[tuple[str, int]]) -> str:
    """Return what the plain patterns hold: ``"Square 36 · offset along 45 · offset across 40"``."""
    names = {
        "square": "square",
        "offset along length": "offset rows along the bed",
        "offset along width": "offset rows across it",
    }
    return "For comparison: " + ", ".join(f"{names[p]} {n}" for p, n in counts) + "."


def most_line(layout: Layout, most: Layout) -> list[str]:
    """Return what another pattern would hold besides, where plain square rows were preferred."""
    if most.plants <= layout.plants:
        return []
    how = PATTERN_WORDS[most.pattern].split(":")[0]
    return [f"At most {most.plants} ({how}); square rows are easier to set out and to hoe."]


def even_line(layout: Layout, units: Units) -> str:
    """Return what the bed holds with the same room for each, but equally far to all sides."""
    apart = format_spacing(layout.spacing_m, units)
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


def as_json(layout: Layout, crop: str, units: Units, outcome: dict[str, Any]) -> dict[str, Any]:
    """Return a layout as plain values; lengths in metres."""
    from sowplan.bed.marks import setting_out

    rows: list[dict[str, Any]] = []
    along = None
    if layout.plants and layout.pattern != "free":
        out = setting_out(layout.positions, layout.along)
        along = out.along
        rows = [{"at": _m(row.at_m), "marks": [_m(v) for v in row.marks_m]} for row in out.rows]
    return {
        "crop": crop,
        "plants": layout.plants,
        "pattern": layout.pattern,
        "bound": layout.bound,
        "bound_by": layout.bound_by.value,
        "positions": [[_m(x), _m(y)] for x, y in layout.positions.tolist()],
        "length_m": layout.length_m,
        "width_m": layout.width_m,
        "spacing_m": layout.spacing_m,
        "row_spacing_m": layout.row_spacing_m,
        "edge_m": _m(layout.edge_m),
        "rows_along_length": along,
        "rows": rows,
        "reason": None if layout.reason is None else reason(layout, units),
        **outcome,
    }


def _m(value: float) -> float:
    """Drop the dust of binary fractions: twelve decimals of a metre."""
    return round(value, 12) + 0.0
