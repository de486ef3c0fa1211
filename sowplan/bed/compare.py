"""What if: the same bed at other spacings, and a bed a little larger."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from sowplan.bed.area import ground_m2
from sowplan.bed.fit import fit
from sowplan.bed.layout import Layout
from sowplan.quantity import INCH_M


@dataclass(frozen=True)
class Choice:
    """One case of a comparison: its sides and spacings [m], its best layout, its ground [m²]."""

    length_m: float
    width_m: float
    spacing_m: float
    row_spacing_m: float
    layout: Layout
    ground_m2: float

    @property
    def area_each_m2(self) -> float | None:
        """Bed area a plant [m²]; None where there is none."""
        plants = self.layout.plants
        return self.ground_m2 / plants if plants else None


STEPS_M = ((0.1, 0.005), (0.2, 0.01), (0.4, 0.025), (math.inf, 0.05))
STEPS_IN_INCHES_M = ((0.1, INCH_M / 2), (0.5, INCH_M), (math.inf, 2 * INCH_M))


def spacings_near(spacing_m: float, inches: bool = False) -> list[float]:
    """Return five spacings about one, in steps a gardener would try: near a tenth, in whole steps.

    Steps are half-centimetres below 10 cm, centimetres below 20 cm, and 2.5 or 5 cm above; or
    half inches, whole ones from 10 cm, and two from 50 cm.
    """
    steps = STEPS_IN_INCHES_M if inches else STEPS_M
    step = next(step for most, step in steps if spacing_m < most)
    tries = [spacing_m + step * k for k in (-2, -1, 0, 1, 2)]
    return [round(t, 6) for t in tries if t > step / 2]


def at_spacings(
    length_m: float,
    width_m: float,
    spacing_m: float,
    row_spacing_m: float,
    *,
    inches: bool = False,
    how: Callable[..., Layout] = fit,
    **rules,
) -> list[Choice]:
    """Return the bed at several spacings; row spacing keeps its proportion.

    Parameters
    ----------
    length_m, width_m, spacing_m, row_spacing_m : float
        As for `fit`.
    inches : bool
        Whether to step by inches.
    how : callable
        What lays the crop out: `fit`, or one like it.
    **rules
        Passed on to it.
    """
    choices = []
    for s in spacings_near(spacing_m, inches):
        rows = s if spacing_m == row_spacing_m else row_spacing_m * s / spacing_m
        choices.append(_choice(length_m, width_m, s, rows, how, rules))
    return choices


def _choice(a: float, b: float, s: float, rows: float, how: Callable[..., Layout], rules) -> Choice:
    ground = ground_m2(a, b, rules.get("outline"), rules.get("keep_outs", ()))
    return Choice(a, b, s, rows, how(a, b, s, rows, **rules), ground)


def at_sizes(
    length_m: float,
    width_m: float,
    spacing_m: float,
    row_spacing_m: float,
    more_m: Sequence[float] = (0.1, 0.2),
    *,
    how: Callable[..., Layout] = fit,
    **rules,
) -> list[Choice]:
    """Return the bed made longer, or wider, by each of ``more_m``."""
    sides = [(length_m, width_m + more) for more in more_m]
    sides += [(length_m + more, width_m) for more in more_m]
    return [_choice(a, b, spacing_m, row_spacing_m, how, rules) for a, b in sides]
