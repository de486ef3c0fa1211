"""Where to set the tape: along and across the bed for each row, and a drawing to scale."""

from __future__ import annotations

import re
from itertools import pairwise

from sowplan.export.pictures import svg
from sowplan.export.pictures.bed_day import plant_marks, stations
from sowplan.export.pictures.style import LIGHT, SMALL
from sowplan.export.pictures.words import where_in_place
from sowplan.season.plan import Plan, Planting
from sowplan.supply.wording import INCH_M, length_text, lengths_text

MM = 96 / 25.4  # px a millimetre
SCALES = (10, 20, 25, 50, 100, 200)
BESIDE_MM = 40.0  # a drawing no wider stands beside its words
DRAWN_MM = (78.0, 58.0)  # the most a drawing may take
MANY = 9  # marks told one by one
_UNIT = re.compile(r"(?<=\d) (?=ft|in\b|cm|m\b)|(?<=ft) (?=\d)")
MARGIN_MM = 7.0  # room for the tape's figures


def rows_of(plan: Plan, p: Planting) -> list[tuple[float, list[float]]]:
    """Return each row's distance along the bed and its plants' distances across [m]."""
    rows: dict[float, list[float]] = {}
    for x, y in stations(plan, p):
        rows.setdefault(round(x, 4), []).append(round(y, 4))
    return sorted((x, sorted(ys)) for x, ys in rows.items())


def marks(plan: Plan, p: Planting) -> list[list[str]]:
    """Return pairs of a word and the tape's marks, from the bed's corner.

    Rows with plants at the same marks are told together: ``["Rows at", "12, 37 and 62 cm"]``,
    ``["Plants at", "13, 38 and 63 cm"]``, with the row numbers where rows differ.
    """
    if p.kind != "bed":
        noun = "Holes" if p.kind == "channel" else "Pots"
        return [[noun, where_in_place(plan, p).split(" ", 1)[1]]]
    units, rows = plan.site.units, rows_of(plan, p)
    if not rows:
        return []
    word = "Rows at" if len(rows) > 1 else "Row at"
    found = [[word, _told([x for x, _ in rows], units, f"{len(rows)} rows")]]
    kinds: dict[tuple[float, ...], list[int]] = {}
    for n, (_, ys) in enumerate(rows, start=1):
        kinds.setdefault(tuple(ys), []).append(n)
    for ys, numbers in kinds.items():
        which = "" if len(kinds) == 1 else f" in row{'s' if len(numbers) > 1 else ''} "
        which += "" if len(kinds) == 1 else _listed(numbers)
        found.append([f"Plants{which} at", _told(list(ys), units, f"{len(ys)} a row")])
    return found


def _told(values: list[float], units: str, count: str) -> str:
    """Return marks one by one, or the first and the step where they are many and even."""
    gaps = [b - a for a, b in pairwise(values)]
    if len(values) > MANY and max(gaps) - min(gaps) < 0.0005:
        first, step, last = values[0], sum(gaps) / len(gaps), values[-1]
        words = f"{length_text(first, units)}, then every {length_text(step, units)}"
        words += f" to {length_text(last, units)}: {count}"
    else:
        words = lengths_text(values, units)
    return _UNIT.sub("\N{NO-BREAK SPACE}", words)


def _listed(numbers: list[int]) -> str:
    steps = {b - a for a, b in zip(numbers, numbers[1:], strict=False)}
    if len(numbers) > 3 and steps == {2}:
        return f"{numbers[0]}, {numbers[1]} … {numbers[-1]}"
    if len(numbers) > 2 and steps == {1}:
        return f"{numbers[0]}–{numbers[-1]}"
    return ", ".join(str(number) for number in numbers)


def drawing(plan: Plan, p: Planting) -> tuple[str, int, float]:
    """Return a bed planting drawn to scale, the scale's number (20 for 1:20), its width [mm].

    The picture is in real millimetres: printed unscaled, a ruler reads true. The bed's length
    runs to the right, from the strip's start; its width runs down, from the bed's side.
    """
    bed, crop = plan.place(p.place), plan.crop(p.crop)
    long, wide = max(p.strip_length_m, 0.05), bed.width_m
    scale = next(
        (
            n
            for n in SCALES
            if long * 1000 / n <= DRAWN_MM[0] - MARGIN_MM
            and wide * 1000 / n <= DRAWN_MM[1] - MARGIN_MM
        ),
        SCALES[-1],
    )
    per_m = 1000 / scale * MM
    unit = INCH_M if plan.site.units == "imperial" else 0.01
    left, top = MARGIN_MM * MM, MARGIN_MM * MM
    start = bed.edge_m + p.strip_start_m
    spots = [(left + (x - start) * per_m, top + y * per_m) for x, y in stations(plan, p)]
    radius = max(min(crop.spacing_cm / 100 * per_m * 0.18, 5.0), 0.8)
    parts = [
        svg.rect(left, top, long * per_m, wide * per_m, fill=LIGHT.panel, stroke=LIGHT.edge),
        plant_marks(spots, radius, LIGHT.grow_edge),
        *_tape([x for x, _ in rows_of(plan, p)], start, left, top - 4, per_m, unit, False),
        *_tape(sorted({y for _, y in stations(plan, p)}), 0.0, top, left - 4, per_m, unit, True),
    ]  # fmt: skip
    width, height = left + long * per_m + 10, top + wide * per_m + 2
    return (
        svg.document(
            width, height, f"{crop.name} to scale", f"1 to {scale}", parts, LIGHT,
            name=f"planting-{p.id}", bare=True,
        ),
        scale,
        width / MM,
    )  # fmt: skip


def _tape(
    values: list[float], zero: float, origin: float, at: float, per_m: float, unit: float,
    upright: bool,
) -> list[str]:  # fmt: skip
    """Return the tape's figures in whole units, as many as there is room for."""
    parts, free = [], -1e9
    room = SMALL * (1.0 if upright else 1.9)
    for value in values:
        place = origin + (value - zero) * per_m
        if place < free:
            continue
        free = place + room
        words = str(int(value / unit + 0.5 + 1e-9))
        if upright:
            parts.append(svg.text(at, place + 3, words, 8.5, text_anchor="end", fill=LIGHT.quiet))
        else:
            parts.append(svg.text(place, at, words, 8.5, text_anchor="middle", fill=LIGHT.quiet))
    return parts
