"""Several crops in one bed, as ``sowplan fit … --with`` asks for and tells them."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any

from sowplan.commands.fit.words import in_sentence
from sowplan.commands.named import crop_named
from sowplan.problem import Exit, Problem
from sowplan.quantity import format_length

if TYPE_CHECKING:
    from sowplan.bed.blocks import Arrangement, Need
    from sowplan.bed.marks import Units
    from sowplan.records.crop import Crop


def need_of(crop: Crop, plants: int | None) -> Need:
    """Return a crop as something that needs room."""
    from sowplan.bed.blocks import Need

    return Need(
        crop.key,
        crop.spacing_cm / 100,
        crop.row_spacing_cm / 100,
        plants,
        crop.height_m,
        crop.support != "none",
    )


def read_with(texts: list[str], known: dict[str, Crop]) -> tuple[list[Need], list[Problem]]:
    """Read ``"radish"`` (as many as there is room for) or ``"radish 60"``."""
    needs, problems = [], []
    for text in texts:
        parts = re.fullmatch(r"(.*?\D)(?:\s+(\d+))?\s*", text.strip())
        crop = crop_named((parts[1] if parts else text).strip(), known)
        if isinstance(crop, Problem):
            problems.append(Problem("", None, "--with", text, crop.message, crop.exit))
            continue
        number = int(parts[2]) if parts and parts[2] else None
        if number == 0:
            message = 'Ask for one plant or more, such as "radish 60".'
            problems.append(Problem("", None, "--with", text, message, Exit.USAGE))
            continue
        needs.append(need_of(crop, number))
    return needs, problems


def told(
    found: Arrangement, crops: dict[str, Crop], bed: str, units: Units, pole: str
) -> list[str]:
    """Return what is said to a person: crop by crop, from the corner on."""
    way = "length" if found.along_length else "width"
    lines = [f"{len(found.blocks)} crops side by side in {bed}, from the corner along its {way}:"]
    for block in found.blocks:
        name = in_sentence(crops[block.need.label].name)
        if not len(block.positions):
            lines.append(f"  no room for {name}")
            continue
        start = format_length(block.start_m, units) if block.start_m > 1e-9 else "0"
        end = format_length(block.start_m + block.strip.length_m, units)
        rows = "1 row" if block.strip.rows == 1 else f"{block.strip.rows} rows"
        if block.strip.along:  # beside one another, along the side on which crops are stacked
            rows += " along it"
        lines.append(f"  {start} to {end}: {len(block.positions)} {name} in {rows}")
    if found.missing_m > 1e-9:
        lines.append(f"The bed is {format_length(found.missing_m, units)} too short for all of it.")
    elif found.spare_m > 0.005:
        lines.append(f"{format_length(found.spare_m, units)} are left over.")
    lines.append(pole)
    return lines


def as_json(found: Arrangement) -> dict[str, Any]:
    """Return an arrangement as plain values; lengths in metres."""
    return {
        "stacked_along": "length" if found.along_length else "width",
        "spare_m": round(found.spare_m, 9),
        "missing_m": round(found.missing_m, 9),
        "blocks": [
            {
                "crop": block.need.label,
                "plants": len(block.positions),
                "start_m": round(block.start_m, 9),
                "length_m": round(block.strip.length_m, 9),
                "rows": block.strip.rows,
                "rows_along": block.strip.along,
                "positions": [[round(x, 12), round(y, 12)] for x, y in block.positions.tolist()],
            }
            for block in found.blocks
        ],
    }
