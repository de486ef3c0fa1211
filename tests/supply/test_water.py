"""Water by week: recounted day by day from the plan, and what must hold for any garden."""

from __future__ import annotations

import math
from dataclasses import replace
from datetime import timedelta

import pytest

from sowplan.supply.water import total, water
from sowplan.supply.water.weeks import WaterWeek
from sowplan.supply.water.words import a_week_l, water_amount, week_text


def only(plan, place, sky=None, **changes):
    """Return a plan of one place and its plantings alone, under a changed sky."""
    there = replace(plan.place(place), **changes)
    days = tuple(replace(day, **(sky or {})) for day in plan.sky)
    plantings = tuple(p for p in plan.plantings if p.place == place)
    return replace(plan, places=(there,), plantings=plantings, sky=days, wants=())


def recount(plan, light=1.0):
    """Return a bed's need [l], day by day in the plainest way: Kc ETo on the planting's strip.

    The stages are written out anew: shares of FAO-56 Table 11 for the sample's groups.
    """
    shares = {
        "leaf": (0.26, 0.35, 0.10), "herb": (0.26, 0.35, 0.10), "brassica": (0.24, 0.33, 0.12),
        "root": (0.20, 0.26, 0.18), "allium": (0.19, 0.31, 0.17), "legume": (0.19, 0.27, 0.16),
        "fruiting": (0.21, 0.30, 0.15),
    }  # fmt: skip
    litres = {}
    for p in plan.plantings:
        crop, place = plan.crop(p.crop), plan.place(p.place)
        start, stay = p.occupies_from, (p.harvest_end - p.occupies_from).days + 1
        ini, dev, late = shares[crop.group]
        full = min((ini + dev) * stay, (p.harvest_start - start).days)
        begin = full * ini / (ini + dev)
        if not p.planting_out:
            begin = min(max(begin, (p.emergence - start).days), full)
        old = max(full, (1 - late) * stay)
        area = p.strip_length_m * (place.width_m - 2 * place.edge_m)
        for day in plan.sky:
            age = (day.day - start).days
            if age < 0 or day.day >= p.cleared:
                continue
            if age <= begin:
                kc = crop.kc_initial
            elif age < full:
                kc = crop.kc_initial + (age - begin) / (full - begin) * (
                    crop.kc_mid - crop.kc_initial
                )
            elif age <= old:
                kc = crop.kc_mid
            else:
                share = min((age - old) / (stay - old), 1.0)
                kc = crop.kc_mid + share * (crop.kc_end - crop.kc_mid)
            if not p.planting_out and day.day < p.emergence:
                kc = max(kc, 1.0)  # a seed bed wetted every day or two (FAO-56 figure 29)
            litres[day.day] = litres.get(day.day, 0.0) + kc * day.eto_mm * light * area
    return litres


@pytest.mark.parametrize("place", ["Long bed", "Gate bed", "Wall bed"])
def test_a_beds_need_is_that_of_its_plantings_day_by_day(sample_plan, place):
    plan = only(sample_plan, place)
    litres = recount(plan)
    (found,) = water(plan)
    for week in found.weeks:
        days = (week.start + timedelta(days=n) for n in range(7))
        assert week.need_l == pytest.approx(math.fsum(litres.get(day, 0.0) for day in days))
    assert found.need_l == pytest.approx(math.fsum(litres.values()))


def test_weeks_are_the_gardeners_and_cover_the_season(sample_plan):
    for week_start in range(7):
        site = replace(sample_plan.site, week_start=week_start)
        for one in water(replace(sample_plan, site=site)):
            assert sum(week.days for week in one.weeks) == len(sample_plan.sky)
            assert {week.start.weekday() for week in one.weeks} == {week_start}
            assert all(week.days == 7 for week in one.weeks[1:-1])
            assert one.weeks[0].start <= site.start < one.weeks[0].start + timedelta(days=7)


