"""What ``sowplan fit`` says of one crop in a bed, line by line."""

from __future__ import annotations

from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING, Any

import typer

from sowplan.commands.fit import words
from sowplan.quantity import FOOT_M

if TYPE_CHECKING:
    from sowplan.bed.layout import Layout
    from sowplan.commands.fit.between import Found
    from sowplan.commands.fit.question import Question


def told(
    asked: Question,
    layout: Layout,
    strip: Any,
    number: int | None,
    compare: bool,
    found: list[Found] | None = None,
) -> list[str]:
    """Return what is said to a person, line by line."""
    from sowplan.bed.marks import instructions
    from sowplan.bed.round_marks import round_instructions

    name, units = words.in_sentence(asked.crop.name), asked.units
    first = words.sentence(layout, name, bed_words(asked), units, asked.crop.plants_per_cell)
    if asked.trellis:
        first = words.trellis_sentence(layout, name, bed_words(asked), side_words(asked), units)
    elif layout.plants and asked.leans(layout):
        first = words.over_the_sides_sentence(layout, name, bed_words(asked), units)
    if asked.squares:
        first = words.squares_sentence(layout, name, bed_words(asked), asked.square_m, units)
    lines = [typer.style(first, bold=True)]
    if layout.plants == 0 and (lean := asked.leaning()) is not None:
        lines.append(words.leaning_line(lean, units))
    if layout.plants:
        if not asked.trellis:
            lines.append(words.pattern_line(layout, _ground_m2(asked), units))
        plain = ("square", "offset along length", "offset along width")
        odd = asked.keep_outs or asked.squares or asked.shape.outline is not None
        if asked.trellis:
            lines += _beside_trellis(asked, layout)
        elif layout.pattern != "rows" and not odd:
            counts = [(p, asked.layout(patterns=(p,)).plants) for p in plain]
            lines.append(words.others_line(counts))
            lines += words.most_line(layout, asked.layout(worth=0.0))
        elif layout.pattern == "rows" and not odd:
            even = (asked.spacing_m * asked.row_spacing_m) ** 0.5
            same = replace(asked, spacing_m=even, row_spacing_m=even).layout()
            if same.plants:
                lines.append(words.even_line(same, units))
    if strip is not None:
        lines += ["", _strip_line(asked, strip, number)]
    if layout.plants:
        in_tub = asked.shape.words == "round" and layout.pattern != "rows"
        head = "Setting out" if in_tub else "Setting out, from one corner"
        steps = round_instructions(layout, units) if in_tub else instructions(layout, units)
        lines += ["", typer.style(head, bold=True), *(f"  {line}" for line in steps)]
    if found is not None:
        lines += ["", *_between(asked, layout, found)]
    if compare:
        lines += ["", *_compared(asked, layout)]
    return lines


def _ground_m2(asked: Question) -> float:
    """Return the ground of the bed asked about [m²]."""
    from sowplan.bed.area import ground_m2

    bed = asked.shape
    return ground_m2(bed.length_m, bed.width_m, bed.outline, asked.keep_outs)


def _between(asked: Question, layout: Layout, found: list[Found]) -> list[str]:
    from sowplan.commands.fit import between

    if asked.between == between.ANY:
        return between.table(found, asked)
    lines = between.told(found[0], asked, layout)
    return [typer.style(lines[0], bold=True), *lines[1:]]


def _compared(asked: Question, layout: Layout) -> list[str]:
    from sowplan.bed.compare import at_sizes, at_spacings

    sides = (asked.shape.length_m, asked.shape.width_m)
    rules = asked.rules | {"outline": asked.shape.outline}
    inches = asked.units == "imperial"
    own = (asked.spacing_m, asked.row_spacing_m)
    choices = at_spacings(*sides, *own, inches=inches, how=how(asked), **rules)
    lines = [typer.style("At other spacings", bold=True)]
    lines += words.comparison(choices, asked.units, asked.spacing_m)
    if asked.shape.outline is None:
        more = (FOOT_M / 2, FOOT_M) if inches else (0.1, 0.2)
        larger = at_sizes(*sides, *own, more, how=how(asked), **asked.rules)
        lines += ["", typer.style("A larger bed", bold=True)]
        lines += words.sizes(larger, layout, asked.units)
    return lines


def how(asked: Question) -> Any:
    """Return the function that lays the crop out: over the bed, or along its trellis."""
    from sowplan.bed.lean import fit_or_lean
    from sowplan.bed.strips import GAIN_WORTH
    from sowplan.bed.trellis import on_trellis

    if asked.trellis:
        return partial(on_trellis, side=asked.side)
    return partial(fit_or_lean, worth=GAIN_WORTH)


def side_words(asked: Question) -> str:
    """Return the side of the trellis: ``"the south side"``, or the far one."""
    if asked.latitude is None:
        return "the far side"
    pole = "south" if asked.latitude < 0 else "north"
    return f"the {pole} side"


def _beside_trellis(asked: Question, layout: Layout) -> list[str]:
    """Return what is left of the bed, what it holds filled, and which side it has to be."""
    from sowplan.quantity import format_length

    units, lines = asked.units, []
    long, deep = asked.shape.length_m, asked.shape.width_m
    if not layout.along:
        long, deep = deep, long
    left = deep - layout.edge_m - layout.row_spacing_m / 2 - asked.margin_m
    if left > 0.1:
        sides = f"{format_length(long, units)} × {format_length(left, units)}"
        lines.append(f"That leaves {sides} of the bed for lower crops.")
    filled = asked.filled()
    if filled.plants > layout.plants:
        lines.append(f"With rows of it all over the bed: {filled.plants} (--no-trellis).")
    if asked.latitude is None:
        lines.append(
            "Let the far side be the one away from the midday sun: the south in the southern "
            "hemisphere, the north in the northern."
        )
    return lines


def _strip_line(asked: Question, strip: Any, number: int | None) -> str:
    from sowplan.quantity import format_length

    if strip.plants == 0:
        return f"{number} plants: no row fits into the bed."
    length = format_length(strip.length_m, asked.units)
    odd, even = strip.per_row
    each = f"{odd}" if even in (0, odd) else f"{odd} and {even} in turn"
    way = "along" if strip.along else "across"
    rows = "1 row" if strip.rows == 1 else f"{strip.rows} rows"
    pitch = f", {format_length(strip.pitch_m, asked.units)} apart" if strip.rows > 1 else ""
    spare = asked.shape.length_m - 2 * asked.margin_m - strip.length_m
    room = "" if spare >= -1e-9 else ": more than the bed has"
    return (
        f"{number} plants take {length} of the bed's length{room}: {rows} {way} of {each}{pitch}"
        f" ({strip.plants} places)."
    )


def bed_words(asked: Question) -> str:
    """Return the bed in words: ``"L-shaped 2.4 m × 1.2 m"``."""
    from sowplan.quantity import format_length

    a, b = (format_length(v, asked.units) for v in (asked.shape.length_m, asked.shape.width_m))
    if asked.shape.words == "round":
        return f"a round tub of {a}"
    return f"{asked.shape.words + ' ' if asked.shape.words else ''}{a} × {b}"
