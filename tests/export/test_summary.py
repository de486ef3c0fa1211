"""The season in words: held against sums and dates taken from the plan by hand."""

from __future__ import annotations

import dataclasses
import re
from datetime import date, timedelta

import pytest

from sowplan.export.dates import day_told
from sowplan.export.headline import headline
from sowplan.export.helps import helps_told, most_help
from sowplan.export.hours import _hours, hours_told
from sowplan.export.print.months import month_sky
from sowplan.export.store import store_told
from sowplan.export.summary import summary
from sowplan.export.wanted import goes_short, help_told, lacks_told, longest_lack, want_heading
from sowplan.season.plan import Gain, WantPeriod
from sowplan.supply.tasks import jobs


@pytest.fixture(scope="module")
def text(sample_plan):
    return summary(sample_plan)


def section(text: str, title: str) -> str:
    """Return the body of one section, its lines joined as one reads them."""
    body = re.split(rf"^{re.escape(title)}\n-+\n", text, flags=re.M)[1]
    return re.split(r"\n\n[^\n]+\n-+\n", body)[0]


def flat(text: str) -> str:
    return " ".join(text.split())


def test_lines_fit_a_screen_and_bytes_repeat(sample_plan, text):
    assert max(map(len, text.splitlines())) <= 78
    assert text == summary(sample_plan)
    assert text.endswith("\n") and "\n\n\n" not in text
    assert not any(line != line.rstrip() for line in text.splitlines())


def test_it_begins_with_the_garden_and_the_season(text):
    assert text.splitlines()[0] == "Quince Yard"
    assert text.splitlines()[2] == "1 September 2026 to 31 May 2027"


def test_every_month_of_the_season_is_there_once(text):
    months = section(text, "Month by month")
    heads = [line for line in months.splitlines() if line and not line.startswith(" ")]
    assert heads == [
        "September 2026", "October 2026", "November 2026", "December 2026", "January 2027",
        "February 2027", "March 2027", "April 2027", "May 2027",
    ]  # fmt: skip


def test_months_tell_sowings_and_amounts(sample_plan, text):
    months = flat(section(text, "Month by month"))
    november = months[months.index("November 2026") : months.index("December 2026")]
    # By the sample's table: beans on 5 and 20 November; 9 butterheads fit from 5 November.
    assert "Sow Dwarf French bean 5th and 20th." in november
    assert "Butterhead lettuce 9 heads" in november
    told = sum(int(n) for n in re.findall(r"Butterhead lettuce (\d+) heads", months))
    grown = sum(lot.amount for p in sample_plan.plantings for lot in p.lots if "head" in p.crop)
    assert told == grown == 35


def test_every_want_and_every_lack_is_there(sample_plan, text):
    wants = flat(section(text, "What is wanted, and what of it comes"))
    for number in {w.want for w in sample_plan.wants}:
        name = sample_plan.crop(next(w.crop for w in sample_plan.wants if w.want == number)).name
        assert f"- {name}: " in wants
    for w in sample_plan.wants:
        if w.why:
            assert w.why.casefold() in wants.casefold()
    # 25 weeks of 2 heads; from 23 November to 7 March (15 weeks) nothing: 10 weeks of 25 come.
    assert "Butterhead lettuce: 2 heads a week, 2 November to 25 April. Comes: 40 %." in wants
    lack = "30 heads missing 23 November to 7 March, all of it. No bed free for more heads."
    assert lack in wants
    assert "Spinach: 3 bunches a fortnight, 12 October to 8 November. Comes: 100 %." in wants


def test_every_place_and_planting_is_there(sample_plan, text):
    places = section(text, "Place by place")
    for place in sample_plan.places:
        assert f"{place.name}: " in places
    # A planting a line that begins with its days.
    assert len(re.findall(r"^  \d.*: \d+ ", places, flags=re.M)) == len(sample_plan.plantings)
    assert "Long bed: a bed of 2.4 m by 90 cm, reservoir 60 l." in places
    assert "Rail: a channel of 24 holes, 15 cm apart, under a tunnel." in places