def test_the_whole_is_the_sum_of_its_places(sample_plan):
    places = water(sample_plan)
    assert [one.place for one in places] == list(sample_plan.places)
    weeks = total(places)
    assert sum(week.need_l for week in weeks) == pytest.approx(sum(one.need_l for one in places))
    assert sum(week.rain_l for week in weeks) == pytest.approx(sum(one.rain_l for one in places))
    assert sum(len(week.fills) for week in weeks) == sum(len(w.fills) for w in places[0].weeks)
    for week in weeks:
        assert 0 <= week.rain_l <= week.need_l + 1e-9


def test_rain_falls_on_open_beds_and_through_fleece_not_under_glass(sample_plan):
    wet = {"rain_mm": 1.0}
    by_cover = {
        cover: water(only(sample_plan, "Gate bed", wet, cover=cover))[0]
        for cover in ("none", "fleece", "tunnel", "glass")
    }
    assert by_cover["none"].rain_l > 0 and by_cover["fleece"].rain_l > 0
    assert by_cover["tunnel"].rain_l == by_cover["glass"].rain_l == 0
    assert by_cover["tunnel"].need_l == pytest.approx(0.75 * by_cover["none"].need_l)
    assert by_cover["fleece"].need_l == pytest.approx(0.85 * by_cover["none"].need_l)


def test_unknown_rain_is_none(sample_plan):
    for one in water(replace(sample_plan, sky=tuple(
        replace(day, rain_mm=None) for day in sample_plan.sky
    ))):  # fmt: skip
        assert one.rain_l == 0 and one.give_l == one.need_l > 0


def test_shade_saves_water_month_by_month(sample_plan):
    shares = tuple(0.4 + 0.05 * n for n in range(12))
    open_bed, shaded = only(sample_plan, "Gate bed"), only(sample_plan, "Gate bed", light=shares)
    for lit, dim in zip(water(open_bed)[0].weeks, water(shaded)[0].weeks, strict=True):
        months = {(lit.start + timedelta(days=n)).month for n in range(7)}
        if len(months) == 1 and lit.need_l > 0:
            assert dim.need_l == pytest.approx(shares[months.pop() - 1] * lit.need_l)


def test_a_reservoir_is_filled_when_it_no_longer_holds_the_day(sample_plan):
    """The Long bed's own need without rain: between two fillings never more than it holds."""
    plan = only(sample_plan, "Long bed", {"rain_mm": 0.0})
    litres = recount(plan)
    (found,) = water(plan)
    fills = [day for week in found.weeks for day in week.fills]
    assert fills == sorted(set(fills)) and len(fills) > 5
    assert fills[0] == min(day for day, need in litres.items() if need > 0)
    for first, following in zip(fills, fills[1:], strict=False):
        days = [first + timedelta(days=n) for n in range((following - first).days)]
        used = math.fsum(litres.get(day, 0.0) for day in days)
        assert used <= 60.0 + 1e-6
        assert used + litres[following] > 60.0  # and it is not filled too early
    thirsty = max(found.weeks, key=lambda week: week.need_l)
    assert found.lasts_days(thirsty) == pytest.approx(60.0 / (thirsty.need_l / 7))


def test_nobody_fills_a_reservoir_while_away_but_on_the_eve(sample_plan):
    plan = only(sample_plan, "Long bed", {"rain_mm": 0.0})
    usual = [day for week in water(plan)[0].weeks for day in week.fills]
    gone = next(day for day in usual if day.month == 1)  # would be filled that day
    first, last = gone - timedelta(days=2), gone + timedelta(days=9)
    site = replace(plan.site, away=((first, last),))
    fills = [day for week in water(replace(plan, site=site))[0].weeks for day in week.fills]
    assert first - timedelta(days=1) in fills  # topped up before leaving
    assert not any(first <= day <= last for day in fills)
    assert [day for day in fills if day < first - timedelta(days=1)] == [
        day for day in usual if day < first - timedelta(days=1)
    ]
    # Somebody who waters fills it as ever.
    site = replace(site, watered=((first, last),))
    assert [d for w in water(replace(plan, site=site))[0].weeks for d in w.fills] == usual
    # Away while nothing grows asks for no filling.
    idle = (plan.site.start, min(usual) - timedelta(days=2))
    site = replace(plan.site, away=(idle,))
    assert [d for w in water(replace(plan, site=site))[0].weeks for d in w.fills] == usual


