"""What is eaten out of store: brought in weeks and months before, told before anyone wonders."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from sowplan.export.dates import day_told
from sowplan.season.plan import Plan, WantPeriod
from sowplan.season.words import in_list
from sowplan.supply.wording import join_words, one_line

STORE_DAYS = 28
"""What is eaten so long after its harvest comes out of a store, not a kitchen (common practice, no
source)."""
LONG_DAYS = 60
"""What is kept so long is told at the head of a summary."""
CROPS_TOLD = 3


@dataclass(frozen=True)
class Stored:
    """A want that is served out of store: brought in by when, eaten from and until when."""

    want: int
    crop: str
    lifted: date
    first: date
    last: date


def stored(plan: Plan) -> dict[int, Stored]:
    """Return the wants served out of store in some of their periods, by their number.

    Parameters
    ----------
    plan : Plan
        Any plan. A period counts where most of what comes in it was fit to leave the ground
        `STORE_DAYS` before, its planting's last harvest being over.
    """
    over = {p.id: p.harvest_end for p in plan.plantings}
    found: dict[int, list[tuple[WantPeriod, date]]] = {}
    for want in sorted(plan.wants, key=lambda w: (w.want, w.start)):
        early = want.start - timedelta(days=STORE_DAYS)
        kept = [(amount, over[p]) for p, amount in want.served_by if over.get(p, early) < early]
        if 2 * sum(amount for amount, _ in kept) > want.met > 0:
            found.setdefault(want.want, []).append((want, max(day for _, day in kept)))
    return {
        number: Stored(
            number, rows[0][0].crop, max(day for _, day in rows), rows[0][0].start, rows[-1][0].end
        )
        for number, rows in found.items()
    }


def store_told(plan: Plan) -> str:
    """Return one sentence on what is eaten out of store for months; empty where nothing is."""
    long = (one for one in stored(plan).values() if (one.last - one.lifted).days >= LONG_DAYS)
    rows = sorted(long, key=lambda one: (one.lifted - one.last, one.want))
    if not rows:
        return ""
    few = rows if len(rows) <= CROPS_TOLD + 1 else rows[:CROPS_TOLD]
    told = [
        f"{in_list(one_line(plan.crop(one.crop).name))} "
        f"(in by {day_told(plan, one.lifted)}, eaten until {day_told(plan, one.last)})"
        for one in few
    ]
    told += [f"{len(rows) - len(few)} others"] if len(few) < len(rows) else []
    return f"Brought in ripe, eaten out of store: {join_words(told)}."
