"""A season's tasks: nothing forgotten, nothing before its time, and worded to work from."""

from __future__ import annotations

import dataclasses
import re
from collections import Counter
from datetime import date, timedelta

import pytest

from sowplan.season.plan import WantPeriod
from sowplan.season.words import propagule
from sowplan.supply.advice import cautions, how_to_clear, how_to_harvest
from sowplan.supply.gather import gathered
from sowplan.supply.task import Task
from sowplan.supply.tasks import ORDER, tasks
from sowplan.supply.water import water
from sowplan.supply.water.words import water_amount
from sowplan.supply.wording import day_text


@pytest.fixture(scope="module")
def all_tasks(sample_plan):
    return singles(sample_plan)


def singles(plan):
    """Return the parts of all tasks, each planting's kind by itself."""
    return [one for task in tasks(plan) for one in task.jobs]


def of(found, planting: str, kind: str):
    return [t for t in found if t.planting == planting and t.kind == kind]


def one(found, planting: str, kind: str):
    (task,) = of(found, planting, kind)
    return task


def with_crop(plan, key: str, **changes):
    crops = tuple(
        dataclasses.replace(crop, **changes) if crop.key == key else crop for crop in plan.crops
    )
    return dataclasses.replace(plan, crops=crops)


def test_every_planting_is_sown_and_cleared_on_the_plans_days(sample_plan, all_tasks):
    """Without working days; a spent crop may stand two weeks where nothing needs its ground."""
    for p in sample_plan.plantings:
        assert one(all_tasks, p.id, "sow").day == p.sow
        assert one(all_tasks, p.id, "clear").until <= p.cleared + timedelta(days=14)
        assert one(all_tasks, p.id, "clear").day >= p.harvest_start
        planted = [t.day for t in of(all_tasks, p.id, "plant out")]
        assert planted == ([p.planting_out] if p.planting_out else [])


def test_what_comes_between_comes_in_order(sample_plan, all_tasks):
    for p in sample_plan.plantings:
        end = p.planting_out or p.harvest_start
        for kind in ("thin", "pot on", "harden off"):
            for t in of(all_tasks, p.id, kind):
                assert p.emergence < t.day <= t.until < end or kind == "pot on"
                assert p.emergence < t.day < end
        if p.planting_out:
            hard = one(all_tasks, p.id, "harden off")
            assert hard.until == p.planting_out - timedelta(days=1)
            assert (p.planting_out - hard.day).days <= 7


def test_ids_are_unique_and_hold_no_date(sample_plan, all_tasks):
    assert max(Counter(t.id for t in all_tasks).values()) == 1
    shift = timedelta(days=40)
    later = dataclasses.replace(
        sample_plan,
        sky=(),
        plantings=tuple(
            dataclasses.replace(
                p,
                **{
                    name: getattr(p, name) and getattr(p, name) + shift
                    for name in (
                        "sow", "emergence", "planting_out", "harvest_start", "harvest_end",
                        "cleared", "harvest_start_early", "harvest_start_late",
                    )
                },
                lots=tuple(
                    dataclasses.replace(x, ready=x.ready + shift, last=x.last + shift)
                    for x in p.lots
                ),
            )
            for p in sample_plan.plantings
        ),
    )  # fmt: skip
    ids = {t.id for t in all_tasks if t.kind not in ("protect", "harvest")}
    assert {t.id for t in singles(later) if t.kind != "harvest"} == ids


def test_they_come_in_the_order_of_days_and_of_work(all_tasks):
    keys = [(t.day, ORDER.index(t.kind)) for t in all_tasks]
    assert keys == sorted(keys)
    assert all(t.day <= t.until for t in all_tasks)
    assert ORDER.index("harvest") < ORDER.index("clear") < ORDER.index("plant out")


def test_sowing_says_cells_seeds_and_depth(all_tasks):
    t = one(all_tasks, "lettuce-butterhead-1", "sow")
    assert t.title == "Sow Butterhead lettuce: 10 cells, Shelf"
    assert t.place == "Shelf"
    for text in (
        "10 cells, 2 seeds a cell, 5 mm deep: 20 seeds in all",
        "For 9 plants, 1 to spare",
    ):
        assert text in t.details
    assert "planted out about Tue 29 September: Long bed, 5-80 cm" in t.details