def test_a_planting_stands_until_the_day_of_its_clearing(sample_plan, text):
    places = [line for line in section(text, "Place by place").splitlines() if line[2:3].isdigit()]
    cleared = [one for one in jobs(sample_plan) if one.kind == "clear"]
    assert cleared
    for one in cleared:
        name = sample_plan.crop(one.crop).name
        assert any(
            f"{day_told(sample_plan, one.day)}: " in line and name in line for line in places
        )


def test_hours_of_clearing_are_those_of_the_week_of_its_job(sample_plan):
    """Cleared a month later than the ground is free, its hours are of that month."""
    plan = dataclasses.replace(sample_plan, plantings=sample_plan.plantings[:1])
    (p,), (one,) = plan.plantings, [one for one in jobs(plan) if one.kind == "clear"]
    told = hours_told(plan)
    assert f"{one.day:%B}" in told[-1]
    away = ((p.harvest_end, one.until + timedelta(days=60)),)
    later = dataclasses.replace(plan, site=dataclasses.replace(plan.site, away=away))
    (then,) = [one for one in jobs(later) if one.kind == "clear"]
    assert then.day > away[0][1] and f"{then.day:%B}" in hours_told(later)[-1]
    assert hours_told(later)[0] == told[0]


def test_seed_trays_sky_and_cautions(text):
    seed = flat(section(text, "Seed and trays"))
    assert "Butterhead lettuce: 80 seeds for 4 sowings, 40 cells in all" in seed
    assert "Sill: at its fullest 19 of 24 cells" in seed  # 9 + 7 + 3 on 25 October
    sky = flat(section(text, "The sky here"))
    assert "Last frost by 29 October and first frost from 22 April," in sky
    assert "longest on 2" in sky and "December" in sky  # the southern solstice
    mind = flat(section(text, "Mind"))
    for words in ("wash hands", "licensed electrician", "forecast", "poisonous raw"):
        assert words in mind


def test_headline_is_short_and_says_the_worst(sample_plan):
    lines = headline(sample_plan)
    assert 3 <= len(lines) <= 6
    share = sum(w.met for w in sample_plan.wants) / sum(w.wanted for w in sample_plan.wants)
    assert f"{round(share * 100)} % of what is wanted comes" in lines[0]
    # 15 of 25 weeks are without, from 23 November on (sample.py).
    assert "Butterhead lettuce (40 % comes; short 23 November to 7 March" in lines[1]
    assert any("Tue 1 September" in line for line in lines)


def test_the_first_lines_hold_what_matters(sample_plan, text):
    """How much comes, what is missing when, what to do first, what to buy."""
    first = flat("\n".join(text.splitlines()[:17]))
    for words in ("% of what is wanted comes", "short 23 November to 7 March", "First job, Tue 1 S",
                  "Seed to have by 1 September: "):  # fmt: skip
        assert words in first
    begins = min(p.sow for p in sample_plan.plantings if p.sow >= sample_plan.site.start)
    sown = {p.crop for p in sample_plan.plantings if p.sow == begins}
    seed = first.split("Seed to have by 1 September: ")[1]
    at_once = seed.partition(";")[0].partition(".")[0]
    for crop in {p.crop for p in sample_plan.plantings if p.sow >= sample_plan.site.start}:
        assert (sample_plan.crop(crop).name in at_once) == (crop in sown), crop
    assert "33 sowings of 12 crops in 3 beds, 1 channel and 4 pots." in first


