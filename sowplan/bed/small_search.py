"""The search that found the table of small layouts.

Run once: ``python -m sowplan.bed.small_search --out sowplan/bed/small_layouts.csv``.

For a number of plants and a bed's width it looks for the shortest bed: from
many starts, plants are pushed together by a sequence of linear programs. The
squared distance of two points is convex, so its tangent lies below it and a
step that keeps the tangents at or above one keeps the distances there too:
every step is a valid layout, and the bed only ever gets shorter.

What is written are layouts that hold more than the rows of `rectangle`, in
whole ten-millionths of a spacing, rounded so that no distance is short.
"""

from __future__ import annotations

import argparse
import math
from collections.abc import Iterable, Iterator
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from sowplan.bed.fit import fit
from sowplan.bed.rows import offset_rows
from sowplan.bed.small import GRID

Points = NDArray[np.float64]
START_STEP = 0.25
HAIR = 3
"""A layout that needs so many grid steps less one way, and more the other, is the same layout."""
TRUE = {"primal_feasibility_tolerance": 1e-10, "dual_feasibility_tolerance": 1e-10}


def squeeze(points: Points, width: float | None, steps: int = 120) -> Points | None:
    """Push points at least 1 apart together along x, in a bed of fixed width.

    Parameters
    ----------
    points : ndarray, shape (n, 2)
        At least 1 apart, y in [0, ``width``].
    width : float or None
        None shortens the longer side of the bed, towards a square.

    Returns
    -------
    ndarray, shape (n, 2), or None
        Moved to the corner; None where numbers went astray.
    """
    p = points - points.min(axis=0) if width is None else points - [points[:, 0].min(), 0.0]
    i, j = np.triu_indices(len(p), 1)
    side = p.max() if width is None else p[:, 0].max()
    reach = START_STEP
    for _ in range(steps):
        moved = _step(p, i, j, width, side, reach)
        if moved is None or _least(moved, i, j) < 1 - 1e-7:
            break
        p = moved
        shorter = p.max() if width is None else p[:, 0].max()
        gain, side = side - shorter, shorter
        if gain < 1e-10:
            if reach < 2e-3:
                break
            reach /= 4
        elif gain < 1e-3 * max(1.0, side) and reach > 0.02:
            reach /= 2
    least = _least(p, i, j)
    return None if least < 1 - 1e-6 else p / min(least, 1.0) * (1 + 1e-13)


def _least(p: Points, i: NDArray[np.int64], j: NDArray[np.int64]) -> float:
    return math.sqrt(float(((p[i] - p[j]) ** 2).sum(axis=1).min()))


def _step(
    p: Points,
    i: NDArray[np.int64],
    j: NDArray[np.int64],
    width: float | None,
    side: float,
    reach: float,
) -> Points | None:
    """Solve one linear program: variables are all moves, and last the side to be shortened."""
    from scipy.optimize import linprog
    from scipy.sparse import csr_matrix

    n = len(p)
    d2 = ((p[i] - p[j]) ** 2).sum(axis=1)
    near = d2 < (1 + 2.9 * reach) ** 2
    i, j, d2 = i[near], j[near], d2[near]
    d, m = p[i] - p[j], len(i)
    pair = np.arange(m)
    moving = np.arange(2 * n) if width is None else np.arange(0, 2 * n, 2)
    beyond = m + np.arange(len(moving))
    row = np.concatenate([pair, pair, pair, pair, beyond, beyond])
    column = np.concatenate(
        [2 * i, 2 * i + 1, 2 * j, 2 * j + 1, moving, np.full(len(moving), 2 * n)]
    )
    value = np.concatenate(
        [-2 * d[:, 0], -2 * d[:, 1], 2 * d[:, 0], 2 * d[:, 1]]
        + [np.ones(len(moving)), -np.ones(len(moving))]
    )
    matrix = csr_matrix((value, (row, column)), shape=(m + len(moving), 2 * n + 1))
    flat = p.ravel()
    low = np.append(np.maximum(-reach, -flat), 0.0)
    high = np.append(np.full(2 * n, reach), side)
    if width is not None:
        high[1 : 2 * n : 2] = np.minimum(reach, width - p[:, 1])
    limits = np.column_stack([low, np.maximum(low, high)])
    cost = np.append(np.zeros(2 * n), 1.0)
    limit = np.concatenate([d2 - 1, -flat[moving]])
    found = linprog(cost, A_ub=matrix, b_ub=limit, bounds=limits, method="highs-ds", options=TRUE)
    if found.status != 0:
        return None
    moved = np.maximum(p + found.x[: 2 * n].reshape(n, 2), 0.0)
    if width is not None:
        moved[:, 1] = np.minimum(moved[:, 1], width)
    return moved


def spread_out(unit: Points, length: float, width: float, steps: int = 250) -> Points:
    """Let points of the unit square push one another to a distance of about one."""
    p = unit * [length, width]
    own = np.arange(len(p))
    for _ in range(steps):
        d = p[:, None] - p[None]
        r = np.sqrt((d**2).sum(axis=-1))
        r[own, own] = 9.0
        push = np.maximum(1.02 - r, 0.0) / np.maximum(r, 1e-6)
        p = p + 0.4 * (d * push[..., None]).sum(axis=1)
        p = np.clip(p, 0.0, [length, width])
    return p


