"""A small garden at mid-season, north and south, and a recount of what a plan made of it holds.

The checks are of common sense, no source: none of them asks the code under test.
"""

from collections import defaultdict
from datetime import date, timedelta
from functools import cache

import pytest

from sowplan.records.crop_table import read_crops
from sowplan.records.garden import (
    Bed,
    Channel,
    Climate,
    FixedSowing,
    Garden,
    Season,
    Site,
    Tray,
    Want,
    Where,
)
from sowplan.season.planner import make_plan
from sowplan.season.revise.again import revise

CROPS, _ = read_crops()
DAY = timedelta(days=1)
WARMEST_JANUARY = (12.0, 12.0, 10.0, 7.0, 5.0, 3.0, 2.0, 3.0, 5.0, 7.0, 9.0, 11.0)


def at(table):
    return Where("garden.toml", table, 1)


def garden(south):
    """Return a small garden: at 41° S across the new year, or half a year apart at 41° N."""
    turn = 0 if south else 6
    tmin = WARMEST_JANUARY[turn:] + WARMEST_JANUARY[:turn]
    year, month, next_year = (2026, 9, 2027) if south else (2027, 3, 2027)

    def day(months, of_month):
        return date(year + (month + months - 1) // 12, (month + months - 1) % 12 + 1, of_month)

    return Garden(
        file="garden.toml",
        site=Site("Try-out", -41.0 if south else 41.0, 147.0, "Australia/Hobart"),
        climate=Climate(tmin=tmin, tmax=tuple(t + 12.0 for t in tmin)),
        season=Season(date(year, month, 1), date(next_year, month + 7 - (12 if south else 0), 28),
                      (5,)),
        beds=(
            Bed("Near", 2.0, 0.9, 0.4, at("[[bed]] 1")),
            Bed("Far", 1.6, 0.9, 0.4, at("[[bed]] 2")),
        ),
        channels=(Channel("Rail", 12, 0.2, at("[[channel]] 1")),),
        trays=(Tray("Shelf", 48, at("[[tray]] 1"), 18.0, 14.0, 180.0),),
        wants=(
            Want("lettuce-butterhead", 3, "head", 7, day(3, 5), day(6, 20), at("[[want]] 1")),
            Want("radish", 2, "bunch", 7, day(2, 3), day(6, 20), at("[[want]] 2")),
            Want("rocket", 1, "bunch", 7, day(2, 20), day(6, 20), at("[[want]] 3")),
            Want("bush-bean", 0.3, "kg", 7, day(4, 10), day(5, 28), at("[[want]] 4")),
        ),
        sowings=(FixedSowing("chard", day(4, 9), 4, at("[[sowing]] 1"), "Near"),),
    )  # fmt: skip


@cache
def at_mid_season(south):
    """Return (garden, plan, a day at mid-season)."""
    place = garden(south)
    plan, problems = make_plan(place, CROPS, effort=0.2)
    assert problems == []
    return place, plan, place.season.start + timedelta(days=110)


def again(place, plan, today, *entries, effort=0.2):
    """Plan again, with as little work as the plan was made with; return it and what is gone."""
    made, gone, problems = revise(plan, place, CROPS, today, entries, "diary.txt", effort)
    assert problems == []
    return made, gone


def standing(plan, today):
    """Return the plantings that stand and are not harvested yet, those with most plants first."""
    found = [p for p in plan.plantings if p.sow < today < p.harvest_start and not p.fixed]
    return sorted(found, key=lambda p: (-p.plants, p.id))


def recount(plan, since=date.min):
    """Look at each day of a plan: no ground is taken twice, no tray is over full."""
    cells = {tray.name: tray.cells for tray in plan.trays}
    sizes = {p.name: p for p in plan.places}
    day = max(since, min(p.sow for p in plan.plantings))
    while day <= max(p.cleared for p in plan.plantings):
        used = defaultdict(int)
        there = defaultdict(list)
        for p in plan.plantings:
            into = p.planting_out or p.sow
            if p.tray and p.sow <= day < into:
                used[p.tray] += p.cells
            if into <= day < p.cleared:
                there[p.place].append(p)
        assert all(used[name] <= cells[name] for name in used), day
        for name, some in there.items():
            taken = set()
            for p in some:
                mine = set(p.slots) or set(
                    range(round(p.strip_start_m * 1000),
                          round((p.strip_start_m + p.strip_length_m) * 1000 - 0.499))
                )  # fmt: skip
                assert not mine & taken, (name, day, p.id)
                taken |= mine
            size = sizes[name].holes or sizes[name].count or sizes[name].length_m * 1000
            assert max(taken) <= size
        day += DAY


def served(plan):
    """Return what each planting gives to wants, and check it against its harvests."""
    given_by = defaultdict(float)
    for want in plan.wants:
        assert want.met == pytest.approx(sum(a for _, a in want.served_by), abs=1e-6)
        assert want.met <= want.wanted + 1e-9
        for name, amount in want.served_by:
            given_by[name] += amount
    for p in plan.plantings:
        crop = plan.crop(p.crop)
        unit = next((w.unit for w in plan.wants if w.crop == p.crop), crop.harvest_unit)
        scale = 1.0
        if unit == "kg" and crop.harvest_unit != "kg":
            scale = crop.units_per_plant / crop.kg_per_plant
        assert given_by[p.id] * scale <= sum(lot.amount for lot in p.lots) + 1e-6, p.id
    return given_by