def test_what_is_eaten_out_of_store_is_told_with_its_days(sample_plan):
    """Beetroot lifted by 24 April and wanted until 27 August, by hand."""
    p = sample_plan.plantings[0]
    p = dataclasses.replace(p, harvest_end=date(2027, 4, 24))
    name = sample_plan.crop(p.crop).name

    def period(n, start):
        return WantPeriod(n, p.crop, start, start + timedelta(6), "head", 2.0, 2.0, "",
                          ((p.id, 2.0),))  # fmt: skip

    fresh, kept = period(0, date(2027, 4, 24)), period(0, date(2027, 8, 21))
    plan = dataclasses.replace(sample_plan, plantings=(p,), wants=(fresh, kept))
    told = store_told(plan)
    assert told == (
        f"Brought in ripe, eaten out of store: {name} (in by 24 April, eaten until 27 August)."
    )
    assert told in headline(plan)
    assert "Comes: 100 %; in by 24 April and kept." in want_heading(plan, [fresh, kept])
    after = dataclasses.replace(fresh, start=date(2027, 8, 28), end=date(2027, 9, 3), served_by=())
    said = want_heading(dataclasses.replace(plan, wants=(kept, after)), [kept, after])
    assert said.endswith("; out of store 21 to 27 August.")
    assert store_told(dataclasses.replace(plan, wants=(fresh,))) == ""


def test_how_a_lack_is_spread_is_told(sample_plan):
    """By hand: 4 wanted a week; half, a quarter and all of it missing in three weeks."""
    key, first = sample_plan.crops[0].key, date(2026, 10, 5)
    wants = [
        WantPeriod(0, key, first + timedelta(7 * n), first + timedelta(7 * n + 6), "bunch", 4.0,
                   met, "no room: a")
        for n, met in enumerate((2.0, 3.0, 0.0))
    ]  # fmt: skip
    (told,) = lacks_told(sample_plan, wants)
    assert told == "7 bunches missing 5 to 25 October, 25 to 100 % of each week. No room: a."
    (told,) = lacks_told(sample_plan, wants[2:])
    assert told.startswith("4 bunches missing 19 to 25 October, all of it.")
    (told,) = lacks_told(sample_plan, wants[:1])
    assert told.startswith("2 bunches missing 5 to 11 October, 50 % of it.")


def test_growth_stops_where_it_is_cold_and_not_where_days_are_short_but_mild(sample_plan):
    """Below a mean of 5 °C (ETCCDI, growing season length) and below 10 h of day, by hand."""
    sky = tuple(
        dataclasses.replace(
            day,
            daylength_h=9.5 if day.day.month in (1, 2) else 12.0,
            tmin_c=0.0 if day.day.month == 2 else 6.0,
            tmax_c=8.0 if day.day.month == 2 else 14.0,
        )
        for day in sample_plan.sky
    )
    text = flat(summary(dataclasses.replace(sample_plan, sky=sky)))
    assert "Growth all but stops in the open from 1 to 28 February" in text
    assert "Growth is slow from 1 to 31 January: days are shorter than 10 h." in text
    mild = tuple(dataclasses.replace(day, daylength_h=12.0, tmin_c=6.0) for day in sky)
    assert "Growth" not in summary(dataclasses.replace(sample_plan, sky=mild))


def test_a_lack_is_as_long_as_its_days_whatever_the_reasons(sample_plan):
    """By hand: three weeks on end, one for want of room and two for cold, beat two weeks."""

    def weeks(want, first, *whys):
        return [
            WantPeriod(want, key, first + timedelta(7 * n), first + timedelta(7 * n + 6),
                       "bunch", 4.0, 0.0, why)
            for n, why in enumerate(whys)
        ]  # fmt: skip

    key = sample_plan.crops[0].key
    wants = (
        *weeks(0, date(2026, 10, 5), "no room: a", "cold: b", "cold: b"),
        *weeks(1, date(2026, 12, 7), "no room: c", "no room: c"),
    )
    told = longest_lack(dataclasses.replace(sample_plan, wants=wants))
    name = sample_plan.crops[0].name
    assert told == f"Longest lack: {name}, 5 to 25 October (cold)."


def with_gains(plan, *rows):
    """Return a plan with gains, each with its weeks of all that is wanted where they are told."""
    wanted = plan.quality.wanted
    gains = tuple(Gain(*row[:4], *(weeks / wanted for weeks in row[4:])) for row in rows)
    return dataclasses.replace(plan, gains=gains)


