"""What becomes of a crop by sowing day, held against the sowings the season may choose from."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date

import numpy as np
import pytest

from gardens import northern
from sowplan.growth.reasons import day_words
from sowplan.records.crop_table import read_crops
from sowplan.records.garden import Bed, Channel, Climate, Season, Site, Tray, Want, Where
from sowplan.season.choices.candidates import book_of
from sowplan.season.plan import label_of_why
from sowplan.season.planner import make_plan
from sowplan.season.reasons.fates import fates_of

CROPS, _ = read_crops()
AT = Where("garden.toml", "[[want]] 1", 1)
FIRST, LAST = date(2027, 3, 6), date(2027, 12, 31)
AWAY = ((date(2027, 6, 12), date(2027, 7, 3)),)

# A cool temperate climate at 41° S; invented.
COOL_SOUTH = Climate(
    tmin=(12.0, 12.0, 10.0, 7.0, 5.0, 3.0, 2.0, 4.0, 5.0, 7.0, 9.0, 11.0),
    tmax=(24.0, 25.0, 23.0, 19.0, 16.0, 13.0, 13.0, 14.0, 16.0, 18.0, 20.0, 22.0),
)


def garden(*wants, away=AWAY):
    """Return a garden at 51° N, sown on Saturdays."""
    return northern(
        season=Season(FIRST, LAST, (5,), away),
        beds=(Bed("Plot", 3.0, 1.2, 0.3, AT),),
        trays=(Tray("Sill", 60, AT, 18.0),),
        wants=wants,
    )


def want(crop, amount, unit, first=FIRST, last=LAST):
    return Want(crop, amount, unit, 7, first, last, AT)


@pytest.mark.parametrize("safety", [0.5, 0.9])
@pytest.mark.parametrize(
    ("crop", "unit"), [("lettuce-butterhead", "head"), ("bush-bean", "kg"), ("spinach", "kg")]
)
def test_what_comes_is_what_the_season_may_sow(crop, unit, safety):
    """Wanted all season, each sowing day that comes within it can be chosen, and no other."""
    book = book_of(garden(want(crop, 2.0, unit)), CROPS, safety)
    last = book.index(LAST)
    fates = [fate for fate in fates_of(book, 0) if fate.comes and fate.ready <= last]
    assert {fate.sow for fate in fates} == set(book.instance.crops[0].options.sow.tolist())
    gone = range(book.index(AWAY[0][0]), book.index(AWAY[0][1]) + 1)
    assert fates and all(fate.ready not in gone and fate.over not in gone for fate in fates)


def test_with_somebody_always_there_more_days_are_sown_and_nothing_comes_later():
    book = book_of(garden(want("lettuce-butterhead", 2.0, "head")), CROPS)
    real, always = ({f.sow: f for f in fates_of(book, 0, there)} for there in (False, True))
    assert set(real) < set(always)
    assert all(always[day].comes and always[day].ready <= real[day].ready
               for day in real if real[day].comes)  # fmt: skip


def test_days_away_are_named_where_they_alone_stand_in_the_way():
    """Told so, and true: with somebody there all the time these very weeks are served."""
    lettuce = want("lettuce-butterhead", 3, "head", date(2027, 7, 31), date(2027, 9, 3))
    gone, there = (
        make_plan(garden(lettuce, away=away), CROPS, effort=0.2)[0] for away in (AWAY, ())
    )
    away = [w for w in gone.wants if label_of_why(w.why) == "days away"]
    assert away
    served = {w.start for w in there.wants if w.met >= w.wanted - 1e-6}
    assert {w.start for w in away} <= served
    # Nobody away: cold and frost are named, as ever.
    assert not any("days away" in w.why or "nobody" in w.why for w in there.wants)


def test_days_away_are_named_for_those_weeks_alone_that_they_leave_empty():
    """A winter of frost at 41° S, and a fortnight's absence that explains but few of its weeks."""
    pak_choi = want("pak-choi", 2, "head", date(2027, 6, 28), date(2027, 10, 31))
    away = ((date(2027, 7, 12), date(2027, 7, 25)),)
    season = Season(date(2026, 11, 30), date(2027, 11, 29), (2, 5), away)
    whole = replace(
        garden(pak_choi),
        site=Site("South", -41.42, 147.13, "Australia/Hobart"),
        climate=COOL_SOUTH,
        channels=(Channel("Gutter", 20, 0.2, AT),),
        trays=(Tray("Shelf", 60, AT, 18.0, light_hours=14.0, ppfd=180.0),),
    )
    gone, there = (
        make_plan(replace(whole, season=replace(season, away=spans)), CROPS, effort=0.2)[0]
        for spans in (away, ())
    )
    named = {w.start for w in gone.wants if label_of_why(w.why) == "days away"}
    served = {w.start for w in there.wants if w.met > 0}
    empty = {w.start for w in gone.wants if w.met == 0}
    assert named and named == empty & served
    assert len(empty) > 5 * len(named)
    assert {label_of_why(w.why) for w in gone.wants if w.met == 0 and w.start not in named} >= {
        "frost"
    }


