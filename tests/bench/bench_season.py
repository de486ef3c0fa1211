"""How good and how fast seasons are, on made-up instances and on the example gardens.

Prints figures; asserts nothing. Run it by hand::

    python tests/bench/bench_season.py             # 5 and 30 places, one seed
    python tests/bench/bench_season.py --full      # 5 to 300 places
    python tests/bench/bench_season.py --gardens   # the example gardens
"""

from __future__ import annotations

import argparse
import math
import resource
import time
from pathlib import Path

import numpy as np

from sowplan.season.instance import CropCase, Instance, Options, Periods, Spot, TrayShelf
from sowplan.season.interval import sow_at_intervals
from sowplan.season.model import relax
from sowplan.season.search import Search, rounds_for
from sowplan.season.standing import Standing

SIZES = ((5, 8), (30, 20), (100, 40), (300, 60))
YEAR = 364


def made_up(places: int, crops: int, load: float, seed: int) -> Instance:
    """Return a year in which the wants need about ``load`` of all bed length at the peak."""
    chance = np.random.Generator(np.random.PCG64(seed))
    spots = tuple(
        Spot(f"Bed {n + 1}", 0, int(chance.integers(40, 101)) * 10, True) for n in range(places)
    )
    total = sum(spot.size for spot in spots)
    drafts = [_draft(chance) for _ in range(crops)]
    weights = chance.uniform(0.4, 1.6, crops)
    use = np.zeros(YEAR)
    for draft, weight in zip(drafts, weights, strict=True):
        use += weight * _use(draft)
    scale = load * total / use.max()
    cases = tuple(
        _case(n, draft, max(1.0, scale * weight))
        for n, (draft, weight) in enumerate(zip(drafts, weights, strict=True))
    )
    cells = sum(float(case.periods.need.mean()) for case in cases) * 8
    trays = tuple(TrayShelf(f"Tray {n + 1}", 0, max(60, int(cells / 6))) for n in range(6))
    return Instance(YEAR, spots, trays, cases)