GAINS = (
    (0, "1 m² more of a bed like Long bed", 6.0, "head", 7.0),
    (0, "12 more tray cells", 0.0, "head"),
    (4, "1 m² more of a bed like Long bed", 2.0, "kg", 7.0),
    (6, "sowing on Tuesdays too", 0.2, "bunch", 0.1),
    (7, "12 more tray cells", 6.0, "bunch", 3.0),
    (0, "5 more holes in a channel like Rail", 0.0, "head"),
)


def test_what_would_bring_more_is_a_table_most_useful_first(sample_plan):
    """By hand: 6 bunches of 2 a week are 3 weeks, as are 6 heads of 2; 2 kg of 0.5 are 4.

    Of what serves several the share of all that is wanted is told, by hand too.
    """
    plan = with_gains(sample_plan, *GAINS)
    lines = helps_told(plan, 78)
    table = flat("\n".join(lines))
    assert max(map(len, lines)) <= 78
    long, cells = (table.index(what) for what in ("1 m² more", "12 more tray cells"))
    assert long < cells
    share = f"{700 / plan.quality.wanted:.0f} % of all that is wanted, such as "
    both = "2 kg of Dwarf French bean and 6 heads of Butterhead lettuce"
    assert share + both in table and "planned anew others may" in table
    assert "12 more tray cells 6 bunches of Basil" in table
    assert "Tuesdays" not in table  # a fifth of a bunch is not worth reading of
    assert table.endswith("Would bring nothing by itself: 5 more holes in a channel like Rail.")
    assert most_help(plan) == (
        f"What would help most: 1 m² more of a bed like Long bed (brings {share}2 kg of Dwarf "
        "French bean)."
    )
    assert "What one thing more would bring" in summary(plan)


def test_what_helps_a_want_that_counts_more_is_named_first(sample_plan):
    """By hand: 6 bunches of 2 a week are 3 weeks, counted twice 6; what was told before is so.

    An older plan tells what each thing brings to one want: 2 kg of 0.5 are 4 weeks.
    """
    wants = tuple(
        dataclasses.replace(w, priority=2.0) if w.want == 7 else w for w in sample_plan.wants
    )
    older = with_gains(sample_plan, *(row[:4] for row in GAINS))
    plan = dataclasses.replace(older, wants=wants)
    assert (
        most_help(plan) == "What would help most: 12 more tray cells (brings 6 bunches of Basil)."
    )
    table = flat("\n".join(helps_told(plan, 78)))
    assert table.index("12 more tray cells") < table.index("1 m² more")
    assert "Tuesdays" not in table  # is not worth reading of, whatever the want counts


def test_what_goes_short_is_named_first_where_it_counts_more(sample_plan):
    """By hand: half of one missing and a quarter of another that counts three times."""
    one, two = (sample_plan.crops[n] for n in (0, 1))
    day = date(2026, 10, 5)
    wants = (
        WantPeriod(0, one.key, day, day + timedelta(6), "bunch", 4.0, 2.0, "frost: a"),
        WantPeriod(1, two.key, day, day + timedelta(6), "bunch", 4.0, 3.0, "heat: b"),
    )
    plain = goes_short(dataclasses.replace(sample_plan, wants=wants))
    assert plain.index(one.name) < plain.index(two.name)
    counted = (wants[0], dataclasses.replace(wants[1], priority=3.0))
    told = goes_short(dataclasses.replace(sample_plan, wants=counted))
    assert told.index(two.name) < told.index(one.name)


def test_pieces_need_no_word_of_their_own(sample_plan):
    plan = with_gains(sample_plan, (0, "12 more tray cells", 6.0, "piece"))
    assert (
        most_help(plan) == "What would help most: 12 more tray cells (brings 6 Butterhead lettuce)."
    )
    assert help_told(plan, 0) == "Would help: 12 more tray cells (6 more)."


def test_a_plan_that_lacks_nothing_has_no_such_table(sample_plan):
    assert helps_told(with_gains(sample_plan), 78) == [] and most_help(sample_plan) == ""
    assert "What one thing more" not in summary(sample_plan)