@pytest.mark.parametrize(
    ("crop", "first", "last", "words"),
    [("tomato", date(2027, 6, 1), date(2027, 8, 31), "frost would kill it"),
     ("okra", date(2027, 2, 1), date(2027, 3, 31), "would kill it about"),
     ("sweet-potato", date(2026, 11, 30), date(2027, 11, 29), "would kill it about"),
     ("melon", date(2026, 11, 30), date(2027, 11, 29), "would kill it about")],
)  # fmt: skip
def test_the_sowing_told_of_is_one_that_grows_until_frost_ends_it(crop, first, last, words):
    """Recounted from the courses: planted, up, and the first night too cold for it as told."""
    whole = replace(
        garden(want(crop, 1, "kg" if crop != "melon" else "piece", first, last), away=()),
        site=Site("South", -41.42, 147.13, "Australia/Hobart"),
        climate=COOL_SOUTH,
        season=Season(date(2026, 11, 30), date(2027, 11, 29), (2, 5)),
        trays=(Tray("Shelf", 60, AT, 18.0, ppfd=180.0, light_hours=14.0),),
    )
    made, _ = make_plan(whole, CROPS, effort=0.1)
    (why,) = {w.why for w in made.wants}
    mainly = why.partition("; sown before")[0]
    assert words in mainly and "outgrow" not in mainly and "raise the seedlings" not in why
    assert " in one year in 10, before it is ready" in why
    told = re.search(r"sown on (\d+ \w+), .*? about (\d+ \w+) in one year", why)
    farther = replace(whole, season=replace(whole.season, end=date(2028, 11, 29)))
    book = book_of(farther, CROPS)
    unsafe = ~book.sky.frost.safe(CROPS[crop].killing_frost_c, 0.1)
    for way in book.ways:
        for row in range(len(way.courses)):
            out = max(int(way.courses.planting_out[row]), int(way.courses.emergence[row]))
            if day_words(book.day(int(way.courses.sow[row]))) == told[1] and out >= 0:
                killed = out + int(np.nonzero(unsafe[out:])[0][0])
                if day_words(book.day(killed)) == told[2]:
                    return
    pytest.fail(f"no sowing grows until then: {why}")


def test_cold_is_not_put_down_to_days_away():
    tender = want("tomato", 1, "kg", date(2027, 4, 3), date(2027, 4, 30))
    made, _ = make_plan(garden(tender), CROPS, effort=0.1)
    assert made.wants and {label_of_why(w.why) for w in made.wants} <= {"too early", "cold"}
    assert not any("away" in w.why or "nobody" in w.why for w in made.wants)


def test_days_away_take_the_blame_where_the_days_to_harvest_fall_into_them():
    """Peas picked on Saturdays, wanted in the days after one on which nobody is there."""
    peas = want("pea", 1, "kg", date(2027, 7, 14), date(2027, 7, 15))
    season = replace(garden(peas).season, sow_on=tuple(range(7)), harvest_on=(5,))
    short = ((date(2027, 7, 10), date(2027, 7, 13)),)
    gone, there = (
        make_plan(replace(garden(peas), season=replace(season, away=away)), CROPS, effort=0.1)[0]
        for away in (short, ())
    )
    (period,) = gone.wants
    assert period.met == 0 and there.wants[0].met == 1
    assert label_of_why(period.why) == "days away"
    assert "your days to harvest while it is fit are days away" in period.why
