"""What stands when a season begins, and until when: harvests of before are had, of after not."""

from dataclasses import replace
from datetime import date, timedelta

import pytest

from gardens import YEAR, garden_of
from sowplan.export.pictures.words import harvest_text
from sowplan.problem import Exit
from sowplan.records.crop_table import read_crops
from sowplan.records.garden import Bed, FixedSowing, Season, Want, Where
from sowplan.records.garden_file.read import read_garden_text
from sowplan.season.choices.candidates import book_of
from sowplan.season.planner import make_plan
from sowplan.season.revise.again import revise
from sowplan.season.settled import cannot_be
from sowplan.supply.tasks import tasks

CROPS, _ = read_crops()
AT = Where("garden.toml", "[[sowing]] 1 (chard)", 1)
START, END = date(2026, 9, 1), date(2027, 2, 28)


def garden(sowing, **season):
    """Return a bed at 41° south in which something was sown in autumn and is wanted in spring."""
    return garden_of(
        season=Season(START, END, (5,), **season),
        beds=(Bed("Bed", 1.2, 1.0, 0.3, AT),),
        wants=(Want("chard", 1, "bunch", 7, date(2026, 9, 5), date(2026, 11, 27), AT),),
        sowings=(sowing,),
    )


def sown(**how):
    return FixedSowing("chard", date(2026, 3, 14), 8, AT, "Bed", "direct", **how)


def test_what_was_fit_before_the_season_is_had():
    made, problems = make_plan(garden(sown()), CROPS, effort=0.1)
    assert problems == []
    (standing,) = [p for p in made.plantings if p.fixed]
    assert standing.sow == date(2026, 3, 14) and standing.lots
    assert all(START <= lot.ready <= lot.last for lot in standing.lots)
    assert min(task.day for task in tasks(made)) >= START
    # It was fit in spring already: there is no early and late day any more, and none is told.
    first = standing.harvest_start
    assert first == standing.harvest_start_early == standing.harvest_start_late
    assert ", first " not in harvest_text(standing)


def test_it_is_cleared_after_its_last_day_and_gives_nothing_later():
    whole, _ = make_plan(garden(sown()), CROPS, effort=0.1)
    (long,) = [p for p in whole.plantings if p.fixed]
    until = long.lots[0].last - timedelta(days=1)
    assert START < until < long.cleared
    made, problems = make_plan(garden(sown(until=until)), CROPS, effort=0.1)
    assert problems == []
    (short,) = [p for p in made.plantings if p.fixed]
    assert short.cleared == until + timedelta(days=1)
    assert all(lot.last <= until for lot in short.lots)
    # A last day that comes after all it gives changes nothing.
    late = garden(sown(until=long.cleared + timedelta(days=60)))
    assert book_of(late, CROPS).instance.crops[0].options.clear.max() >= 0
    again, _ = make_plan(late, CROPS, effort=0.1)
    assert [p for p in again.plantings if p.fixed] == [long]


def test_a_last_day_put_in_later_is_heeded_when_planned_again():
    to_come = replace(sown(), day=date(2026, 10, 3))
    old, problems = make_plan(garden(to_come), CROPS, effort=0.1)
    (before,) = [p for p in old.plantings if p.fixed]
    until = before.lots[0].last
    assert problems == [] and until < before.cleared - timedelta(days=1)
    edited = garden(replace(to_come, until=until))
    new, _, problems = revise(old, edited, CROPS, date(2026, 9, 15))
    assert problems == []
    (after,) = [p for p in new.plantings if p.fixed]
    assert (after.id, after.cleared) == (before.id, until + timedelta(days=1))


def test_two_sowings_of_one_day_in_two_places_are_two_when_planned_again():
    """What stands in each is left as it is, and none of it is taken for still to be sown."""
    two = (Bed("Bed", 1.2, 1.0, 0.3, AT), Bed("Other", 1.2, 1.0, 0.3, AT))
    for day in (date(2026, 3, 14), date(2026, 10, 3)):
        sowings = tuple(replace(sown(), day=day, place=bed.name) for bed in two)
        both = replace(garden(sown()), beds=two, sowings=sowings)
        old, problems = make_plan(both, CROPS, effort=0.1)
        assert problems == [] and {p.place for p in old.plantings if p.fixed} == {"Bed", "Other"}
        new, gone, problems = revise(old, both, CROPS, date(2026, 9, 15))
        assert (new, gone, problems) == (old, [], [])


@pytest.mark.parametrize(
    ("sowing", "key", "words"),
    [
        (replace(sown(until=date(2026, 9, 20)), day=date(2026, 8, 25)), "until", "not ready"),
        (FixedSowing("radish", date(2026, 1, 10), 30, AT, "Bed"), "date", "[[past]]"),
    ],
    ids=["cleared too soon", "over long ago"],
)
def test_what_gives_nothing_in_the_season_is_told(sowing, key, words):
    (problem,) = cannot_be(garden(sowing), CROPS)
    assert problem.exit == Exit.IMPOSSIBLE
    assert problem.where.endswith(f", {key}") and words in problem.message


def test_hours_spent_before_the_season_are_not_counted():
    """To sow 16 stations a quarter metre apart takes 4 minutes and 3 to begin, at a minute a metre
    of row; to clear 1.4 m² at 3 minutes each 4 and 3: both more than a tenth of an hour.
    """
    many = replace(sown(until=date(2026, 10, 2)), plants=16)
    own = replace(garden(many, hours_a_week=0.1), beds=(Bed("Bed", 2.4, 1.0, 0.3, AT),))
    (problem,) = cannot_be(own, CROPS)  # the clearing, in the season; not the sowing before it
    assert "September" in problem.message or "October" in problem.message
    within = replace(own, season=replace(own.season, start=date(2026, 3, 1)))
    assert ["March" in p.message for p in cannot_be(within, CROPS)] == [True, False]


HEAD = f"""\
{YEAR}[[bed]]
name = "Bed"
length = "2 m"
width = "1 m"
depth = "30 cm"
[[sowing]]
crop = "garlic"
date = 2026-05-16
number = 9
"""


@pytest.mark.parametrize(
    ("until", "words"),
    [
        ("2026-05-01", "Did you mean 2027-05-01?"),
        ("2026-08-30", "before the season begins"),
        ('"soon"', "a day such as"),
    ],
)
def test_a_last_day_that_cannot_be_is_told(until, words):
    reading = read_garden_text(f"{HEAD}until = {until}\n", "g.toml")
    (problem,) = reading.problems
    assert problem.where == "[[sowing]] 1 (garlic), until" and words in problem.message


def test_a_last_day_is_read():
    reading = read_garden_text(f"{HEAD}until = 2027-01-15\n", "g.toml")
    assert reading.problems == () and reading.garden.sowings[0].until == date(2027, 1, 15)


def test_what_the_gardener_has_sown_stands_when_the_season_begins():
    """Frost may kill radishes that come up in July: these it did not, or they would not be told of.

    Common practice, no source: who writes down what stands has seen it.
    """
    july = FixedSowing("radish", date(2026, 7, 1), 20, AT, "Bed")
    assert cannot_be(garden(july), CROPS) == []
    earlier = replace(garden(july), season=Season(date(2026, 6, 1), END, (5,)))
    (problem,) = cannot_be(earlier, CROPS)
    assert "frost may kill the seedlings" in problem.message