def test_a_reservoir_too_small_for_a_day_is_filled_daily_and_rain_saves_fillings(sample_plan):
    tiny = water(only(sample_plan, "Long bed", {"rain_mm": 0.0}, reservoir_l=0.5))[0]
    busy = max(tiny.weeks, key=lambda week: week.need_l)
    assert len(busy.fills) == 7
    dry, wet = (
        sum(len(w.fills) for w in water(only(sample_plan, "Long bed", {"rain_mm": mm}))[0].weeks)
        for mm in (0.0, 1.5)
    )
    assert 0 < wet < dry
    none = water(only(sample_plan, "Long bed", reservoir_l=None))[0]
    assert not any(week.fills for week in none.weeks)
    assert none.lasts_days(none.most) is None


def test_a_channel_is_topped_up_by_a_few_tenths_of_a_litre_a_lettuce(sample_plan):
    """Grown lettuce in nutrient film takes 0.1 to 0.3 l a plant and day (common practice)."""
    plan = only(sample_plan, "Rail", {"eto_mm": 4.0, "rain_mm": 9.0}, cover="none")
    lettuce = replace(plan.crop("lettuce-loose-leaf"), spread_cm=25.0)
    grown = next(p for p in plan.plantings if p.crop == lettuce.key)
    plan = replace(plan, crops=(lettuce,), plantings=(grown,))
    (rail,) = water(plan)
    assert rail.rain_l == 0  # closed
    assert 0.1 < rail.most.need_l / 7 / grown.plants < 0.3
    young = next(week for week in rail.weeks if week.need_l > 0 and week.days == 7)
    assert young.need_l < 0.3 * rail.most.need_l


def test_a_potted_plant_outgrows_its_pot_but_rain_does_not(sample_plan):
    """A tomato in the open on a summer's day: about a litre (common practice)."""
    plan = only(sample_plan, "Step pots", {"eto_mm": 5.0, "rain_mm": 3.0})
    tomato = replace(plan.crop("tomato-cherry"), spread_cm=50.0)
    (batch,) = (p for p in plan.plantings if p.crop == tomato.key)
    (pots,) = water(replace(plan, crops=(tomato,), plantings=(batch,)))
    assert 0.7 < pots.most.need_l / 7 / batch.plants < 2.0
    first = next(week for week in pots.weeks if week.days == 7 and week.need_l > 0)
    top = math.pi / 4 * 0.2803**2  # of a 12 l pot, 28 cm wide (worked by hand in tests/bed)
    assert pots.most.rain_l < 7 * 3.0 * top * len(batch.slots)
    assert first.need_l <= 7 * 5.0 * tomato.kc_initial * top * len(batch.slots) + 1e-9


def test_polar_night_asks_for_nothing(sample_plan):
    for one in water(replace(sample_plan, sky=tuple(
        replace(day, eto_mm=0.0) for day in sample_plan.sky
    ))):  # fmt: skip
        assert one.need_l == one.rain_l == one.give_l == 0
        assert not any(week.fills for week in one.weeks)
        assert one.lasts_days(one.most) is None


def test_plans_of_before_know_no_water(sample_plan):
    sky = tuple(replace(day, eto_mm=None) for day in sample_plan.sky)
    assert water(replace(sample_plan, sky=sky)) == ()
    assert water(replace(sample_plan, sky=())) == ()
    assert total(()) == ()


def test_what_stood_before_the_season_and_stands_after_it_counts_within_it(sample_plan):
    plan = only(sample_plan, "Gate bed", {"eto_mm": 2.0, "rain_mm": 0.0})
    first = plan.plantings[0]
    shift = timedelta(days=(first.sow - plan.site.start).days + 20)
    early = replace(first, **{
        name: getattr(first, name) and getattr(first, name) - shift
        for name in ("sow", "emergence", "planting_out", "harvest_start", "harvest_end", "cleared")
    })  # fmt: skip
    late = replace(first, id="late", cleared=plan.site.end + timedelta(days=400))
    for batch in (early, late):
        one = water(replace(plan, plantings=(batch,)))[0]
        assert one.need_l == pytest.approx(
            math.fsum(recount(replace(plan, plantings=(batch,))).values())
        )
    gone = replace(early, cleared=plan.site.start)
    assert water(replace(plan, plantings=(gone,)))[0].need_l == 0


