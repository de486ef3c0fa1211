"""Every example garden's plan, recounted from its plan.json, crops.csv and garden.toml alone.

Nothing of sowplan is imported for the counting: tomllib reads the garden, csv the crops.
"""

from __future__ import annotations

import csv
import json
import tomllib
from collections import defaultdict
from datetime import date, timedelta
from pathlib import Path

import numpy as np
import pytest
from scipy.optimize import linprog

ROOT = Path(__file__).resolve().parent.parent


@pytest.fixture(scope="module")
def planned(example_folder):
    """Return garden and plan as written, and the rows of the crop table by key."""
    name = example_folder.name.removeprefix("plan-")
    with (ROOT / "crops/crops.csv").open(encoding="utf-8", newline="") as file:
        crops = {row["key"]: row for row in csv.DictReader(file)}
    return (
        tomllib.loads((ROOT / "examples" / name / "garden.toml").read_text(encoding="utf-8")),
        json.loads((example_folder / "plan.json").read_text(encoding="utf-8")),
        crops,
    )


def test_dates_follow_one_another(planned):
    _, plan, _ = planned
    assert plan["plantings"]
    for p in plan["plantings"]:
        out = p["planting_out"] or p["emergence"]
        assert p["sow"] <= p["emergence"] <= out <= p["harvest_start"], p["id"]
        assert p["harvest_start"] <= p["harvest_end"], p["id"]
        assert p["harvest_start"] <= p["cleared"], p["id"]
        assert p["harvest_start_early"] <= p["harvest_start"] <= p["harvest_start_late"], p["id"]


def test_sown_on_the_gardeners_days(planned):
    garden, plan, _ = planned
    days = garden["season"].get("sow_on", [])
    for p in plan["plantings"]:
        if days and not p["fixed"]:
            assert f"{date.fromisoformat(p['sow']):%A}" in days, p["id"]
            assert garden["season"]["start"].isoformat() <= p["sow"]


def _in_place(p: dict) -> tuple[date, date]:
    """First day in its place, and the first day it is free again."""
    return date.fromisoformat(p["planting_out"] or p["sow"]), date.fromisoformat(p["cleared"])


def test_no_two_crops_in_one_place_at_one_time(planned):
    _, plan, _ = planned
    by_place = defaultdict(list)
    for p in plan["plantings"]:
        by_place[p["place"]].append(p)
    places = {place["name"]: place for place in plan["places"]}
    for name, plantings in by_place.items():
        place = places[name]
        for i, a in enumerate(plantings):
            if place["kind"] == "bed":
                end = a["strip_start_m"] + a["strip_length_m"]
                assert a["strip_start_m"] >= -1e-9, a["id"]
                assert end <= place["length_m"] - 2 * place["edge_m"] + 1e-6, a["id"]
            else:
                last = place["holes"] if place["kind"] == "channel" else place["count"]
                assert a["slots"] and set(a["slots"]) <= set(range(1, last + 1)), a["id"]
            for b in plantings[i + 1 :]:
                (a_in, a_out), (b_in, b_out) = _in_place(a), _in_place(b)
                if a_in < b_out and b_in < a_out:
                    assert not _share_ground(a, b, place["kind"]), (a["id"], b["id"])


def _share_ground(a: dict, b: dict, kind: str) -> bool:
    if kind != "bed":
        return bool(set(a["slots"]) & set(b["slots"]))
    a_end = a["strip_start_m"] + a["strip_length_m"]
    b_end = b["strip_start_m"] + b["strip_length_m"]
    return min(a_end, b_end) - max(a["strip_start_m"], b["strip_start_m"]) > 1e-6


def test_tray_cells_suffice_every_day(planned):
    _, plan, crops = planned
    cells = {tray["name"]: tray["cells"] for tray in plan["trays"]}
    used: dict[tuple[str, date], int] = defaultdict(int)
    for p in plan["plantings"]:
        if p["tray"] is None:
            assert p["planting_out"] is None, p["id"]
            continue
        per_cell = int(crops[p["crop"]]["plants_per_cell"])
        assert p["cells"] * per_cell >= p["plants"], p["id"]
        day, out = date.fromisoformat(p["sow"]), date.fromisoformat(p["planting_out"])
        while day < out:
            used[p["tray"], day] += p["cells"]
            day += timedelta(days=1)
    assert [(k, n) for k, n in used.items() if n > cells[k[0]]] == []