def test_one_sowing_for_several_places_is_told_once(sample_plan):
    """By hand: 10 cells of two seeds for 9 plants, and as many again for another bed."""
    (first,) = [p for p in sample_plan.plantings if p.id == "lettuce-butterhead-1"]
    second = dataclasses.replace(first, id="lettuce-butterhead-99", place="Twin bed")
    twin = dataclasses.replace(sample_plan.place("Long bed"), name="Twin bed")
    plan = dataclasses.replace(
        sample_plan,
        plantings=(*sample_plan.plantings, second),
        places=(*sample_plan.places, twin),
        wants=(),
    )
    (sown,) = [t for t in tasks(plan) if t.kind == "sow" and second.id in
               {part.planting for part in t.parts}]  # fmt: skip
    mine = [line for line in sown.details.split("\n") if line.startswith("Butterhead lettuce: ")]
    assert len(mine) == 1
    for text in (
        "Shelf: 20 cells, 2 seeds a cell, 5 mm deep: 40 seeds in all.",
        "For 18 plants, 2 to spare.",
        "Tue 29 September: 9 to Long bed, 5-80 cm; 9 to Twin bed, 5-80 cm.",
    ):
        assert text in mine[0]
    assert {part.planting for part in sown.parts} >= {first.id, second.id}


def test_a_crop_lifted_to_keep_says_how_much_is_for_now(sample_plan):
    """By hand: a kilogram for the week it is lifted in, 2 kg for meals up to two months later."""
    (p,) = [p for p in sample_plan.plantings if p.id == "carrot-2"]
    day = p.lots[0].last
    begins = [day - timedelta(days=6), day + timedelta(days=29), day + timedelta(days=50)]
    served = tuple(
        WantPeriod(0, "carrot", at, at + timedelta(days=6), "kg", 1.0, 1.0,
                   served_by=((p.id, 1.0),))
        for at in begins
    )  # fmt: skip
    plan = dataclasses.replace(sample_plan, plantings=(p,), wants=served)
    kept = with_crop(plan, "carrot", keeps_days=120.0)
    (job,) = [t for t in of(singles(kept), p.id, "harvest") if t.takes]
    assert "1 kg for now, 2 kg to keep until about " in job.details
    until = begins[2] + timedelta(days=6)
    assert f"{day_text(until)}, cool and moist" in job.details
    fresh = with_crop(plan, "carrot", keeps_days=20.0)
    assert not any("to keep" in t.details for t in singles(fresh))
    now = dataclasses.replace(kept, wants=served[:1])
    assert not any("to keep" in t.details for t in singles(now))


def test_hardening_off_over_days_away_says_what_to_do(sample_plan):
    """A plan of before, or a sowing of the gardener's own, may have it so."""
    (p,) = [p for p in sample_plan.plantings if p.id == "lettuce-butterhead-1"]
    gone = (p.planting_out - timedelta(days=4), p.planting_out - timedelta(days=3))
    plan = dataclasses.replace(
        sample_plan, site=dataclasses.replace(sample_plan.site, away=(gone,))
    )
    assert (
        "Nobody is there 25 to 26 September: leave them"
        in one(singles(plan), p.id, "harden off").details
    )
    assert "Nobody is there" not in one(singles(sample_plan), p.id, "harden off").details


def test_direct_sowing_says_rows(all_tasks):
    t = one(all_tasks, "carrot-1", "sow")
    assert t.title == "Sow Carrot: Long bed, 80-140 cm"
    assert t.place == "Long bed"
    assert "4 rows across the bed" in t.details and "128 seeds in all" in t.details


def test_planting_out_says_where_and_what_to_put_up(all_tasks):
    t = one(all_tasks, "tomato-cherry-1", "plant out")
    assert t.title == "Plant out 4 Cherry tomato: Gate bed, 5-125 cm"
    assert "Set a cane or string" in t.details
    assert "2 rows across the bed" in t.details


