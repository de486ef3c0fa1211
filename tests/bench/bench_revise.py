"""How good and how fast a season is planned again at its middle, against planning it anew.

A season is planned; by its middle some of what stands is lost, and a bed comes along. Told are the
share missing if nothing were done, planned again, and planned anew around what stands; how many of
the sowings still to come change either way; and the time of planning again, the bound's apart.
Prints figures; asserts nothing. Run it by hand::

    python tests/bench/bench_revise.py                   # made-up gardens of 5 and 30 places
    python tests/bench/bench_revise.py --sizes 5 30 --seeds 701 702 703 --table
    python tests/bench/bench_revise.py --sizes 300 --effort 0.1
    python tests/bench/bench_revise.py --gardens         # the example gardens
"""

from __future__ import annotations

import argparse
import random
import sys
import time
from collections import Counter
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parent))
from made_up import SIZES, TUNED, made_up  # noqa: E402

from sowplan.season.bound.model import relax  # noqa: E402
from sowplan.season.choices.instance import Instance, Options, Spot  # noqa: E402
from sowplan.season.revise.kept import Future, put_back, with_ends  # noqa: E402
from sowplan.season.revise.search import Reviser, steps_for  # noqa: E402
from sowplan.season.revise.so_far import Stand, begin  # noqa: E402
from sowplan.season.search.search import Search, rounds_for  # noqa: E402
from sowplan.season.search.standing import Standing  # noqa: E402


def from_day(options: Options, today: int) -> Options:
    """Return the options sown from a day on."""
    on = options.sow >= today
    lots = on[options.lot_option]
    number = np.cumsum(on) - 1
    columns = {
        name: getattr(options, name)[on]
        for name in ("sow", "into", "clear", "group", "tray", "course", "fixed")
    }
    more = {
        name: getattr(options, name)[lots]
        for name in ("lot_ready", "lot_last", "lot_expiry", "lot_share")
    }
    return Options(**columns, lot_option=number[options.lot_option[lots]], **more)


def halfway(instance: Instance, batches: list, today: int, losses: float, seed: int):
    """Return (season from today, stands, futures): some stands lost, a bed more."""
    chance = random.Random(seed)
    cases = []
    for case in instance.crops:
        on = case.options.sow >= today
        cases.append(
            replace(
                case,
                options=from_day(case.options, today),
                fewest=None if case.fewest is None else case.fewest[on],
            )
        )
    first = instance.spots[0]
    bed = Spot("One more", first.group, first.size, True, first.poleward)
    season = replace(instance, crops=tuple(cases), spots=(*instance.spots, bed))
    stands, futures = [], []
    for b in batches:
        sow, into, clear, _, kind, _ = instance.crops[b.crop].options.rows[b.option]
        if sow >= today:
            futures.append(Future(b.crop, sow, into, clear, b.plants, b.spot, b.mask, kind, b.tray))
            continue
        options = instance.crops[b.crop].options
        mine = range(options.lot_start[b.option], options.lot_start[b.option + 1])
        lots = [
            (
                int(options.lot_ready[n]),
                int(options.lot_last[n]),
                int(options.lot_expiry[n]),
                float(options.lot_share[n]) * b.plants,
            )
            for n in mine
        ]
        if clear > today and chance.random() < losses:
            left = chance.choice((0.0, 0.5))
            lots = [(r, x, e, a * (left if x >= today else 1.0)) for r, x, e, a in lots]
            if not left:
                clear, into = today, min(into, today)
        stands.append(
            Stand(b.crop, sow, into, clear, b.plants, b.spot, b.mask, b.tray, b.cells, tuple(lots))
        )
    return season, stands, futures