def test_nothing_tender_in_the_frost(planned):
    """The killing minimum is the crop table's; -1 °C or above is what it calls tender."""
    _, plan, crops = planned
    last, first = plan["site"]["last_frost"], plan["site"]["first_frost"]
    cover = {place["name"]: place["cover"] for place in plan["places"]}
    for p in plan["plantings"]:
        tender = float(crops[p["crop"]]["killing_frost_c"]) >= -1
        if tender and cover[p["place"]] == "none" and last and first:
            outside, gone = _in_place(p)
            if p["planting_out"] is None:
                outside = date.fromisoformat(p["emergence"])
            frost_free = _seasons_between(last, first, plan)
            assert any(a <= outside and gone <= b for a, b in frost_free), p["id"]


def _seasons_between(last: str, first: str, plan: dict) -> list[tuple[date, date]]:
    """Every stretch from a last frost to the next first frost that touches the plan's season."""
    spring, autumn = date.fromisoformat(last), date.fromisoformat(first)
    stretches = []
    for year in range(spring.year - 2, spring.year + 4):
        a = spring.replace(year=year)
        b = autumn.replace(year=year if (autumn.month, autumn.day) > (a.month, a.day) else year + 1)
        stretches.append((a, b + timedelta(days=1)))
    return stretches


def test_harvests_cover_what_is_said_to_be_met(planned):
    """Each lot is handed out once at most, in its own window and keeping time, in its own unit."""
    _, plan, crops = planned
    plantings = {p["id"]: p for p in plan["plantings"]}
    handed = defaultdict(float)
    for want in plan["wants"]:
        assert -1e-9 <= want["met"] <= want["wanted"] + 1e-6
        served = sum(amount for _, amount in want["served_by"])
        assert served == pytest.approx(want["met"], abs=1e-5)
        keeps = float(crops[want["crop"]]["keeps_days"])
        for name, amount in want["served_by"]:
            p = plantings[name]
            assert p["crop"] == want["crop"]
            in_time = sum(
                lot["amount"]
                for lot in p["lots"]
                if lot["ready"] <= want["end"]
                and date.fromisoformat(lot["last"]) + timedelta(days=keeps)
                >= date.fromisoformat(want["start"])
            )
            units = _in_harvest_units(amount, want["unit"], crops[want["crop"]])
            assert units <= in_time + 1e-4, (want["start"], name)
            handed[name] += units
    for name, units in handed.items():
        assert units <= sum(lot["amount"] for lot in plantings[name]["lots"]) + 1e-4, name


def _in_harvest_units(amount: float, unit: str, crop: dict) -> float:
    units = float(crop["units_per_plant"])
    if unit == "kg" and crop["harvest_unit"] != "kg":
        return amount / float(crop["kg_per_plant"]) * units
    if unit == "plants":
        return amount * units
    return amount


def test_every_want_is_there_in_full(planned):
    """Each [[want]] has its periods, counted by hand; days left over go with the last of them."""
    garden, plan, _ = planned
    days = {"week": 7, "fortnight": 14}
    for number, want in enumerate(garden["want"]):
        length = (want["to"] - want["from"]).days + 1
        periods = [w for w in plan["wants"] if w["want"] == number]
        whole, over = divmod(length, days[want["per"]])
        assert len(periods) == whole + (2 * over >= days[want["per"]]), want
        assert periods[0]["start"] == want["from"].isoformat()
        assert periods[-1]["end"] == want["to"].isoformat()


def _wanted(want: dict, crop: dict) -> float:
    """Return how much a [[want]] asks for each time, in the crop's harvest units."""
    number, _, unit = str(want["amount"]).partition(" ")
    amount = float(number) / (1000 if unit == "g" else 1)
    if unit in ("g", "kg") and crop["harvest_unit"] != "kg":
        return amount / float(crop["kg_per_plant"]) * float(crop["units_per_plant"])
    return amount


def _handed_out(periods: list[tuple], lots: list[tuple]) -> tuple[float, float]:
    """Return (lack, left over): lack as weighed, what is left over in harvest units.

    ``periods`` are (first day, last day, amount, weight of a unit), ``lots`` (first day, last day
    fit to eat, amount); the best of all ways to hand them out.
    """
    pairs = [
        (p, n)
        for p, (start, end, *_) in enumerate(periods)
        for n, (ready, until, _) in enumerate(lots)
        if ready <= end and until >= start
    ]
    lack = sum(amount * weight for *_, amount, weight in periods)
    if not pairs:
        return lack, sum(lot[2] for lot in lots)
    limits = np.zeros((len(periods) + len(lots), len(pairs)))
    for column, (p, n) in enumerate(pairs):
        limits[p, column] = limits[len(periods) + n, column] = 1
    most = [period[2] for period in periods] + [lot[2] for lot in lots]
    found = linprog([-periods[p][3] for p, _ in pairs], limits, most, method="highs")
    return lack + found.fun, sum(lot[2] for lot in lots) - found.x.sum()


