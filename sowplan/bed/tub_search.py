"""The search that found the table of round layouts.

Run once: ``python -m sowplan.bed.tub_search --out sowplan/bed/tub_layouts.csv``.

For a number of plants it looks for the smallest circle that holds them all. From many starts
(rings, pieces of the triangular lattice, scattered points pressed into a circle) the plants are
drawn together by a general optimiser, neighbours kept one spacing apart.

What is written are positions from the middle in whole ten-millionths of a spacing, rounded so that
no distance is short.
"""

from __future__ import annotations

import argparse
import math
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from sowplan.bed.small import GRID
from sowplan.bed.small_search import halton
from sowplan.bed.sweep import rings

Points = NDArray[np.float64]
NEAR = 1.5
"""Pairs farther apart than this, in spacings, cannot come into one another's way in one go."""


def drawn_together(points: Points) -> Points | None:
    """Return points at least 1 apart in a circle about the origin as small as can be from here.

    Parameters
    ----------
    points : ndarray, shape (n, 2)
        Where to start from.

    Returns
    -------
    ndarray, shape (n, 2), or None
        None where the optimiser lost its way.
    """
    from scipy.optimize import minimize

    n, p = len(points), points - points.mean(axis=0)
    i, j = np.triu_indices(n, 1)
    for _ in range(6):
        close = ((p[i] - p[j]) ** 2).sum(axis=1) < NEAR**2
        a, b = i[close], j[close]
        radius = float(np.hypot(*p.T).max())
        found = minimize(
            lambda v: v[-1],
            np.append(p.ravel(), radius),
            jac=lambda v: np.append(np.zeros(2 * n), 1.0),
            method="SLSQP",
            constraints=_limits(n, a, b),
            options={"maxiter": 200, "ftol": 1e-13},
        )
        moved = found.x[:-1].reshape(n, 2)
        least = math.sqrt(float(((moved[i] - moved[j]) ** 2).sum(axis=1).min()))
        if not np.isfinite(moved).all() or least < 0.3:
            return None
        p, gain = moved, radius - float(np.hypot(*moved.T).max())
        if least > 1 - 1e-9 and abs(gain) < 1e-11:
            break
    return p / min(least, 1.0) * (1 + 1e-13)


def _limits(n: int, a: NDArray[np.int64], b: NDArray[np.int64]) -> list[dict]:
    """Return what holds: pairs a, b stand 1 apart, and all within the radius, the last number."""
    pair, own = np.arange(len(a)), np.arange(n)

    def apart(v: Points) -> Points:
        p = v[:-1].reshape(n, 2)
        return ((p[a] - p[b]) ** 2).sum(axis=1) - 1.0

    def apart_slope(v: Points) -> Points:
        d = 2 * (v[:-1].reshape(n, 2)[a] - v[:-1].reshape(n, 2)[b])
        slope = np.zeros((len(a), 2 * n + 1))
        for axis in (0, 1):
            slope[pair, 2 * a + axis] = d[:, axis]
            slope[pair, 2 * b + axis] = -d[:, axis]
        return slope

    def inside(v: Points) -> Points:
        return v[-1] ** 2 - (v[:-1].reshape(n, 2) ** 2).sum(axis=1)

    def inside_slope(v: Points) -> Points:
        slope = np.zeros((n, 2 * n + 1))
        p = v[:-1].reshape(n, 2)
        for axis in (0, 1):
            slope[own, 2 * own + axis] = -2 * p[:, axis]
        slope[:, -1] = 2 * v[-1]
        return slope

    return [
        {"type": "ineq", "fun": apart, "jac": apart_slope},
        {"type": "ineq", "fun": inside, "jac": inside_slope},
    ]