def test_how_often_is_told_whatever_days_are_left_over_or_spent_away(sample_plan):
    """Weeks, the first begun two days late and the last of ten days: still "a week"."""
    key = sample_plan.crops[0].key
    spans = ((date(2026, 10, 7), 5), (date(2026, 10, 12), 7), (date(2026, 10, 19), 7),
             (date(2026, 10, 26), 10))  # fmt: skip
    wants = tuple(
        WantPeriod(0, key, first, first + timedelta(days - 1), "head", 2.0, 2.0)
        for first, days in spans
    )
    plan = dataclasses.replace(sample_plan, wants=wants)
    assert "2 heads a week, 7 October to 4 November" in want_heading(plan, list(wants))


def test_where_next_to_nothing_is_missing_no_lack_is_told(sample_plan):
    plan = with_quality(sample_plan, missing_share=1e-4)
    assert longest_lack(plan) == "" and longest_lack(sample_plan) != ""


def test_a_month_sheet_tells_the_days_away(sample_plan):
    gone = ((date(2026, 11, 25), date(2026, 12, 3)),)
    plan = dataclasses.replace(sample_plan, site=dataclasses.replace(sample_plan.site, away=gone))
    told = [month_sky(plan, date(2026, m, 1), date(2026, m + 1, 1)) for m in (10, 11)]
    assert "away 25 November to 3 December" in told[1]
    assert not any("away" in words for words in told[0])


def with_quality(plan, **changes):
    return dataclasses.replace(plan, quality=dataclasses.replace(plan.quality, **changes))


def test_it_claims_no_more_than_is_known(sample_plan):
    """What is proven, what is only bounded, and what is all there are three different sentences."""
    open_gap = with_quality(sample_plan, missing_share=0.30, missing_share_bound=0.20, proven=False)
    told = headline(open_gap)[0]
    assert told.startswith("70 % of what is wanted comes. The plan is at most 10.00 percentage ")
    proven = with_quality(sample_plan, missing_share=0.30, missing_share_bound=0.30, proven=True)
    assert "comes. No plan can bring more of what is wanted" in headline(proven)[0]
    little = with_quality(sample_plan, missing=0.01, missing_share=1e-4, missing_share_bound=0.0)
    assert headline(little)[0].startswith(
        "Over 99 % of what is wanted comes; next to nothing is missing. The plan is "
    )  # a bunch that lacks is told below, so it is not "everything"
    whole = dataclasses.replace(
        with_quality(sample_plan, missing=0.0, missing_share=0.0, missing_share_bound=0.0),
        wants=tuple(dataclasses.replace(w, met=w.wanted) for w in sample_plan.wants),
    )
    told = headline(whole)
    assert told[0] == "Everything that is wanted comes."
    assert not any("plan can" in words or "from the best" in words for words in told)
    none = with_quality(sample_plan, wanted=0.0, missing=0.0, missing_share=0.0)
    assert "Nothing is wanted, so nothing is missing." in headline(none)


def with_site(plan, **changes):
    return dataclasses.replace(plan, site=dataclasses.replace(plan.site, **changes))


def test_places_without_frost_or_without_end_of_it(sample_plan):
    free = with_site(sample_plan, last_frost=None, first_frost=None, frost_note="no frost expected")
    assert "Frost: no frost expected." in headline(free)
    one = with_site(sample_plan, first_frost=None)
    assert any(line.startswith("Last frost by 29 October, but for") for line in headline(one))


def test_a_polar_sky(sample_plan):
    sky = tuple(
        dataclasses.replace(day, daylength_h=0.0 if day.day.month == 12 else 24.0)
        for day in sample_plan.sky
    )
    text = flat(summary(dataclasses.replace(sample_plan, sky=sky)))
    assert "the shortest" not in text and "the longest" not in text  # of many alike
    assert "The sun does not rise from 1 to 31 December: 31 days in all." in text
    assert (
        "The sun does not set from 1 September to 30 November and from 1 January to 31 May: "
        f"{len(sky) - 31} days in all." in text
    )