def test_a_week_says_what_is_left_to_give():
    assert WaterWeek(None, 7, 10.0, 4.0).give_l == 6.0


def test_a_week_in_words_has_the_weeks_litres(sample_plan):
    for number, week in enumerate(total(water(sample_plan))):
        on = max(week.start, sample_plan.site.start)
        said = week_text(sample_plan, on)
        assert said == week_text(sample_plan, week.start + timedelta(days=6))
        if week.give_l > 0.5:
            assert said.startswith(f"About {water_amount(week.give_l, 'metric')}")
            assert "Feel the soil" in said
        asked = [one for one in water(sample_plan) if one.weeks[number].give_l > 0.5]
        if len(asked) > 1:
            for one in asked:
                litres = water_amount(one.weeks[number].give_l, "metric")
                assert f"{one.place.name} {litres}" in said
        assert ("Fill the reservoir of Long bed." in said) == bool(week.fills)
        assert ("If no rain comes" in said) == (week.give_l > 0.5 and week.rain_l > 0.5)


def test_an_average_week_is_that_of_the_days_asked_for(sample_plan):
    weeks = total(water(sample_plan))
    for first in (10, 20):
        span = weeks[first : first + 5]
        after = span[-1].start + timedelta(days=7)
        mean = sum(week.give_l for week in span) / 5
        assert a_week_l(sample_plan, span[0].start, after) == pytest.approx(mean)
    start, end = sample_plan.site.start, sample_plan.site.end + timedelta(days=1)
    whole = sum(week.give_l for week in weeks) / len(sample_plan.sky) * 7
    assert a_week_l(sample_plan, start, end) == pytest.approx(whole)
    assert a_week_l(sample_plan, start - timedelta(days=99), end + timedelta(days=99)) == (
        pytest.approx(whole)
    )
    assert a_week_l(sample_plan, end, end + timedelta(days=7)) == 0.0
    within = a_week_l(
        sample_plan, weeks[9].start + timedelta(days=2), weeks[9].start + timedelta(5)
    )
    assert within == pytest.approx(weeks[9].give_l)


def test_nothing_is_said_where_nothing_drinks(sample_plan):
    start, end = sample_plan.site.start, sample_plan.site.end
    assert week_text(sample_plan, start - timedelta(days=20)) == ""
    assert week_text(sample_plan, end + timedelta(days=20)) == ""
    dark = replace(sample_plan, sky=tuple(replace(day, eto_mm=0.0) for day in sample_plan.sky))
    assert week_text(dark, start) == ""
    before = replace(sample_plan, sky=tuple(replace(day, eto_mm=None) for day in sample_plan.sky))
    assert week_text(before, start) == ""


def test_rain_that_is_enough_is_said_so(sample_plan):
    plan = only(sample_plan, "Gate bed", {"eto_mm": 1.0, "rain_mm": 6.0})
    assert week_text(plan, plan.site.start + timedelta(days=90)).startswith("Usual rain is enough")


def test_gallons_say_whose_they_are(sample_plan):
    site = replace(sample_plan.site, units="imperial")
    assert "US gal" in week_text(replace(sample_plan, site=site), sample_plan.site.start)


def test_every_examples_water_is_possible(example_folder):
    """Litres on a square metre and day within what any climate asks: under 12 mm (FAO-56 Table 2
    has at most 9 mm of ETo; Kc at most 1.3)."""
    from sowplan.season.archive import read_plan

    plan, problems = read_plan(example_folder / "plan.json")
    assert not problems
    places = water(plan)
    assert len(places) == len(plan.places) and sum(one.need_l for one in places) > 0
    for one in places:
        if one.place.kind == "bed":
            area = one.place.length_m * one.place.width_m
            assert all(week.need_l <= 12 * week.days * area for week in one.weeks)
    high = max(day.eto_mm for day in plan.sky)
    assert 2 < high < 9 and min(day.eto_mm for day in plan.sky) >= 0