def _draft(chance: np.random.Generator) -> dict:
    """Return a made-up crop: how long it is raised, grows, stands and keeps, and its rows."""
    draft = {
        "raise": int(chance.choice([0, 21, 28, 35])),
        "grow": int(chance.integers(28, 85)),
        "stand": int(chance.integers(7, 22)),
        "keeps": int(chance.choice([3, 5, 7, 10, 14])),
        "cuts": int(chance.choice([1, 1, 1, 3])),
        "per_row": int(chance.integers(3, 11)),
        "pitch": int(chance.integers(15, 41)),
        "phase": float(chance.uniform(-20, 20)),
    }
    earliest = min(lots[0][0] for _, _, lots in _sowings(draft)) // 7 + 1
    first = earliest + int(chance.integers(0, 12))
    weeks = int(chance.integers(12, 30))
    last = max(lots[-1][1] for _, _, lots in _sowings(draft))
    draft["weeks"] = np.arange(first, min(first + weeks, last // 7, YEAR // 7))
    return draft


def _sowings(draft: dict):
    """Yield (sowing day, day it goes in, lots) for each week of the year."""
    for sow in range(0, YEAR, 7):
        slow = _slow(sow + 40, draft["phase"])
        into = sow + round(draft["raise"] * min(slow, 1.3))
        ready = into + round(draft["grow"] * slow)
        each, stand = 1 / draft["cuts"], draft["stand"]
        lots = [(ready + 21 * n, ready + 21 * n + stand - 1, each) for n in range(draft["cuts"])]
        if into < YEAR:
            yield sow, into, lots


def _use(draft: dict) -> np.ndarray:
    """Return the bed length by day that one plant's yield a week takes, sown for each week anew."""
    use = np.zeros(YEAR)
    known = list(_sowings(draft))
    for week in draft["weeks"]:
        fit = [
            (lots[-1][0] + 7 - into, into, lots[-1][0] + 7)
            for _, into, lots in known
            if lots[0][0] <= 7 * week + 6 and lots[-1][1] + draft["keeps"] >= 7 * week
        ]
        _, into, until = min(fit)
        use[into:until] += draft["pitch"] / draft["per_row"]
    return use


def _slow(day: int, phase: float) -> float:
    """Return how much slower a crop grows sown on a day: twice as slow at midwinter."""
    return 1.5 - 0.5 * math.cos(2 * math.pi * (day - 182 - phase) / YEAR)


def _case(number: int, draft: dict, need: float) -> CropCase:
    start = 7 * draft["weeks"]
    need = round(need)
    periods = Periods(
        start,
        start + 6,
        np.full(len(start), float(need)),
        np.full(len(start), 1.0 / need),
        0 * start,
    )
    rows, lots = [], []
    for sow, into, mine in _sowings(draft):
        last = mine[-1][1] + 1
        ends = {min(last, mine[-1][0] + 7), min(last, mine[-1][0] + 14), last, mine[0][0] + 7}
        for end in sorted(ends):
            kept = [(a, min(b, end - 1), s) for a, b, s in mine if a < end]
            if not any(
                np.any((start <= b + draft["keeps"]) & (start + 6 >= a)) for a, b, _ in kept
            ):
                continue
            lots += [(len(rows), a, b, b + draft["keeps"], s) for a, b, s in kept]
            rows.append((sow, into, end, 0, 0 if draft["raise"] else -1, len(rows), -1))
    columns = np.array(rows, np.int64).reshape(-1, 7).T
    lot = np.array([entry[:4] for entry in lots], np.int64).reshape(-1, 4).T
    options = Options(*columns, *lot, np.array([entry[4] for entry in lots]))
    most = int(400 / draft["pitch"]) * draft["per_row"]
    room = -(-np.arange(min(most, 4 * need + 1) + 1) // draft["per_row"]) * draft["pitch"]
    return CropCase(f"crop-{number}", number % 9, 0, 1.0, periods, options, {0: room})


def compare(places: int, crops: int, load: float, seed: int, effort: float) -> None:
    """Print one line: the rule of thumb, the search, the bound."""
    instance = made_up(places, crops, load, seed)
    began = time.process_time()
    relaxation = relax(instance)
    solved = time.process_time()
    thumb = Standing(instance)
    weeks = sow_at_intervals(thumb) // 7
    plain = thumb.score()
    before = time.process_time()
    search = Search(instance, relaxation)
    search.run(rounds_for(instance, effort))
    score, done = search.standing.score(), time.process_time()
    wanted = instance.wanted
    memory = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    print(
        f"{places:4d} places {crops:3d} crops {load:.0%} seed {seed}: "
        f"every {weeks} weeks {plain.missing / wanted:6.2%} missing, {plain.wasted / wanted:6.2%} "
        f"wasted, {plain.sowings} sowings | search {score.missing / wanted:6.2%}, "
        f"{score.wasted / wanted:6.2%}, {score.sowings} | bound {relaxation.bound / wanted:6.2%} | "
        f"{_times_less(plain.missing, score.missing)} | "
        f"program {solved - began:.1f} s, "
        f"search {done - before:.1f} s of processor, {memory:.0f} MB",
        flush=True,
    )


def _times_less(plain: float, found: float) -> str:
    if found < 1e-6:
        return "nothing missing"
    return f"{plain / found:.1f} times less missing"


def gardens(effort: float) -> None:
    """Print a line for each example garden."""
    from sowplan.records.garden_file import read_garden
    from sowplan.season.planner import make_plan

    for path in sorted((Path(__file__).resolve().parents[2] / "examples").glob("*/garden.toml")):
        reading = read_garden(path)
        for thumb in (True, False):
            began = time.process_time()
            plan, problems = make_plan(
                reading.garden, reading.crops, effort=effort, fixed_interval=thumb
            )
            took = time.process_time() - began
            for problem in problems:
                print(problem)
            if plan is None:
                continue
            q = plan.quality
            print(
                f"{path.parent.name:10s} {'thumb ' if thumb else 'search'} "
                f"{q.missing_share:7.2%} missing (at best {q.missing_share_bound:6.2%}) "
                f"{q.wasted_share:6.2%} wasted {q.sowings:4d} sowings {took:5.1f} s of processor",
                flush=True,
            )


def main() -> None:
    """Run what the command line asks for."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--full", action="store_true")
    parser.add_argument("--gardens", action="store_true")
    parser.add_argument("--effort", type=float, default=1.0)
    parser.add_argument("--seeds", type=int, nargs="*", default=[101])
    parser.add_argument("--loads", type=float, nargs="*", default=[0.95, 0.7])
    parser.add_argument("--sizes", type=int, nargs="*", default=None)
    chosen = parser.parse_args()
    if chosen.gardens:
        gardens(chosen.effort)
        return
    sizes = chosen.sizes or ([5, 30, 100, 300] if chosen.full else [5, 30])
    for load in chosen.loads:
        for places, crops in SIZES:
            for seed in chosen.seeds if places in sizes else ():
                compare(places, crops, load, seed, chosen.effort)


if __name__ == "__main__":
    main()