def test_cold_lasts_through_the_polar_night(sample_plan):
    def day(one):
        dark = one.day.month in (12, 1)
        cold = -10.0 if one.day.month in (11, 12, 1, 2) else 15.0
        hours = 0.0 if dark else 6.0 + one.day.month / 12
        return dataclasses.replace(one, daylength_h=hours, tmin_c=cold, tmax_c=cold)

    sky = tuple(map(day, sample_plan.sky))
    text = flat(summary(dataclasses.replace(sample_plan, sky=sky)))
    assert "Growth all but stops in the open from 1 November to 28 February:" in text
    assert "The sun does not rise from 1 December to 31 January: 62 days in all." in text
    assert "Of this season's days the longest falls on 1 November (6.9 h)." in text
    assert "Growth is slow from 1 September to 31 October and from 1 March to 31 May:" in text


def test_a_season_of_two_years_tells_the_year(sample_plan):
    long = with_site(sample_plan, end=date(2028, 8, 31))
    beans = next(p.id for p in long.plantings if p.sow == date(2026, 11, 5) and p.plants == 30)
    (gone,) = [one.day for one in jobs(long) if one.kind == "clear" and one.planting == beans]
    told = f"5 November 2026 to {gone.day} {gone:%B} 2027: 30 Dwarf French bean"
    assert told in summary(long)


def test_an_empty_plan_is_still_told(sample_plan):
    empty = dataclasses.replace(sample_plan, plantings=(), wants=(), sky=(), notes=())
    text = summary(with_quality(empty, wanted=0.0, missing=0.0, missing_share=0.0))
    assert "Nothing is wanted." in text
    assert text.count("Nothing stands here.") == len(sample_plan.places)
    assert text.count("Nothing to sow, plant out or harvest.") == 9


def test_a_month_of_one_idle_day_is_not_told(sample_plan):
    site = dataclasses.replace(sample_plan.site, start=date(2028, 2, 29), end=date(2028, 5, 1))
    idle = dataclasses.replace(sample_plan, site=site, plantings=(), wants=())
    told = section(summary(idle), "Month by month")
    assert "March 2028" in told and "April 2028" in told
    assert "February" not in told and "May" not in told


def test_imperial(sample_plan):
    text = summary(with_site(sample_plan, units="imperial"))
    said = re.sub(r" \(\d+ l\)", "", text)  # litres stand beside US gallons
    assert not re.search(r"\d (cm|m|kg|g|l)\b", said)
    assert max(map(len, text.splitlines())) <= 78


def test_what_is_wanted_by_weight_is_told_in_weight_and_count(sample_plan):
    # the sample's chard: 6 bunches and 0.9 kg a plant, so a bunch weighs 150 g
    wants = tuple(
        dataclasses.replace(w, unit="kg") if w.crop == "chard" else w for w in sample_plan.wants
    )
    months = flat(section(summary(dataclasses.replace(sample_plan, wants=wants)), "Month by month"))
    told = re.findall(r"Chard ([\d.]+) (k?g) \(([\d½]+) bunch(?:es)?\)", months)
    assert told
    for much, unit, count in told:
        kilograms = float(much) * (1 if unit == "kg" else 0.001)
        assert kilograms == pytest.approx(sum_of(count) * 0.15, abs=0.08)


def sum_of(count: str) -> float:
    """Return ``"2½"`` as 2.5."""
    return float(count.removesuffix("½") or 0) + 0.5 * count.endswith("½")


def test_frosts_stand_in_the_order_of_time_and_short_months_are_left_out(sample_plan):
    site = dataclasses.replace(
        sample_plan.site, first_frost=date(2026, 10, 20), last_frost=date(2027, 5, 3)
    )
    said = flat(summary(dataclasses.replace(sample_plan, site=site)))
    assert "First frost from 20 October and last frost by 3 May," in said
    summer = dataclasses.replace(site, start=date(2026, 6, 1), end=date(2026, 9, 30))
    said = flat(summary(dataclasses.replace(sample_plan, site=summer)))
    assert "First frost from 20 October and last frost by 3 May 2027," in said
    ends = dataclasses.replace(sample_plan.site, end=date(2027, 6, 2))
    idle = dataclasses.replace(sample_plan, site=ends, plantings=(), wants=())
    assert "June 2027" not in section(summary(idle), "Month by month")