def wants(crop, *periods, unit="bunch"):
    """Return want periods; each: first and last day, amount, and what it is served by."""
    return tuple(
        WantPeriod(0, crop, date.fromisoformat(a), date.fromisoformat(b), unit, much, much,
                   served_by=tuple(served.items()))
        for a, b, much, served in periods
    )  # fmt: skip


def test_harvest_is_what_is_wanted_and_says_from_where(sample_plan):
    """By hand: loose-leaf 1 is fit from 2 November; its second cut from 14 November or so."""
    plan = dataclasses.replace(
        sample_plan,
        wants=wants(
            "lettuce-loose-leaf",
            ("2026-11-02", "2026-11-08", 3.0, {"lettuce-loose-leaf-1": 3.0}),
            ("2026-11-09", "2026-11-15", 3.0, {"lettuce-loose-leaf-1": 3.0}),
            ("2026-12-08", "2026-12-14",
             3.0, {"lettuce-loose-leaf-2": 2.0, "lettuce-loose-leaf-3": 1.0}),
        ),
    )  # fmt: skip
    found = [t for t in singles(plan) if t.id.startswith("lettuce-loose-leaf:")]
    first, second, third = found
    # Day 63 of a season that begins on 1 September is 2 November: the want's week, not the pick's.
    assert [t.id.split("-")[-1] for t in found] == ["63", "70", "99"]
    assert first.title == "Harvest 3 bunches Loose-leaf lettuce"
    assert "Long bed, 80-140 cm." in first.details and "Cut 1 of 3" in first.details
    assert "it grows again" in first.details and "A forecast: from" in first.details
    assert "Cut 1 of 3" not in second.details and "A forecast" not in second.details
    assert "2 bunches Long bed, 1 bunch Gate bed." in third.details
    assert third.takes == (("lettuce-loose-leaf-2", 2.0), ("lettuce-loose-leaf-3", 1.0))


def test_what_nobody_wants_is_still_brought_in(sample_plan):
    plan = dataclasses.replace(sample_plan, wants=())
    found = {t.id: t for t in singles(plan) if t.kind == "harvest"}
    lots = {f"{p.id}:harvest-{n + 1}" for p in sample_plan.plantings for n in range(len(p.lots))}
    assert found.keys() == lots
    last = found["lettuce-loose-leaf-1:harvest-3"]
    assert last.title == "Harvest 6 bunches Loose-leaf lettuce" and "Last cut" in last.details


def test_two_crops_of_a_day_are_one_task_with_parts(sample_plan):
    """On 1 September two crops are sown by the sample's table, each on a shelf of its own."""
    sown = next(t for t in tasks(sample_plan) if t.kind == "sow")
    assert sown.title == "Sow Butterhead lettuce (10 cells) and Spring onion (18 cells)"
    assert [part.id for part in sown.parts] == ["lettuce-butterhead-1:sow", "spring-onion-3:sow"]
    assert sown.id == "lettuce-butterhead-1:sow" and sown.crop == ""
    for part in sown.parts:
        assert part.details in sown.details


def test_places_of_a_job_are_told_in_the_order_of_their_numbers(sample_plan):
    crop, day = sample_plan.crops[0], date(2026, 10, 3)
    jobs = [
        Task(f"a-{n}:thin", "thin", day, day, f"a-{n}", crop.key, f"Bed {n}", "Thin", "")
        for n in (11, 2, 10, 1)
    ]
    (thinned,) = gathered(sample_plan, jobs)
    assert thinned.title.endswith(": Bed 1, 2, 10 and 11")


def test_only_crowded_cells_are_thinned(all_tasks):
    """One bean a station and seven onions for a clump of six need none; two lettuces a cell do."""
    assert not of(all_tasks, "dwarf-bean-1", "thin") and not of(all_tasks, "radish-1", "thin")
    assert not of(all_tasks, "spring-onion-1", "thin")
    assert "1 to a cell" in one(all_tasks, "lettuce-butterhead-1", "thin").details


def test_long_raised_fruiting_crops_are_potted_on(all_tasks):
    assert {t.crop for t in all_tasks if t.kind == "pot on"} == {"tomato-cherry"}