def halton(n: int, skip: int) -> Points:
    """Return points ``skip`` + 1 … of the Halton sequence: scattered, without luck."""

    def reversed_digits(base: int) -> NDArray[np.float64]:
        i, share, total = np.arange(1, n + 1) + skip, 1.0 / base, np.zeros(n)
        while i.any():
            total += share * (i % base)
            i, share = i // base, share / base
        return total

    return np.column_stack([reversed_digits(2), reversed_digits(3)])


def row_starts(n: int, width: float) -> Iterator[Points]:
    """Yield offset rows of every shape, cut down to n plants at one end or the other."""
    for count in range(1, int(width) + 3):
        for equal in (True, False):
            shape = offset_rows(width, 1.0, count, equal=equal)
            if shape is None:
                continue
            rows = [
                (k * shape.pitch_m, shape.first_m[k % 2] + shape.step_m * q)
                for k in range(shape.rows_for(n))
                for q in range(shape.per_row[k % 2])
            ]
            yield np.array(rows[:n])
            yield np.array(rows[len(rows) - n :])


def made_valid(p: Points, width: float) -> Points | None:
    """Stretch points along x until all are 1 apart; None where that takes more than threefold."""
    p = np.column_stack([p[:, 0], np.clip(p[:, 1], 0.0, width)])
    i, j = np.triu_indices(len(p), 1)
    d = p[i] - p[j]
    short = (d**2).sum(axis=1) < 1
    if not short.any():
        return p
    need = np.sqrt(1 - np.minimum(d[short, 1] ** 2, 1)) / np.maximum(np.abs(d[short, 0]), 1e-9)
    stretch = max(1.0, float(need.max())) * (1 + 1e-9)
    return None if stretch > 3 else p * [stretch, 1.0]


def shortest(n: int, width: float, starts: Iterable[Points]) -> Points | None:
    """Return the shortest layout reached from any of the starts."""
    best: Points | None = None
    for start in starts:
        valid = made_valid(start, width)
        if valid is None or (best is not None and np.ptp(valid[:, 0]) > 1.6 * best[:, 0].max()):
            continue
        found = squeeze(valid, width)
        if found is not None and (best is None or found[:, 0].max() < best[:, 0].max() - 1e-9):
            best = found
    return best


def widths(n: int, step: float = 0.05) -> list[float]:
    """Return the widths to search for n plants: from under one spacing to above a square."""
    return [round(0.85 + step * k, 6) for k in range(int((math.sqrt(0.9 * n) - 0.8) / step) + 1)]


def search(n: int, tries: int) -> dict[float, Points]:
    """Return the shortest layouts found for n plants, by width."""
    found: dict[float, Points] = {}
    last: Points | None = None
    for k, width in enumerate(widths(n)):
        starts = [] if last is None else [last]
        starts += row_starts(n, width)
        starts += scattered(n, width, [t + 7 * k for t in range(tries)])
        last = shortest(n, width, starts)
        if last is not None:
            found[width] = last
    return found


def scattered(n: int, width: float, turns: Iterable[int]) -> Iterator[Points]:
    """Yield scattered starts, each in a bed about as long as n plants need."""
    guess = n * 0.866 / (width + 0.93)
    for t in turns:
        yield spread_out(halton(n, t * n), guess * (0.97 + 0.03 * (t % 4)), width)


