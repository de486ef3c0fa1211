"""The gardener's own words as reasons: told where they bind, alone or together; without them the
crop comes.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

from gardens import MARITIME, northern
from sowplan.records.crop_table import read_crops
from sowplan.records.garden import (
    Bed,
    Past,
    Rest,
    Season,
    Tray,
    Want,
    Where,
)
from sowplan.records.garden_file.build import as_rested
from sowplan.season.choices.candidates import book_of
from sowplan.season.plan import label_of_why
from sowplan.season.planner import make_plan
from sowplan.season.reasons.fates import fates_of

CROPS, _ = read_crops()
AT = Where("garden.toml", "[[bed]] 1", 1)

GARDEN = northern(
    season=Season(date(2027, 3, 6), date(2027, 12, 31), (5,)),
    beds=(Bed("Plot", 3.0, 1.2, 0.3, AT),),
    trays=(Tray("Sill", 40, AT, 18.0),),
)
TWO_BEDS = (Bed("Strip", 0.5, 0.6, 0.3, AT), *GARDEN.beds)


def want(crop, amount, unit, first, last, **said):
    return Want(crop, amount, unit, 7, first, last, AT, **said)


def summer():
    """Return a season from a Saturday on whose heads are fit before others, on no weekend."""
    for first in (date(2027, 5, day) for day in (1, 8, 15, 22, 29)):
        season = Season(first, date(2027, 9, 30))
        every = replace(season, sow_on=tuple(range(7)))
        any_day = want("lettuce-butterhead", 3, "head", date(2027, 6, 1), date(2027, 9, 1))
        book = book_of(replace(GARDEN, season=every, wants=(any_day,)), CROPS)
        saturday, sunday = (fate.ready for fate in fates_of(book, 0)[:2])
        if saturday < sunday and book.day(saturday).weekday() < 5:
            return season, book.day(saturday)
    raise AssertionError("no such Saturday")


SUMMER, FIRST_HEADS = summer()
EARLY = want("lettuce-butterhead", 3, "head", FIRST_HEADS, FIRST_HEADS)
HEADS = want("lettuce-butterhead", 6, "head", date(2027, 6, 26), date(2027, 9, 24))
SHOOTS = want("pea-shoots", 1, "bunch", date(2027, 7, 9), date(2027, 7, 10))
TOMATO = want("tomato", 1, "kg", date(2027, 10, 2), date(2027, 10, 8))
COURGETTE = want("courgette", 500, "g", date(2027, 10, 22), date(2027, 10, 24))


def planned(garden):
    made, problems = make_plan(garden, as_rested(CROPS, garden.rests), effort=0.2)
    assert problems == []
    return made


def comes(plan):
    return sum(w.met for w in plan.wants)


CASES = {
    "sowing days": (
        replace(GARDEN, wants=(EARLY,), season=replace(SUMMER, sow_on=(0,))),
        replace(GARDEN, wants=(EARLY,), season=replace(SUMMER, sow_on=tuple(range(7)))),
        "you sow and plant out on Mondays only (sow_on)",
    ),
    # Cut within four days, kept for four: from a Sunday to a Thursday, and wanted on a Friday.
    "harvest days": (
        replace(GARDEN, wants=(SHOOTS,), season=replace(SUMMER, harvest_on=(6,))),
        replace(GARDEN, wants=(SHOOTS,), season=SUMMER),
        "you harvest on Sundays only (harvest_on)",
    ),
    "days off": (
        replace(GARDEN, wants=(EARLY,), season=replace(SUMMER, never_on=(5, 6))),
        replace(GARDEN, wants=(EARLY,), season=SUMMER),
        "nothing is done on Saturdays and Sundays (never_on)",
    ),
    "its places": (
        replace(GARDEN, beds=TWO_BEDS, wants=(replace(HEADS, places=("Strip",)),)),
        replace(GARDEN, beds=TWO_BEDS, wants=(HEADS,)),
        "you grow it in Strip only (in)",
    ),
    "its raising": (
        replace(GARDEN, wants=(replace(TOMATO, raising="direct"),)),
        replace(GARDEN, wants=(TOMATO,)),
        'you sow it direct only (sow = "direct")',
    ),
    "small sowings": (
        replace(GARDEN, trays=(Tray("Sill", 20, AT, 18.0),),
                wants=(replace(HEADS, sow_at_least=40),)),
        replace(GARDEN, trays=(Tray("Sill", 20, AT, 18.0),), wants=(HEADS,)),
        "you sow no fewer than 40 at a time (sow_at_least)",
    ),
    "frost risk": (
        replace(GARDEN, wants=(COURGETTE,), climate=replace(MARITIME, frost_risk=0.02)),
        replace(GARDEN, wants=(COURGETTE,)),
        "you risk a frost in 2 % of years only (frost_risk)",
    ),
}  # fmt: skip


@pytest.mark.parametrize("label", CASES)
def test_a_word_of_the_garden_file_that_binds_is_the_reason_told(label):
    said, unsaid, words = CASES[label]
    plan, other = planned(said), planned(unsaid)
    short = [w for w in plan.wants if w.met < w.wanted - 1e-6]
    assert short
    for w in short:
        assert label_of_why(w.why) == label and words in w.why
    assert comes(other) > comes(plan)  # as it is told


def test_where_only_the_day_of_harvest_is_barred_that_day_is_told():
    """A day on which one sows anyway explains nothing: what counts is on which it is fit."""
    weekdays = "Mon Tue Wed Thu Fri Sat Sun".split()
    for label, barred in (("harvest days", weekdays[:6]), ("days off", weekdays[5:])):
        said, _, _ = CASES[label]
        for why in {w.why for w in planned(said).wants if w.why}:
            sown, _, fit = why.partition("what is sown on ")[2].partition(" and fit on ")
            idle = [weekdays[day] for day in said.season.never_on]
            assert fit[:3] in barred if fit else sown[:3] in idle


def test_a_word_that_does_not_bind_is_not_blamed():
    """No head is fit before its time, whatever the weekday: 51° N, sown in May, wanted in May."""
    soon = want("lettuce-butterhead", 3, "head", date(2027, 5, 15), date(2027, 5, 21))
    plan = planned(replace(GARDEN, wants=(soon,), season=replace(SUMMER, sow_on=(0,))))
    assert {label_of_why(w.why) for w in plan.wants} == {"too early"}


def test_what_is_too_early_to_sow_may_be_bought_and_then_comes():
    """What is told of bought plants comes true where they are bought: from the day that is told."""
    soon = want("lettuce-butterhead", 3, "head", date(2027, 6, 5), date(2027, 6, 25))
    said = replace(GARDEN, wants=(soon,), season=replace(SUMMER, start=date(2027, 4, 12)))
    (why,) = {w.why for w in planned(said).wants if not w.met}
    told = why.partition("; plants bought and set out on ")[2].partition(" would be ready from ")
    assert "too early" in why and told[1]
    bought = planned(replace(said, wants=(replace(soon, raising="bought plants"),)))
    (first, *_) = sorted(p.harvest_start for p in bought.plantings)
    assert f"{first.day} {first:%B}" == told[2]
    assert all(bool(w.met) == (w.end >= first) for w in bought.wants)
    assert not any("plants bought" in w.why for w in bought.wants)


def test_what_is_sown_where_it_grows_is_not_told_to_be_bought():
    roots = want("radish", 1, "bunch", date(2027, 4, 14), date(2027, 4, 20))
    said = replace(GARDEN, wants=(roots,), season=replace(SUMMER, start=date(2027, 4, 12)))
    (early,) = planned(said).wants
    assert "too early" in early.why and "bought" not in early.why


def test_places_kept_out_of_are_told_where_they_are_fewer():
    beds = (*TWO_BEDS, Bed("Nook", 0.4, 0.6, 0.3, AT))
    plan = planned(replace(GARDEN, beds=beds, wants=(replace(HEADS, places=("Strip", "Nook")),)))
    assert any("you keep it out of Plot (not_in)" in w.why for w in plan.wants)


FEW_CELLS = (Tray("Sill", 20, AT, 18.0),)
GONE = ((date(2027, 5, 1), date(2027, 6, 4)),)
NOOK = Bed("Nook", 0.35, 0.9, 0.3, AT)  # three heads side by side
LONG_STRIP = Bed("Strip", 1.0, 0.6, 0.3, AT)


def early(least=1, **season):
    wants = (replace(EARLY, sow_at_least=least),)
    return replace(GARDEN, trays=FEW_CELLS, wants=wants, season=replace(SUMMER, **season))


def in_strip(places=("Strip",), least=4):
    wants = (replace(HEADS, amount=2, places=places, sow_at_least=least),)
    return replace(GARDEN, beds=(LONG_STRIP, NOOK), wants=wants)


def rested(places=("Strip",), months=24):
    """Return a garden whose Plot had lettuce's family the year before; the table lets it back."""
    rests = (Rest("Asteraceae", months, AT),) if months else ()
    past = (Past("Plot", "Asteraceae", date(2026, 11, 30), AT),)
    wants = (replace(HEADS, places=places),)
    return replace(GARDEN, beds=TWO_BEDS, wants=wants, past=past, rests=rests)