def test_missing_and_waste_are_as_recounted(planned):
    """A week of one want weighs as much as a week of any other, times its priority."""
    garden, plan, crops = planned
    days = {"week": 7, "fortnight": 14}
    wanted = missing = wasted = 0.0
    for key in {want["crop"] for want in garden["want"]}:
        periods, lots = [], []
        for number, want in enumerate(garden["want"]):
            if want["crop"] != key:
                continue
            amount = _wanted(want, crops[key])
            weight = want.get("priority", 1.0) * days[want["per"]] / 7 / amount
            periods += [
                (*map(date.fromisoformat, (w["start"], w["end"])), amount, weight)
                for w in plan["wants"]
                if w["want"] == number
            ]
        keeps = timedelta(days=float(crops[key]["keeps_days"]))
        for p in plan["plantings"]:
            if p["crop"] == key:
                for lot in p["lots"]:
                    ready, last = map(date.fromisoformat, (lot["ready"], lot["last"]))
                    lots.append((ready, last + keeps, lot["amount"]))
        lack, left = _handed_out(periods, lots)
        mine = sum(amount * weight for *_, amount, weight in periods)
        wanted, missing = wanted + mine, missing + lack
        wasted += left * mine / sum(amount for *_, amount, _ in periods)
    quality = plan["quality"]
    assert quality["wanted"] == pytest.approx(wanted)
    assert quality["missing"] == pytest.approx(missing, abs=1e-5)
    assert quality["missing_share"] == pytest.approx(missing / wanted, abs=1e-6)
    assert quality["wasted"] == pytest.approx(wasted, abs=1e-5)
    share = wasted / (wanted - missing + wasted)
    assert quality["wasted_share"] == pytest.approx(share, abs=1e-6)


def test_no_place_holds_more_than_it_has_on_any_day(planned):
    _, plan, _ = planned
    taken: dict[tuple[str, date], float] = defaultdict(float)
    for p in plan["plantings"]:
        day, until = _in_place(p)
        while day < until:
            taken[p["place"], day] += p["strip_length_m"] if p["kind"] == "bed" else len(p["slots"])
            day += timedelta(days=1)
    has = {
        place["name"]: place["length_m"] - 2 * place["edge_m"]
        if place["kind"] == "bed"
        else place["holes"] or place["count"]
        for place in plan["places"]
    }
    assert [key for key, much in taken.items() if much > has[key[0]] + 1e-6] == []


def test_families_wait_before_they_come_back(planned):
    """A family has one turn in a bed, a year at most from its first day; then its gap of months.

    What stood there before the season has had its turn.
    """
    garden, plan, crops = planned
    stood = {(past["place"], past["family"]): past["until"] for past in garden.get("past", [])}
    turns = defaultdict(list)
    for p in plan["plantings"]:
        if p["kind"] == "bed":
            gap = timedelta(days=float(crops[p["crop"]]["rotation_gap_months"]) * 30.44 - 0.5)
            place = p["place"], crops[p["crop"]]["family"]
            turns[place].append((*_in_place(p), gap, p["fixed"]))
            if place in stood and not p["fixed"]:
                assert _in_place(p)[0] >= stood[place] + gap, p["id"]
    for place, stays in turns.items():
        stays.sort()
        first, last, *_ = stays[0]
        for into, gone, gap, fixed in stays[1:]:
            if into - first >= timedelta(days=365):
                assert fixed or not gap or into >= last + gap, place
                first, last = into, gone
            last = max(last, gone)


def test_missing_is_what_the_plan_says_and_has_a_reason(planned):
    _, plan, _ = planned
    for want in plan["wants"]:
        if want["wanted"] - want["met"] > 1e-6:
            assert want["why"], (want["crop"], want["start"])
    quality = plan["quality"]
    assert 0 <= quality["missing_share_bound"] <= quality["missing_share"] + 1e-9
    # What is sown of a crop on one day, in trays or direct, is one sowing, in however many strips.
    sown = {(p["crop"], p["sow"], p["tray"] is None): p["fixed"] for p in plan["plantings"]}
    assert quality["sowings"] == sum(not fixed for fixed in sown.values())