def square(n: int, layouts: Iterable[Points], tries: int) -> Points | None:
    """Return the smallest square reached from the squarest layouts and from scattered starts."""
    starts = sorted(layouts, key=lambda p: float(p.max()))[:8]
    side = math.sqrt(0.866 * n) - 0.55
    scattered_in = [unit for t in range(1, tries + 1) for unit in symmetric(n, t)]
    pressed_in = sorted((pressed(unit * side, side) for unit in scattered_in), key=lambda p: p[0])
    starts += [points for _, points in pressed_in[: tries // 5]]
    reached = [squeeze(made_apart(p), None) for p in starts]
    return min((p for p in reached if p is not None), key=lambda p: float(p.max()), default=None)


def symmetric(n: int, turn: int) -> Iterator[Points]:
    """Yield n scattered points of the unit square, and such as are their own image turned about."""
    yield halton(n, n * turn)
    for fold in (2, 4):
        part = halton(n // fold, n * turn) - 0.5
        angles = 2 * math.pi / fold * np.arange(fold)
        whole = [
            part @ np.array([[math.cos(a), -math.sin(a)], [math.sin(a), math.cos(a)]])
            for a in angles
        ]
        rest = np.zeros((n % fold, 2)) + 0.01 * np.arange(n % fold)[:, None]
        yield np.concatenate([*whole, rest]) + 0.5


def pressed(points: Points, side: float) -> tuple[float, Points]:
    """Push points apart within a square; return how much they overlap at the end, and the points.

    What is brought down is the sum of the squares of all that pairs lack of one spacing.
    """
    from scipy.optimize import minimize

    n = len(points)
    i, j = np.triu_indices(n, 1)

    def overlap(flat: Points) -> tuple[float, Points]:
        d = flat.reshape(n, 2)[i] - flat.reshape(n, 2)[j]
        apart = np.maximum(np.hypot(*d.T), 1e-9)
        lack = np.maximum(1 - apart, 0.0)
        push = (-2 * lack / apart)[:, None] * d
        slope = np.zeros((n, 2))
        np.add.at(slope, i, push)
        np.add.at(slope, j, -push)
        return float((lack**2).sum()), slope.ravel()

    way = {"method": "L-BFGS-B", "jac": True, "bounds": [(0.0, side)] * (2 * n)}
    found = minimize(overlap, points.ravel(), **way)
    return float(found.fun), found.x.reshape(n, 2)


def made_apart(points: Points) -> Points:
    """Return points drawn apart in all directions until the nearest two are 1 apart."""
    i, j = np.triu_indices(len(points), 1)
    return points / min(_least(points, i, j), 1.0) * (1 + 1e-12)


def on_grid(p: Points) -> NDArray[np.int64] | None:
    """Return a layout in whole grid steps, every distance at least one spacing."""
    p = p - p.min(axis=0)
    i, j = np.triu_indices(len(p), 1)
    for more in (0.0, 0.5, 1.0, 1.5, 2.0, 3.0):
        whole = np.rint(p * (GRID + more)).astype(np.int64)
        if ((whole[i] - whole[j]) ** 2).sum(axis=1).min() >= GRID**2:
            return whole[np.lexsort((whole[:, 1], whole[:, 0]))]
    return None


def polished(layouts: Iterable[Points]) -> list[Points]:
    """Return layouts pushed together once more, each in the width it has."""
    reached = [squeeze(p, float(p[:, 1].max())) for p in layouts]
    return [p for p in reached if p is not None]


def worth_keeping(layouts: Iterable[NDArray[np.int64]]) -> list[NDArray[np.int64]]:
    """Return those that hold more than rows do and that no other makes needless."""
    rows = ("square", "offset along length", "offset along width", "mixed")
    kept: list[tuple[int, int, int, NDArray[np.int64]]] = []
    for whole in sorted(layouts, key=lambda w: (-len(w), *w.max(axis=0).tolist())):
        n, (a, b) = len(whole), whole.max(axis=0).tolist()
        if a < b:
            whole, a, b = whole[:, ::-1], b, a
        if fit(max(a, 1) / GRID, max(b, 1) / GRID, 1.0, edge_m=0.0, patterns=rows).plants >= n:
            continue
        if any(m >= n and x <= a + HAIR and y <= b + HAIR for m, x, y, _ in kept):
            continue
        kept.append((n, a, b, whole))
    return [whole for *_, whole in sorted(kept, key=lambda k: k[:3])]


def read_table(file: Path) -> list[NDArray[np.int64]]:
    """Return the layouts of a table that is there already."""
    if not file.exists():
        return []
    lines = file.read_text(encoding="utf-8").splitlines()[1:]
    return [np.array(line.split(",")[3].split(), dtype=np.int64).reshape(-1, 2) for line in lines]


def write_table(file: Path, layouts: Iterable[NDArray[np.int64]]) -> None:
    """Write those of the layouts that are worth keeping."""
    lines = ["plants,length,width,positions"]
    for whole in worth_keeping(layouts):
        a, b = whole.max(axis=0).tolist()
        lines.append(f"{len(whole)},{a},{b},{' '.join(str(v) for v in whole.ravel().tolist())}")
    file.write_text("\n".join(lines) + "\n", encoding="utf-8")


def main() -> None:
    """Search, and add to the table whatever betters it, after each number of plants."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--least", type=int, default=2, help="plants in the smallest layout")
    parser.add_argument("--most", type=int, default=30, help="plants in the largest layout")
    parser.add_argument("--tries", type=int, default=5, help="scattered starts a bed")
    parser.add_argument("--squares", action="store_true", help="search square beds only")
    parser.add_argument("--polish", action="store_true", help="only push the kept ones closer")
    parser.add_argument("--out", type=Path, required=True)
    asked = parser.parse_args()
    for n in range(asked.least, asked.most + 1):
        kept = read_table(asked.out)
        same = [w / GRID for w in kept if len(w) == n]
        found = [] if asked.squares or asked.polish else list(search(n, asked.tries).values())
        found += polished(same) if asked.polish else []
        best = square(n, [*same, *found], 0 if asked.polish else asked.tries)
        layouts = [on_grid(p) for p in (*found, best) if p is not None]
        write_table(asked.out, [*kept, *(w for w in layouts if w is not None)])
        print(
            f"{n} plants: a square of {1 / best.max():.6f}" if best is not None else n, flush=True
        )


if __name__ == "__main__":
    main()