# Each garden; what it says of two things; without the first, the second, both.
PAIRS = {
    "days off, small sowings": (
        early(40, never_on=(5, 6)), ("(sow_at_least)", "(never_on)"),
        early(1, never_on=(5, 6)), early(40), early(1),
    ),
    "days away, sowing days": (
        early(sow_on=(0,), away=GONE), ("(away)", "(sow_on)"),
        early(sow_on=(0,)), early(sow_on=tuple(range(7)), away=GONE),
        early(sow_on=tuple(range(7))),
    ),
    "its places, small sowings": (
        in_strip(), ("(in)", "(sow_at_least)"), in_strip(()), in_strip(least=1), in_strip((), 1),
    ),
    "its places, rotation": (
        rested(), ("(in)", "you rest Asteraceae for 24 months ([[rotation]])"),
        rested(()), rested(months=0), rested((), 0),
    ),
}  # fmt: skip


@pytest.mark.parametrize("case", PAIRS)
def test_two_words_that_bind_together_are_told_together(case):
    """Neither alone would help, both do: by the plans of the gardens without them."""
    said, keys, *unsaid = PAIRS[case]
    plan, *others = map(planned, (said, *unsaid))
    first, second, both = map(comes, others)
    assert first == second == comes(plan) < both
    short = [w for w in plan.wants if w.met < w.wanted - 1e-6]
    assert short and {label_of_why(w.why) for w in short} == {"two of your rules"}
    assert all(key in w.why and "; without both, " in w.why for w in short for key in keys)