def changed(futures: list, now: list, rows) -> tuple[int, int]:
    """Return how many batches to come are not as they were, and how many come besides."""

    def plain(crop, sow, clear, plants, spot, mask):
        return crop, sow, clear, plants, spot, mask

    were = Counter(plain(f.crop, f.sow, f.clear, f.plants, f.spot, f.mask) for f in futures)
    are = Counter(
        plain(
            b.crop, rows[b.crop][b.option][0], rows[b.crop][b.option][2], b.plants, b.spot, b.mask
        )
        for b in now
    )
    gone, new = Counter(), Counter()
    for key, many in (were - are).items():
        gone[key[0]] += many
    for key, many in (are - were).items():
        new[key[0]] += many
    return sum(gone.values()), sum(max(0, new[crop] - gone[crop]) for crop in new)


def compare(
    places: int, crops: int, load: float, seed: int, losses: float, effort: float
) -> dict[str, float]:
    """Print one line of a garden and return its figures; the two searches are of that effort."""
    instance = made_up(places, crops, load, seed)
    search = Search(instance, relax(instance))
    search.run(rounds_for(instance, effort))
    batches = list(search.standing.batches.values())
    planned = search.standing.score().missing / instance.wanted
    sown = sorted(instance.crops[b.crop].options.rows[b.option][0] for b in batches)
    today = sown[len(sown) // 2]  # half of the batches are sown
    season, stands, futures = halfway(instance, batches, today, losses, seed)

    began = time.process_time()
    begun, fixed, _ = begin(season, stands, today, today)
    begun, options = with_ends(begun, futures)
    relaxed = time.process_time()
    relaxation = relax(begun)
    bounded = time.process_time()
    standing = Standing(begun)
    for batch in fixed:
        standing.add(batch)
    again = put_back(standing, futures, options)
    kept = [b for b in again if b is not None]
    reviser = Reviser(begun, relaxation, standing, kept, len(futures))
    nothing = standing.score()
    reviser.mend(steps_for(begun))
    done = time.process_time()
    score = reviser.standing.score()
    rows = [case.options.rows for case in begun.crops]
    now = [b for b in reviser.standing.batches.values() if not b.fixed]

    other_search = Search(begun, relaxation)
    for batch in fixed:
        other_search.standing.add(batch)
    other_search.run(rounds_for(begun, effort))
    fresh = other_search.standing.score()
    other = [b for b in other_search.standing.batches.values() if not b.fixed]
    w = instance.wanted
    (many, besides), (many_anew, _) = changed(futures, now, rows), changed(futures, other, rows)
    found = {
        "planned": planned, "nothing": nothing.missing / w, "again": score.missing / w,
        "anew": fresh.missing / w, "bound": relaxation.bound / w,
        "changed": many / len(futures), "besides": besides / len(futures),
        "changed_anew": many_anew / len(futures),
        "again_s": relaxed - began + done - bounded, "bound_s": bounded - relaxed,
    }  # fmt: skip
    print(
        f"{places:4d} places {load:.0%} seed {seed}: "
        + "planned {planned:.2%} missing | nothing done {nothing:.2%}, again {again:.2%}, "
        "anew {anew:.2%}, bound {bound:.2%} | ".format(**found)
        + f"of {len(futures)} changed {many}, {besides} besides; anew {many_anew} | "
        + "{again_s:.2f} s and bound {bound_s:.2f} s".format(**found),
        flush=True,
    )
    return found


def show_table(rows: list[tuple[int, float, list[dict[str, float]]]]) -> None:
    """Print the means over seeds, a line for each size and load."""
    print(
        "\n| places | load | seeds | nothing done: missing % | again: missing % | anew: missing % "
        "| points more than anew, worst | changed % | besides % | anew: changed % | processor s |\n"
        + "| --- " * 11
        + "|"
    )
    for places, load, found in rows:
        mean = {key: sum(f[key] for f in found) / len(found) for key in found[0]}
        worst = max(f["again"] - f["anew"] for f in found)
        figures = [
            *(f"{100 * mean[key]:.2f}" for key in ("nothing", "again", "anew")),
            f"{100 * worst:+.2f}",
            *(f"{100 * mean[key]:.0f}" for key in ("changed", "besides", "changed_anew")),
            f"{mean['again_s'] + mean['bound_s']:.1f}",
        ]
        print(f"| {places} | {load:.0%} | {len(found)} | {' | '.join(figures)} |")


def gardens(losses: float) -> None:
    """Print a line for each example garden: half its sowings made, some lost, a bed more."""
    from sowplan.records.diary import Entry
    from sowplan.records.garden_file import read_garden
    from sowplan.season.planner import make_plan
    from sowplan.season.revise.again import revise
    from sowplan.season.revise.changes import changes_between

    for path in sorted((Path(__file__).resolve().parents[2] / "examples").glob("*/garden.toml")):
        reading = read_garden(path)
        plan, _ = make_plan(reading.garden, reading.crops)
        sown = sorted(p.sow for p in plan.plantings)
        today = sown[len(sown) // 2]
        yesterday = today - timedelta(days=1)
        chance = random.Random(1)
        entries = [
            Entry(
                yesterday, "lost", p.id, p.plants if chance.random() < 0.5 else (p.plants + 1) // 2
            )
            for p in plan.plantings
            if p.sow < today < p.cleared and not p.fixed and chance.random() < losses
        ]
        garden = reading.garden
        more = replace(garden, beds=(*garden.beds, replace(garden.beds[0], name="One more")))
        began = time.process_time()
        made, gone, problems = revise(plan, more, reading.crops, today, entries)
        took = time.process_time() - began
        for problem in problems:
            print(problem)
        if made is None:
            continue
        changes = changes_between(plan, made, today, gone)
        q = made.quality
        fresh = anew(plan, more, reading.crops, today, entries)
        print(
            f"{path.parent.name:10s} {len(entries)} of {sown.index(today)} sowings hit; "
            f"planned {plan.quality.missing_share:.2%} missing | again "
            f"{q.missing_share:.2%}, anew {fresh.missing_share:.2%}, at best "
            f"{q.missing_share_bound:.2%} | changed {changes.many} of {changes.coming}, "
            f"{changes.added} besides | {took:.1f} s of processor, "
            "bound and reasons included",
            flush=True,
        )


def anew(plan, garden, crops, today, entries):
    """Return the quality of a plan for the rest of a season made anew around what stands."""
    from sowplan.season.revise.begun import begin_again
    from sowplan.season.revise.happened import happened_to
    from sowplan.season.revise.regrown import Regrown
    from sowplan.season.revise.renewed import renewed
    from sowplan.season.revise.stood import state_on

    happened, _ = happened_to(entries, plan, "", today)
    regrown = Regrown(garden, crops, today, plan.safety)
    state = state_on(plan, happened, today, regrown, regrown.fewer)
    begun, _ = begin_again(plan, garden, crops, today, state)
    relaxation = relax(begun.book.instance)
    search = Search(begun.book.instance, relaxation)
    for batch in begun.standing.batches.values():
        if batch.fixed:
            search.standing.add(batch)
    search.standing.log.clear()
    search.run(rounds_for(begun.book.instance, 1.0))
    fresh = replace(begun, standing=search.standing, kept={}, moved={})
    return renewed(fresh, relaxation)[0].quality


def main() -> None:
    """Run what the command line asks for."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--gardens", action="store_true")
    parser.add_argument("--sizes", type=int, nargs="*", default=[5, 30])
    parser.add_argument("--loads", type=float, nargs="*", default=[0.95, 0.7])
    parser.add_argument("--losses", type=float, default=0.08)
    parser.add_argument("--effort", type=float, default=1.0, help="of the first plan and anew")
    parser.add_argument("--table", action="store_true")
    parser.add_argument("--seeds", type=int, nargs="*", default=TUNED)
    chosen = parser.parse_args()
    if chosen.gardens:
        gardens(chosen.losses)
        return
    rows = []
    for load in chosen.loads:
        for places, crops in SIZES:
            if places in chosen.sizes:
                losses, effort = chosen.losses, chosen.effort
                found = [compare(places, crops, load, n, losses, effort) for n in chosen.seeds]
                rows.append((places, load, found))
    if chosen.table:
        show_table(rows)


if __name__ == "__main__":
    main()