def starts(n: int, tries: int) -> list[Points]:
    """Return starts of n points: rings, pieces of the lattice, and the best of scattered ones.

    Of the scattered ones ten in a hundred are kept: those that least overlap when pressed into a
    circle about as large as n points need.
    """
    found = []
    for radius in np.arange(0.5, math.sqrt(n), 0.02):
        ring = rings(0.0, 0.0, float(radius), 1.0)
        if len(ring) >= n:
            found += [ring[:n], ring[len(ring) - n :]]
            break
    k = np.arange(-8, 9)
    x = (k[:, None] + 0.5 * (k[None, :] % 2)).ravel()
    y = np.broadcast_to(k[None, :] * math.sqrt(0.75), (17, 17)).ravel()
    for about in ((0.0, 0.0), (0.5, 0.0), (0.5, math.sqrt(0.75) / 3), (0.25, 0.2), (0.4, 0.1)):
        away = np.hypot(x - about[0], y - about[1])
        nearest = np.argsort(away, kind="stable")[:n]
        found.append(np.column_stack([x, y])[nearest] - about)
    # As Oler's bound has it, with so much of its rim as the best known layouts make use of.
    radius = 0.99 * (math.sqrt(3.61 + 14.51 * (n - 1)) - 1.9) / 7.255
    pressed_in = [pressed(disc(halton(n, n * t)) * radius, radius) for t in range(1, tries + 1)]
    pressed_in.sort(key=lambda pair: pair[0])
    return found + [points for _, points in pressed_in[: max(3, tries // 10)]]


def pressed(points: Points, radius: float) -> tuple[float, Points]:
    """Push points apart within a circle; return how much they overlap at the end, and the points.

    What is brought down is the sum of squares of all that pairs lack of one spacing and points
    exceed of the radius.
    """
    from scipy.optimize import minimize

    n = len(points)
    i, j = np.triu_indices(n, 1)

    def overlap(flat: Points) -> tuple[float, Points]:
        p = flat.reshape(n, 2)
        d, away = p[i] - p[j], np.hypot(*p.T)
        apart = np.maximum(np.hypot(*d.T), 1e-9)
        lack, over = np.maximum(1 - apart, 0.0), np.maximum(away - radius, 0.0)
        push = (-2 * lack / apart)[:, None] * d
        slope = (2 * over / np.maximum(away, 1e-9))[:, None] * p
        np.add.at(slope, i, push)
        np.add.at(slope, j, -push)
        return float((lack**2).sum() + (over**2).sum()), slope.ravel()

    found = minimize(overlap, points.ravel(), method="L-BFGS-B", jac=True)
    return float(found.fun), found.x.reshape(n, 2)


def disc(unit: Points) -> Points:
    """Return points of the unit square moved into the unit disc, about evenly."""
    turn = 2 * math.pi * unit[:, 1]
    return np.sqrt(unit[:, 0])[:, None] * np.column_stack([np.cos(turn), np.sin(turn)])


def smallest(n: int, tries: int) -> Points | None:
    """Return the smallest round layout of n points found."""
    best: Points | None = None
    for start in starts(n, tries):
        found = drawn_together(start)
        if found is not None and (best is None or _radius(found) < _radius(best) - 1e-12):
            best = found
    return best


def _radius(p: Points) -> float:
    return float(np.hypot(*p.T).max())


def on_grid(p: Points) -> NDArray[np.int64] | None:
    """Return a layout in whole grid steps, every distance at least one spacing."""
    i, j = np.triu_indices(len(p), 1)
    for more in (0.0, 0.5, 1.0, 1.5, 2.0, 3.0, 5.0):
        whole = np.rint(p * (GRID + more)).astype(np.int64)
        if ((whole[i] - whole[j]) ** 2).sum(axis=1).min(initial=GRID**2) >= GRID**2:
            return whole
    return None


def read_table(file: Path) -> dict[int, NDArray[np.int64]]:
    """Return the layouts of a table that is there already, by number of plants."""
    if not file.exists():
        return {}
    lines = file.read_text(encoding="utf-8").splitlines()[1:]
    rows = (line.split(",") for line in lines)
    return {int(n): np.array(text.split(), dtype=np.int64).reshape(-1, 2) for n, _, text in rows}


def main() -> None:
    """Search, and write whatever betters the table, after each number of plants."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--least", type=int, default=2, help="plants in the smallest layout")
    parser.add_argument("--most", type=int, default=40, help="plants in the largest layout")
    parser.add_argument("--tries", type=int, default=300, help="scattered starts")
    parser.add_argument("--out", type=Path, required=True)
    asked = parser.parse_args()
    for n in range(asked.least, asked.most + 1):
        kept = read_table(asked.out)
        found = smallest(n, asked.tries)
        whole = None if found is None else on_grid(found)
        if whole is not None and (n not in kept or _radius(whole) < _radius(kept[n])):
            kept[n] = whole
        lines = ["plants,radius,positions"]
        for count in sorted(kept):
            radius = math.ceil(_radius(kept[count]))
            places = " ".join(str(v) for v in kept[count].ravel().tolist())
            lines.append(f"{count},{radius},{places}")
        asked.out.write_text("\n".join(lines) + "\n", encoding="utf-8")
        around = 2 * _radius(kept[n]) / GRID + 1
        print(f"{n} plants: unit circles in one of {around:.6f}", flush=True)


if __name__ == "__main__":
    main()