def test_a_third_word_that_binds_with_them_is_told_too():
    plan = planned(early(40, sow_on=(0,), away=GONE))
    (want,) = plan.wants
    assert label_of_why(want.why) == "three of your rules"
    assert all(key in want.why for key in ("(sow_at_least)", "(sow_on)", "(away)"))
    assert comes(planned(early(40, sow_on=(0,)))) == comes(planned(early(sow_on=(0,)))) == 0


def test_days_to_sow_are_told_beside_days_away_where_either_might_give_way():
    """Every day to sow on that is in time is closed by days away, other weekdays are not."""
    first, last = date(2027, 7, 19), date(2027, 7, 25)
    tubers = want("potato-early", 1, "kg", first, last)
    season = replace(GARDEN.season, sow_on=tuple(range(7)))
    book = book_of(replace(GARDEN, season=season, wants=(tubers,)), CROPS)
    fit = [
        book.day(fate.sow)
        for fate in fates_of(book, 0)
        if fate.comes and book.day(fate.ready) <= last
        and book.day(fate.over + int(CROPS["potato-early"].keeps_days)) >= first
    ]  # fmt: skip
    away = ((fit[0] + timedelta(days=6), fit[-1]),)
    some = replace(season, sow_on=(away[0][0].weekday(),), away=away)
    (found,) = planned(replace(GARDEN, season=some, wants=(tubers,))).wants
    assert label_of_why(found.why) == "days away" and not found.met
    assert "it would have to be planted" in found.why and "(sow_on)" in found.why
    for other in (replace(some, away=()), replace(some, sow_on=season.sow_on)):
        assert planned(replace(GARDEN, season=other, wants=(tubers,))).wants[0].met
