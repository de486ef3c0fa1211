"""Setting out a round tub: by a tape round the rim, and in from it."""

from __future__ import annotations

import math

from sowplan.bed.layout import Layout
from sowplan.bed.marks import Units, mark_text, marks_text

SAME_RING_M = 0.004
IN_THE_MIDDLE_M = 0.01


def round_instructions(layout: Layout, units: Units = "metric") -> list[str]:
    """Return how to set out a layout in a round tub, ring by ring from the rim in.

    Marks run clockwise round the rim from the plant at the top of the plan: a tape laid round the
    tub shows them. Plants stand straight in from their mark, towards the middle.

    Parameters
    ----------
    layout : Layout
        Of a round tub: as long as it is wide.
    units : "metric" or "imperial"
        Of the figures.
    """
    if layout.plants == 0:
        return []
    radius = layout.length_m / 2
    placed = []
    for x, y in (layout.positions - radius).tolist():
        away = math.hypot(x, y)
        turn = math.atan2(x, -y) % (2 * math.pi)
        placed.append((radius - away, turn if turn < 2 * math.pi - 1e-6 else 0.0))
    placed.sort(key=lambda plant: (round(plant[0] / SAME_RING_M), plant[1]))
    rings: list[list[tuple[float, float]]] = []
    for plant in placed:
        if rings and plant[0] - rings[-1][0][0] < SAME_RING_M:
            rings[-1].append(plant)
        else:
            rings.append([plant])
    lines = ["Measure clockwise round the rim from any one point, then straight in to the middle."]
    for ring in rings:
        depth = ring[0][0]
        if radius - depth < IN_THE_MIDDLE_M:
            lines.append("1 in the middle")
            continue
        marks = sorted(turn * radius for _, turn in ring)
        count = "1 plant" if len(ring) == 1 else f"{len(ring)} plants, each"
        inward = f"{mark_text(depth, units)} in from the rim"
        lines.append(f"{count} {inward}, at {marks_text(marks, units)} round the rim")
    return lines