def test_clearing_says_when_the_ground_is_needed(all_tasks):
    t = one(all_tasks, "lettuce-butterhead-1", "clear")
    assert "filled again the same day" in t.details
    assert "leave the roots in" in one(all_tasks, "dwarf-bean-1", "clear").details


def test_tender_crops_are_watched_while_frost_can_come(sample_plan, all_tasks):
    watches = [t for t in all_tasks if t.kind == "protect"]
    chance = {sky.day: sky.frost_chance for sky in sample_plan.sky}
    assert watches and all(sample_plan.crop(t.crop).tender for t in watches)
    for p in sample_plan.plantings:
        crop, place = sample_plan.crop(p.crop), sample_plan.place(p.place)
        days = [p.planting_out or p.emergence]
        while days[-1] < p.harvest_end:
            days.append(days[-1] + timedelta(days=1))
        cold = [day for day in days if chance.get(day, 0) >= 0.02]
        found = of(all_tasks, p.id, "protect")
        assert bool(found) == bool(cold and crop.tender)
        for day in cold if crop.tender else ():
            assert any(t.day <= day <= t.until for t in found), (p.id, day)
        if found and place.cover == "tunnel":
            assert "Shut the tunnel" in found[0].details


def test_frost_watches_keep_their_names(sample_plan):
    """With no cold at the start of the stay, the watch at its end is still number 2."""
    autumn = tuple(
        dataclasses.replace(day, frost_chance=0.0 if day.day.year == 2026 else day.frost_chance)
        for day in sample_plan.sky
    )
    found = singles(dataclasses.replace(sample_plan, sky=autumn))
    ids = {t.id for t in found if t.kind == "protect"}
    assert "tomato-cherry-1:protect-2" in ids and "tomato-cherry-1:protect-1" not in ids


def test_what_lies_before_the_season_is_left_out(sample_plan, all_tasks):
    """A planting that stands when the season begins is harvested and cleared, not sown again."""
    site = dataclasses.replace(sample_plan.site, start=date(2026, 10, 12))
    found = singles(dataclasses.replace(sample_plan, site=site))
    assert all(t.until >= site.start for t in found)
    kinds = [t.kind for t in found if t.planting == "radish-3"]
    assert set(kinds) == {"harvest", "clear"} and kinds[-1] == "clear"


def test_tubers_cloves_and_sets_are_planted(sample_plan):
    plan = with_crop(sample_plan, "carrot", botanical_name="Allium sativum", seeds_per_cell=1)
    t = one(singles(plan), "carrot-1", "sow")
    assert t.title.startswith("Plant Carrot: ") and "1 clove a station" in t.details
    onion = dataclasses.replace(sample_plan.crop("spring-onion"), key="onion-sets")
    assert propagule(onion) == "set"


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("Solanum tuberosum", "green"),
        ("Phaseolus vulgaris", "cook"),
        ("Vicia faba", "G6PD"),
        ("Pastinaca sativa subsp. sativa", "sap"),
        ("Cucurbita pepo", "bitter"),
        ("Nasturtium officinale", "drinking water"),
    ],
)
def test_what_can_hurt_is_said_where_it_is_read(sample_plan, name, words):
    """Food-safety facts of common knowledge, from memory."""
    plan = with_crop(sample_plan, "radish", botanical_name=name)
    assert words in of(singles(plan), "radish-1", "harvest")[0].details
    assert any(words in text for text in cautions(plan))


def test_advice_fits_the_harvest(sample_plan):
    radish, basil = sample_plan.crop("radish"), sample_plan.crop("basil")
    assert how_to_harvest(radish, 1, 1).startswith("Lift")
    assert "nip out" in how_to_harvest(basil, 2, 10)
    corn = dataclasses.replace(radish, group="fruiting")
    assert "ripe" in how_to_harvest(corn, 1, 1)
    herb = dataclasses.replace(basil, harvest="cut")
    assert "stems" in how_to_harvest(herb, 1, 3)
    assert "supports" in how_to_clear(sample_plan.crop("tomato-cherry"))
    # Bulbs to keep are lifted at once and dried for some weeks; common practice, no source.
    bulb = dataclasses.replace(
        radish, group="allium", botanical_name="Allium sativum", keeps_days=200
    )
    assert "two to four weeks" in how_to_harvest(bulb, 1, 1)
    assert "largest" not in how_to_harvest(bulb, 1, 1) and "left behind" in how_to_clear(bulb)
    fresh = dataclasses.replace(bulb, botanical_name="Allium porrum", keeps_days=10)
    assert how_to_harvest(fresh, 1, 1) == "Lift the largest first."


