"""Where to set the tape: along and across the bed for each row, and a drawing to scale."""

from __future__ import annotations

import re
from itertools import pairwise

from sowplan.export.pictures import svg
from sowplan.export.pictures.bed_day import plant_marks
from sowplan.export.pictures.lettering import width as text_width
from sowplan.export.pictures.standing import rows_of, stations
from sowplan.export.pictures.style import LIGHT
from sowplan.quantity import INCH_MM, kept_together
from sowplan.season.plan import Plan, Planting
from sowplan.supply.wording import length_text, lengths_text, step_text

MM = 96 / INCH_MM  # px a millimetre
SCALES = (10, 20, 25, 50, 100, 200)
BESIDE_MM = 40.0  # a drawing no wider stands beside its words
DRAWN_MM = (78.0, 58.0)  # the most a drawing may take
MANY = 9  # marks told one by one
MARGIN_MM = 7.0  # room for the tape's figures, at least
FIGURE = 8.5  # px


def marks(plan: Plan, p: Planting) -> list[list[str]]:
    """Return pairs of a word and the tape's marks, from the bed's corner.

    Rows with plants at the same marks are told together: ``["Rows at", "12, 37 and 62 cm"]``,
    ``["Plants at", "13, 38 and 63 cm"]``, with the row numbers where rows differ. Rows across are
    at so much of the bed's length, ``"Rows along, at"`` so much from its side; of one plant each
    they are one row across.
    """
    if p.kind != "bed":
        return []  # holes and pots are told where it stands
    units, rows = plan.site.units, rows_of(plan, p)
    if not rows:
        return []
    along = p.along
    if along and len({tuple(marks) for _, marks in rows}) == 1 == len(rows[0][1]):
        # One plant in each of them: to whoever sets them out a row across.
        along, rows = False, [(rows[0][1][0], [at for at, _ in rows])]
    word = ("Rows" if len(rows) > 1 else "Row") + (" along, at" if along else " at")
    at = _told([at for at, _ in rows], units, f"{len(rows)} rows")
    found = [[word, f"{at} from the side" if along else at]]
    if along and len({len(marks) for _, marks in rows}) == 2:
        short = _shorter_by_one([marks for _, marks in rows])
        if short:
            told = _told(max((marks for _, marks in rows), key=len), units, "")
            which = f"row{'s' if len(short) > 1 else ''} {_listed(short)}"
            return [*found, ["Plants at", f"{told}; the last not in {which}"]]
    kinds: dict[tuple[float, ...], list[int]] = {}
    for n, (_, ys) in enumerate(rows, start=1):
        kinds.setdefault(tuple(ys), []).append(n)
    for ys, numbers in kinds.items():
        which = "" if len(kinds) == 1 else f" in row{'s' if len(numbers) > 1 else ''} "
        which += "" if len(kinds) == 1 else _listed(numbers)
        noun = "Plant" if len(kinds) == 1 and len(ys) == 1 else "Plants"
        found.append([f"{noun}{which} at", _told(list(ys), units, f"{len(ys)} a row")])
    return found


def _shorter_by_one(rows: list[list[float]]) -> list[int]:
    """Return which rows lack but the last mark of the longest, from 1; none where others differ."""
    longest = max(rows, key=len)
    if any(row not in (longest, longest[:-1]) for row in rows):
        return []
    return [n for n, row in enumerate(rows, start=1) if row != longest]


def _told(values: list[float], units: str, count: str) -> str:
    """Return marks one by one, or the first and the step where they are many and even."""
    gaps = [b - a for a, b in pairwise(values)]
    if len(values) > MANY and max(gaps) - min(gaps) < 0.0005:
        first, step, last = values[0], sum(gaps) / len(gaps), values[-1]
        every = step_text(step, len(gaps), units)
        words = f"{length_text(first, units)}, then every {every}"
        words += f" to {length_text(last, units)}" + (f": {count}" if count else "")
    else:
        words = lengths_text(values, units)
    return kept_together(words)


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
    start = bed.edge_m + p.strip_start_m
    spots = stations(plan, p)
    along, across = (
        list(zip(marks, tape_figures(marks, plan.site.units), strict=True))
        for marks in (sorted({round(one[axis], 4) for one in spots}) for axis in (0, 1))
    )
    widest = max((text_width(words, FIGURE) for _, words in across), default=0.0)
    left, top = max(MARGIN_MM * MM, widest + 6), MARGIN_MM * MM
    dots = [(left + (x - start) * per_m, top + y * per_m) for x, y in spots]
    radius = max(min(crop.spacing_cm / 100 * per_m * 0.18, 5.0), 0.8)
    parts = [
        svg.rect(left, top, long * per_m, wide * per_m, fill=LIGHT.panel, stroke=LIGHT.edge),
        plant_marks(dots, radius, LIGHT.grow_edge, p.along),
        *_tape([((x - start) * per_m, words) for x, words in along], left, top - 4, False),
        *_tape([(y * per_m, words) for y, words in across], top, left - 4, True),
    ]
    width, height = left + long * per_m + 10, top + wide * per_m + 2
    return (
        svg.document(
            width, height, f"{crop.name} to scale", f"1 to {scale}", parts, LIGHT,
            name=f"planting-{p.id}", bare=True,
        ),
        scale,
        width / MM,
    )  # fmt: skip


def tape_figures(values: list[float], units: str) -> list[str]:
    """Return marks as a tape shows them, in the measure in which the words tell them.

    Centimetres, or metres where the farthest mark is told in metres; inches, from three feet up
    with the feet before them: ``"18"``, ``"14.35"``, ``"7½"``, ``"4′9½″"``.
    """
    if units != "imperial":
        bare = lengths_text(values, units).rsplit(" ", 1)[0] if values else ""
        return re.split(", | and ", bare) if bare else []
    told = [length_text(value, units) for value in values]
    return [
        words.replace(" ft", "′").replace(" in", "″").replace(" ", "")
        if "ft" in words
        else words.removesuffix(" in")
        for words in told
    ]


def _tape(marks_px: list[tuple[float, str]], origin: float, at: float, upright: bool) -> list[str]:
    """Return the tape's figures, as many as there is room for."""
    parts, free = [], -1e9
    for place, words in marks_px:
        half = FIGURE * 0.6 if upright else text_width(words, FIGURE) / 2 + 2
        if place - half < free:
            continue
        free = place + half
        spot = (at, origin + place + 3) if upright else (origin + place, at)
        anchor = "end" if upright else "middle"
        parts.append(svg.text(*spot, words, FIGURE, text_anchor=anchor, fill=LIGHT.quiet))
    return parts
