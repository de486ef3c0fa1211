"""Seasons by number, without a garden behind them: beds of so many units, sowings of so many days.

Made for tests that try or recount what the search does; see `sowplan.season.choices.instance`.
"""

from __future__ import annotations

import numpy as np

from sowplan.season.choices.instance import (
    CropCase,
    Instance,
    Options,
    Periods,
    Spot,
    Stay,
    TrayShelf,
)


def crop_of(weeks, need, sowings, room, *, raised=0, keeps=0, least=1, cells=1.0, turn=(0, 0)):
    """Return a crop wanted in some weeks; a sowing is (day, days until ready, days it stands)."""
    starts = 7 * np.array(weeks)
    ones = np.ones(len(starts))
    periods = Periods(starts, starts + 6, need * ones, ones / need, 0 * starts)
    rows, lots = [], []
    for day, grows, stands in sowings:
        ready = day + raised + grows
        lots.append((len(rows), ready, ready + stands - 1, ready + stands - 1 + keeps))
        rows.append((day, day + raised, ready + stands, 0, 0 if raised else -1, day, -1))
    options = Options(*np.array(rows, np.int64).T, *np.array(lots, np.int64).T, np.ones(len(lots)))
    fewest = np.full(len(rows), least, np.int64)
    return CropCase("crop", *turn, cells, periods, options, {0: room}, fewest=fewest)


def in_rows(each, pitch, size):
    """Return the room of 0, 1, 2 … plants that stand ``each`` to a row."""
    plants = np.arange(size // pitch * each + 1)
    return -(-plants // each) * pitch


def season_of(size, crops, cells=99, days=60, stays=()):
    return Instance(
        days, (Spot("Bed", 0, size, True),), (TrayShelf("Tray", 0, cells),), tuple(crops), stays
    )


def wider_season(seed):
    """Return a season of a few beds, crops of unlike rows, tight trays and families gone before."""
    draw = np.random.Generator(np.random.PCG64(seed))
    crops = []
    for number in range(4):
        first = int(draw.integers(5, 9))
        sowings = [
            (7 * n, int(draw.integers(20, 34)), int(draw.integers(5, 13))) for n in range(10)
        ]
        each, pitch = int(draw.integers(1, 6)), int(draw.integers(5, 16))
        crops.append(
            crop_of(
                list(range(first, first + 6)),
                float(draw.integers(1, 7)),
                sowings,
                in_rows(each, pitch, 50),
                raised=int(draw.choice([0, 14])),
                keeps=int(draw.integers(0, 9)),
                least=int(draw.integers(1, 5)),
                cells=float(draw.choice([1.0, 1.2])),
                turn=(number % 2, int(draw.integers(0, 60))),
            )
        )
    beds = tuple(Spot(f"Bed {n}", 0, int(draw.integers(25, 51)), True) for n in range(3))
    stays = tuple(
        Stay(int(draw.integers(3)), int(draw.integers(2)), int(draw.integers(-30, 20)))
        for _ in range(2)
    )
    trays = (TrayShelf("Tray", 0, int(draw.integers(5, 20))),)
    return Instance(130, beds, trays, tuple(crops), stays)


def missing_of(case, grown):
    """Return what a crop lacks, its batches as (option, plants), what is soonest gone first."""
    options, lacking = case.options, 0.0
    lots = sorted([options.lot_expiry[o], options.lot_ready[o], float(n)] for o, n in grown)
    for start, end, need in zip(
        case.periods.start, case.periods.end, case.periods.need, strict=True
    ):
        for lot in lots:
            if lot[1] <= end and lot[0] >= start:
                take = min(lot[2], need)
                lot[2] -= take
                need -= take
        lacking += need / case.periods.need[0]
    return lacking
