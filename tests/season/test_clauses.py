"""Reasons as a gardener reads them: each growth reason stands in a sentence, and names things by
their names; held against how one would say it."""

from __future__ import annotations

import re
from datetime import date

import pytest

from gardens import garden_of
from sowplan.growth.reasons import Why, reason
from sowplan.records.crop_table import read_crops
from sowplan.records.garden import Bed, FixedSowing, Season, Tray, Want, Where
from sowplan.season.choices.candidates import book_of
from sowplan.season.plan import label_of_why
from sowplan.season.planner import make_plan
from sowplan.season.reasons.clauses import clause, planted, too_few
from sowplan.season.reasons.fates import fates_of

CROPS, _ = read_crops()
AT = Where("garden.toml", "[[bed]] 1", 1)
START = date(2026, 9, 1)


@pytest.mark.parametrize(
    "why", [why for why in Why if why != Why.NOTHING], ids=lambda why: why.name
)
@pytest.mark.parametrize("crop", ["tomato", "garlic", "lettuce-butterhead", "basil"])
def test_each_growth_reason_is_a_clause(why, crop):
    """It has a subject, and no colon of its own behind that of its label."""
    told = clause(reason(why, CROPS[crop], START, 40, 80, 200))
    subjects = "it |nights are|there is|the |frost |cold |days |after |the winter"
    assert re.match(subjects, told), told
    assert ":" not in told and "; sow from" not in told


def test_words_of_sowings_become_words_of_planting_but_for_keys_of_the_file():
    told = 'you sow and plant out on Mondays only (sow_on); 3 sown (sow = "in trays") are a sowing'
    assert planted(told, "clove") == (
        'you plant on Mondays only (sow_on); 3 planted (sow = "in trays") are a planting'
    )
    assert planted("it is too cold for the seed until 1 May", "clove") == (
        "it is too cold for the cloves until 1 May"
    )
    assert planted("frost may kill the seedlings", "set") == "frost may kill the shoots"


@pytest.mark.parametrize(
    ("late", "told"),
    [
        ("sown on 3 May, frost would kill it", "; if more were sown on 3 May, frost would kill it"),
        ("nothing sown is ready before 9 May", ", and nothing sown is ready before 9 May"),
        ("the heat would make it bolt", "; as for more, the heat would make it bolt"),
    ],
)
def test_too_few_is_told_without_a_second_colon(late, told):
    assert too_few(late) == told


def garden(*wants, cover="none", sowings=(), sow_on=(5,), **season):
    return garden_of(
        season=Season(sow_on=sow_on, **season), beds=(Bed("Plot", 3.0, 1.0, 0.4, AT, cover=cover),),
        trays=(Tray("Shelf", 40, AT, 18.0),), wants=wants, sowings=sowings,
    )  # fmt: skip


def planned(*wants, **how):
    made, problems = make_plan(garden(*wants, **how), CROPS, effort=0.1)
    assert problems == []
    return made


def want(crop, amount, first, last):
    return Want(crop, amount, CROPS[crop].harvest_unit, 7, first, last, AT)


def test_garlic_is_planted_and_no_reason_has_two_labels():
    """Wanted from a spring planting in the south, too late for the cold it needs."""
    garlic = want("garlic", 4, date(2027, 2, 6), date(2027, 3, 19))
    made = planned(garlic, start=date(2026, 11, 1), end=date(2027, 6, 30))
    whys = {w.why for w in made.wants if w.met < w.wanted}
    assert whys and all(why.count(":") == 1 for why in whys)
    assert not any(re.search(r"\bsow", words) for words in [*whys, *(g.what for g in made.gains)])


def test_a_sowing_day_that_is_the_gardeners_own_is_told_with_its_planting_out():
    """Sown on a Saturday as it is; it is the Saturdays for planting out that come too late."""
    days = {"start": date(2026, 10, 10), "end": date(2027, 6, 30), "cover": "tunnel"}
    any_time = want("courgette", 1, date(2026, 12, 1), date(2027, 1, 31))
    any_day, mine = (
        book_of(garden(any_time, sow_on=sow_on, **days), CROPS) for sow_on in (range(7), (5,))
    )
    ready = fates_of(any_day, 0)[0].ready  # sown on the first day, a Saturday
    assert ready < fates_of(mine, 0)[0].ready
    first = any_day.day(ready)
    (period,) = planned(want("courgette", 1, first, first), **days).wants
    assert label_of_why(period.why) == "sowing days"
    assert re.search(r"sown on Sat 10 October and planted out on (?!Sat)", period.why)


def test_in_the_first_weeks_of_a_season_it_is_too_early_whatever_else_forbids_it():
    """Tomatoes three weeks into a season: no reason but that they take longer."""
    tomato = want("tomato", 1, date(2026, 9, 5), date(2026, 9, 18))
    made = planned(tomato, start=date(2026, 9, 1), end=date(2027, 6, 30))
    assert {label_of_why(w.why) for w in made.wants} == {"too early"}


def test_a_day_is_told_with_its_year_only_where_another_would_be_nearer():
    """A season over the new year: in what is wanted in April, November is the one before."""
    tomato = want("tomato", 1, date(2027, 4, 24), date(2027, 5, 28))
    own = FixedSowing("tomato", date(2026, 10, 3), 1, AT)
    made = planned(tomato, start=date(2026, 9, 1), end=date(2027, 6, 30), sowings=(own,))
    assert any("November" in w.why for w in made.wants)
    assert not any(re.search(r"\d{4}", w.why) for w in made.wants)
