"""How long growth takes: ``python tests/bench/bench_growth.py`` prints figures, asserts nothing."""

import time
from datetime import date

import numpy as np

from sowplan.growth.courses import Conditions
from sowplan.growth.evolve import evolve
from sowplan.growth.succession import HORIZON_DAYS, succession
from sowplan.records.crop_table import read_crops
from sowplan.records.garden import Climate, DayRecord, Site
from sowplan.site.sky import sky
from sowplan.site.towns import towns

ROUNDS = 5


def best_of(work):
    """Return the shortest of some runs [ms]."""
    taken = []
    for _ in range(ROUNDS):
        begin = time.perf_counter()
        work()
        taken.append(time.perf_counter() - begin)
    return min(taken) * 1000


def main():
    """Print the figures."""
    crops = read_crops()[0]
    town = next(t for t in towns() if t.name == "Launceston")
    site = Site(town.name, town.latitude, town.longitude, town.timezone)
    start = date(2026, 9, 1)
    climate = Climate(tmin=town.tmin, tmax=town.tmax)
    outlook = sky(site, climate, start, 1100)
    days = np.datetime64("1980-01-01") + np.arange(40 * 365)
    base = sky(site, climate, date(1980, 1, 1), len(days)).series
    noise = 3 * np.sin(np.arange(len(days)) * 0.7)
    record = tuple(
        DayRecord(day.item(), float(low), float(high))
        for day, low, high in zip(days, base.tmin + noise, base.tmax + noise, strict=True)
    )
    recorded = sky(site, Climate(records=record), start, 1100)
    shelf = Conditions(True, "none", 19.0, 10.0)
    many = np.random.default_rng(1).integers(0, 730, 10_000)
    lettuce, tomato = crops["lettuce-butterhead"], crops["tomato"]

    figures = {
        "10 000 sowings of lettuce, 30 weathers": lambda: evolve(lettuce, outlook, many, shelf),
        "10 000 sowings of tomato, 30 weathers": lambda: evolve(tomato, outlook, many, shelf),
        "10 000 sowings of lettuce, 40 recorded years": lambda: evolve(
            lettuce, recorded, many, shelf
        ),
        "52 sowings of lettuce": lambda: evolve(lettuce, outlook, np.arange(0, 364, 7), shelf),
        "a year's succession, weekly": lambda: succession(lettuce, outlook, 365, 7, shelf),
        "every crop, 52 sowings": lambda: [
            evolve(crop, outlook, np.arange(0, 364, 7), shelf) for crop in crops.values()
        ],
        "a sky of 900 days": lambda: sky(site, climate, start, 365 + HORIZON_DAYS),
    }
    for name, work in figures.items():
        print(f"{name:<46}{best_of(work):8.1f} ms")


if __name__ == "__main__":
    main()
