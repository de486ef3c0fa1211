"""How good and how fast seasons are, on made-up gardens and on the example gardens.

Prints figures; asserts nothing. Run it by hand::

    python tests/bench/bench_season.py                       # 5 and 30 places, a seed held out
    python tests/bench/bench_season.py --full --table        # 5 to 300 places, means at the end
    python tests/bench/bench_season.py --seeds tuned         # seeds that may be looked at
    python tests/bench/bench_season.py --gardens             # the example gardens
"""

from __future__ import annotations

import argparse
import resource
import sys
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parent))

from least_waste import least_waste  # noqa: E402
from made_up import HELD_OUT, SIZES, TUNED, made_up  # noqa: E402
from plain_rule import plain_season  # noqa: E402

from sowplan.season.bound.model import relax  # noqa: E402
from sowplan.season.search.interval import sow_at_intervals  # noqa: E402
from sowplan.season.search.search import Search  # noqa: E402
from sowplan.season.search.standing import Standing  # noqa: E402
from sowplan.season.sought import sought  # noqa: E402
from sowplan.season.watch import Watch  # noqa: E402


def compare(places: int, crops: int, load: float, seed: int, effort: float) -> dict[str, float]:
    """Print one line: the rule of thumb, the search, the bound; return the figures."""
    instance = made_up(places, crops, load, seed)
    wanted = instance.wanted
    began = time.process_time()
    relaxation = relax(instance)
    solved = time.process_time()
    thumb = Standing(instance)
    weeks = sow_at_intervals(thumb) // 7
    plain, plainest = thumb.score(), plain_season(instance)
    before = time.process_time()
    search = Search(instance, relaxation)
    sought(search, effort, Watch())
    score, done = search.standing.score(), time.process_time()
    found = {
        "thumb": 100 * plain.missing / wanted,
        "thumb_wasted": 100 * plain.wasted / wanted,
        "thumb_sowings": plain.sowings,
        "plainest": 100 * plainest.missing / wanted,
        "search": 100 * score.missing / wanted,
        "wasted": 100 * score.wasted / wanted,
        "least_wasted": 100 * least_waste(instance, search.standing) / wanted,
        "sowings": score.sowings,
        "bound": 100 * relaxation.bound / wanted,
        "gap": 100 * (score.missing - relaxation.bound) / wanted,
        "bound_s": solved - began,
        "search_s": done - before,
        "memory_mb": resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024,
    }
    print(
        f"{places:4d} places {crops:3d} crops {load:.0%} seed {seed}: every {weeks} weeks "
        "{thumb:5.2f}% missing, {thumb_wasted:5.2f}% wasted, {thumb_sowings} sowings "
        "(kept plainly {plainest:.1f}%) | "
        "search {search:5.2f}%, {wasted:5.2f}% (at least {least_wasted:.2f}%), {sowings} | "
        "bound {bound:5.2f}%, gap {gap:4.2f} points | ".format(**found)
        + _times_less(plain.missing, score.missing, relaxation.bound)
        + " | program {bound_s:.1f} s, search {search_s:.1f} s of processor, "
        "{memory_mb:.0f} MB".format(**found),
        flush=True,
    )
    return found


def _times_less(plain: float, found: float, bound: float) -> str:
    """Tell how many times less is missing, in all and of what is not missing from every season."""
    if found < 1e-6:
        return "nothing missing"
    words = f"{plain / found:.1f} times less missing"
    if bound > 1e-6 and found - bound > 1e-6:
        words += f", {(plain - bound) / (found - bound):.1f} times less of what can be helped"
    return words


def show_table(rows: list[tuple[int, int, float, list[dict[str, float]]]]) -> None:
    """Print the means over seeds, a line for each size and load."""
    print(
        "\n| places | load | seeds | rule kept plainly: missing % | rule of thumb: missing % | "
        "wasted % | sowings | search: missing % | times less | of what can be helped | wasted % | "
        "so little missing wastes at least % | sowings | bound % | gap, points | processor s | "
        "memory MB |\n" + "| --- " * 17 + "|"
    )
    for places, _, load, found in rows:
        mean = {key: sum(f[key] for f in found) / len(found) for key in found[0]}
        less = f"{mean['thumb'] / mean['search']:.1f}" if mean["search"] > 1e-6 else "all there"
        helped = (mean["thumb"] - mean["bound"]) / max(mean["gap"], 1e-6)
        print(
            f"| {places} | {load:.0%} | {len(found)} | "
            "{plainest:.1f} | {thumb:.2f} | {thumb_wasted:.2f} | {thumb_sowings:.0f} | "
            "{search:.2f} | ".format(**mean)
            + f"{less} | {helped:.1f}"
            + " | {wasted:.2f} | {least_wasted:.2f} | {sowings:.0f} | ".format(**mean)
            + "{bound:.2f} | {gap:.2f} | ".format(**mean)
            + f"{mean['bound_s'] + mean['search_s']:.1f} | "
            + f"{max(f['memory_mb'] for f in found):.0f} |"
        )


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
    parser.add_argument("--table", action="store_true")
    parser.add_argument("--gardens", action="store_true")
    parser.add_argument("--effort", type=float, default=1.0)
    parser.add_argument("--seeds", nargs="*", default=[str(HELD_OUT[0])])
    parser.add_argument("--loads", type=float, nargs="*", default=[0.95, 0.7])
    parser.add_argument("--sizes", type=int, nargs="*", default=None)
    chosen = parser.parse_args()
    if chosen.gardens:
        gardens(chosen.effort)
        return
    sizes = chosen.sizes or ([5, 30, 100, 300] if chosen.full else [5, 30])
    named = {"tuned": TUNED, "held-out": HELD_OUT}
    seeds = [n for text in chosen.seeds for n in named.get(text) or (int(text),)]
    rows = []
    for load in chosen.loads:
        for places, crops in SIZES:
            if places in sizes:
                found = [compare(places, crops, load, seed, chosen.effort) for seed in seeds]
                rows.append((places, crops, load, found))
    if chosen.table:
        show_table(rows)


if __name__ == "__main__":
    main()