def test_imperial_gardens_get_no_centimetres(sample_plan):
    site = dataclasses.replace(sample_plan.site, units="imperial")
    for t in tasks(dataclasses.replace(sample_plan, site=site)):
        for unit in (" cm", " mm", " kg", " g,"):
            assert unit not in t.title + t.details, t.details


def test_names_with_line_breaks_stay_on_their_line(sample_plan):
    plan = with_crop(sample_plan, "radish", name="Radish\n\tround ")
    for t in singles(plan):
        assert "\n" not in t.title + t.details
    assert not any("\n" in t.title or "\t" in t.details for t in tasks(plan))


def test_before_days_away_it_is_told_what_somebody_must_water(sample_plan):
    """Seedlings in cells and pots dry out in a few days; common practice, no source."""
    gone, short = (date(2027, 1, 3), date(2027, 1, 17)), (date(2027, 2, 6), date(2027, 2, 7))
    away = dataclasses.replace(sample_plan, site=dataclasses.replace(
        sample_plan.site, away=(gone, short)
    ))  # fmt: skip
    assert not [t for t in tasks(sample_plan) if t.kind == "leave"]
    (found,) = [t for t in tasks(away) if t.kind == "leave"]
    assert found.day == found.until == date(2027, 1, 2)
    assert found.title == "Before you go: ask somebody to water, 3 to 17 January"
    for place in away.places:
        full = any(p.place == place.name and occupied(p, *gone) for p in away.plantings)
        assert (place.name in found.details) == full
    trays = {
        p.tray for p in away.plantings
        if p.tray and p.sow < gone[0] and p.planting_out > gone[0]
    }  # fmt: skip
    assert trays and all(f"{tray}: " in found.details for tray in trays)
    assert "Fill the reservoir of Long bed." in found.details


def test_a_time_away_that_goes_on_beyond_the_season_asks_for_as_much_a_week(sample_plan):
    first, end = date(2027, 5, 4), sample_plan.site.end  # 31 May: four weeks to the day
    told = []
    for last in (end, end + timedelta(days=21)):
        site = dataclasses.replace(sample_plan.site, away=((first, last),))
        plan = dataclasses.replace(sample_plan, site=site)
        (found,) = [t for t in tasks(plan) if t.kind == "leave"]
        told.append([part for part in re.split(r"(?<=[.]) ", found.details) if " a week" in part])
    assert told[0] and told[0] == told[1]


def test_every_bed_that_wants_water_meanwhile_is_told_with_its_litres(sample_plan):
    """Recounted from the water of its weeks; by usual rain, and without any."""
    away = (date(2027, 1, 4), date(2027, 1, 17))  # two of its weeks, whole
    plan = dataclasses.replace(
        sample_plan, site=dataclasses.replace(sample_plan.site, away=(away,))
    )  # fmt: skip
    (found,) = [t for t in tasks(plan) if t.kind == "leave"]
    told = 0
    for one in water(plan):
        weeks = [week for week in one.weeks if week.start in (away[0], date(2027, 1, 11))]
        give, need = (sum(getattr(w, n) for w in weeks) / 2 for n in ("give_l", "need_l"))
        stands = [p for p in plan.plantings if p.place == one.place.name and occupied(p, *away)]
        if one.place.kind == "bed" and not one.place.reservoir_l and stands and give > 0.5:
            told += 1
            assert f"{one.place.name}: {water_amount(give, 'metric')} a week" in found.details
            assert f", {water_amount(need, 'metric')} if no rain comes." in found.details
    assert told
    short = dataclasses.replace(plan, site=dataclasses.replace(plan.site, away=(
        (away[0], away[0] + timedelta(days=3)),
    )))  # fmt: skip
    (found,) = [t for t in tasks(short) if t.kind == "leave"]
    assert "well before you go: that lasts." in found.details and "a week, " not in found.details