def test_at_the_equator_no_day_is_longest(sample_plan):
    # within some minutes of 12.1 h all year (Astronomical Almanac)
    days = enumerate(sample_plan.sky)
    sky = tuple(dataclasses.replace(d, daylength_h=12.1 + 0.01 * (n % 3)) for n, d in days)
    said = flat(summary(dataclasses.replace(sample_plan, sky=sky)))
    assert "Days hardly change in length: 12.1 h all season." in said
    assert "longest" not in said


def test_the_distance_from_the_best_is_told_in_percentage_points(sample_plan):
    gap = with_quality(sample_plan, missing_share=0.0441, missing_share_bound=0.0207, proven=False)
    told = " ".join(summary(gap).split())
    assert "at most 2.34 percentage points from the best" in told
    best = with_quality(sample_plan, missing_share=0.3, missing_share_bound=0.3, proven=True)
    assert "How near the best it is: no plan can bring more" in " ".join(summary(best).split())


@pytest.mark.parametrize(
    ("day", "end", "told"),
    [
        (date(2027, 2, 20), date(2028, 2, 29), "20 February 2027"),  # and again a year later
        (date(2027, 6, 20), date(2028, 2, 29), "20 June"),
        (date(2026, 10, 24), date(2028, 2, 29), "24 October 2026"),  # before it, and once within
        (date(2026, 10, 24), date(2027, 9, 30), "24 October"),
        (date(2028, 2, 29), date(2028, 2, 29), "29 February"),
    ],
)
def test_a_year_is_told_only_where_the_season_sees_a_date_twice(sample_plan, day, end, told):
    plan = with_site(sample_plan, start=date(2027, 2, 6), end=end)
    assert day_told(plan, day) == told


def test_a_figure_and_its_unit_stay_on_one_line(sample_plan):
    lines = summary(sample_plan).splitlines()
    assert not any(re.match(r" +(%|cm|m|kg|g|l|h|m²|°C)([ .,;)]|$)", line) for line in lines)


def test_cloves_and_sets_are_planted_month_by_month(sample_plan):
    crops = tuple(
        dataclasses.replace(c, botanical_name="Allium sativum") if n == 0 else c
        for n, c in enumerate(sample_plan.crops)
    )
    name, key = crops[0].name, crops[0].key
    direct = tuple(
        dataclasses.replace(p, tray=None, planting_out=None) if p.crop == key else p
        for p in sample_plan.plantings
    )
    months = section(
        summary(dataclasses.replace(sample_plan, crops=crops, plantings=direct)), "Month by month"
    )
    assert re.search(rf"  Plant +{name} \d", flat_labels(months))
    assert not re.search(rf"  Sow +([^.]*, )?{name} \d", flat_labels(months))


def flat_labels(text):
    """Return months with each label's items on one line."""
    return re.sub(r"\n {13}", " ", text)


@pytest.mark.parametrize(("hours", "told"), [(1.0, "1 hour"), (1.04, "1 hour"), (2.5, "2.5 hours")])
def test_one_hour_is_no_hours(hours, told):
    assert _hours(hours) == told


def test_a_season_planned_otherwise_than_usual_says_so(sample_plan):
    usual = headline(sample_plan)
    rule = dataclasses.replace(
        sample_plan.quality, method="rule of thumb: each crop every week, the best of 3"
    )
    told = headline(dataclasses.replace(sample_plan, quality=rule, safety=0.9))
    assert set(usual) <= set(told)
    (said,) = set(told) - set(usual)
    assert "each crop every week; without --fixed-interval" in said and "90 % of years" in said