def test_a_frost_watch_begins_when_somebody_is_there(sample_plan):
    """Without days off as ever; with them on the last day before, and it says to leave it on."""
    plain = {t.id: t for t in singles(sample_plan) if t.kind == "protect"}
    off = {t.day.weekday() for t in plain.values()}
    assert off and len(off) < 7
    site = dataclasses.replace(sample_plan.site, never_on=tuple(sorted(off)), work_on=())
    found = [t for t in singles(dataclasses.replace(sample_plan, site=site)) if t.kind == "protect"]
    assert {t.id for t in found} == set(plain)
    for t in found:
        assert t.day.weekday() not in off and t.until == plain[t.id].until
        assert "leave it covered" in t.details and "leave it covered" not in plain[t.id].details
    gone = min(t.day for t in plain.values())
    away = ((gone - timedelta(days=9), gone + timedelta(days=9)),)
    site = dataclasses.replace(sample_plan.site, away=away)
    found = [t for t in singles(dataclasses.replace(sample_plan, site=site)) if t.kind == "protect"]
    assert min(t.day for t in found) == gone - timedelta(days=10)


def test_a_harvest_tells_its_forecast_once(sample_plan):
    """Of two plantings first fit on one day: the earlier early year, and the later late one."""
    p = next(p for p in sample_plan.plantings if p.harvest_start_early < p.harvest_start_late)
    day = timedelta(days=1)
    twin = dataclasses.replace(
        p,
        id="twin-1",
        harvest_start_early=p.harvest_start_early - day,
        harvest_start_late=p.harvest_start_late + day,
    )
    served = [w for w in sample_plan.wants if w.crop == p.crop and w.start >= p.harvest_start]
    want = dataclasses.replace(served[0], served_by=((p.id, 1.0), (twin.id, 1.0)), met=2.0)
    plan = dataclasses.replace(sample_plan, plantings=(p, twin), wants=(want,))
    jobs = [t for t in singles(plan) if t.kind == "harvest" and "A forecast:" in t.details]
    assert jobs and all(t.details.count("A forecast:") == 1 for t in jobs)
    both = next(t for t in jobs if len(t.takes) == 2)
    assert day_text(twin.harvest_start_early) in both.details
    assert day_text(twin.harvest_start_late) in both.details


def test_pots_are_watered_as_often_as_they_drink_meanwhile(sample_plan):
    """A tenth of 12 l is 1.2 l: at 1 l a plant and day gone at once, in the cold not in a week."""
    gone = (date(2027, 1, 3), date(2027, 1, 10))
    one = next(p for p in sample_plan.plantings if p.crop == "tomato-cherry" and p.kind == "pot")

    def told(eto_mm):
        sky = tuple(dataclasses.replace(day, eto_mm=eto_mm) for day in sample_plan.sky)
        site = dataclasses.replace(sample_plan.site, away=(gone,))
        plan = dataclasses.replace(sample_plan, site=site, sky=sky, plantings=(one,))
        pots = next(place for place in water(plan) if place.place.name == one.place)
        (found,) = [t for t in tasks(plan) if t.kind == "leave"]
        return found, pots.between(*gone)[0] / 8 / len(one.slots)

    assert one.place == "Step pots" and sample_plan.place(one.place).volume_l == 12
    hot, daily_l = told(6.0)
    assert daily_l > 0.6 and ("Step pots (" in hot.details)
    assert " a week): every other day, daily in heat." in hot.details
    assert "ask somebody to water" in hot.title
    mild, daily_l = told(2.0)
    often = f" a week): every {int(1.2 / daily_l)} days, more often in heat."
    assert "Step pots (" in mild.details and often in mild.details
    cold, daily_l = told(0.3)
    assert daily_l < 1.2 / 8 and "Water Step pots well before you go: that lasts." in cold.details
    assert cold.title == "Before you go: water the pots, 3 to 10 January"


def occupied(planting, first, last):
    return (planting.planting_out or planting.sow) < first and planting.cleared > first
