"""Why a want goes short, and what would help: each reason is held against another plan."""

import re
from dataclasses import replace
from datetime import date

import numpy as np
import pytest

from gardens import northern
from sowplan.records.crop_table import read_crops
from sowplan.records.garden import (
    Bed,
    Climate,
    FixedSowing,
    Past,
    Rest,
    Season,
    Site,
    Tray,
    Want,
    Where,
)
from sowplan.records.garden_file.build import as_rested
from sowplan.season.assemble import assemble
from sowplan.season.choices.candidates import book_of, with_more
from sowplan.season.plan import label_of_why
from sowplan.season.planner import make_plan
from sowplan.season.reasons.fates import fates_of
from sowplan.season.reasons.lifted import gains_of
from sowplan.season.reasons.limits import another_weekday, everywhere, limits_of, pairs_of
from sowplan.season.reasons.never import label_of
from sowplan.season.reasons.why import reasons
from sowplan.season.search.filling import Reach, best_more, fill_up
from sowplan.season.search.standing import Standing
from sowplan.season.words import in_list, listed

CROPS, _ = read_crops()
AT = Where("garden.toml", "[[bed]] 1", 1)


def want(crop, amount, unit, first, last, per=7):
    return Want(crop, amount, unit, per, first, last, AT)


def garden(*wants, **changes):
    whole = northern(
        season=Season(date(2027, 3, 6), date(2027, 12, 31), (5,)),
        beds=(Bed("Plot", 3.0, 1.2, 0.3, AT),),
        trays=(Tray("Sill", 40, AT, 18.0),),
        wants=wants,
    )
    return replace(whole, **changes)


def planned(*wants, **changes):
    made, problems = make_plan(garden(*wants, **changes), CROPS, effort=0.2)
    assert problems == []
    return made


def lacking(plan):
    return [w for w in plan.wants if w.met < w.wanted - 1e-9]


def comes(plan):
    return sum(w.met for w in plan.wants)


LETTUCE = want("lettuce-butterhead", 6, "head", date(2027, 6, 26), date(2027, 9, 24))
KALE = want("kale", 2, "bunch", date(2027, 9, 4), date(2027, 11, 26))


@pytest.fixture(scope="module")
def few_cells():
    return garden(LETTUCE, trays=(Tray("Sill", 6, AT, 18.0),))


@pytest.fixture(scope="module")
def short_of_cells(few_cells):
    made, _ = make_plan(few_cells, CROPS, effort=0.2)
    return made


def test_cells_are_named_and_more_of_them_do_bring_more(few_cells, short_of_cells):
    assert {label_of_why(w.why) for w in lacking(short_of_cells)} == {"too few tray cells"}
    (gain,) = [g for g in short_of_cells.gains if "cells" in g.what]
    assert gain.what == "12 more tray cells" and gain.brings > 5
    # What is said to come comes when the garden has them.
    more, _ = make_plan(replace(few_cells, trays=(Tray("Sill", 18, AT, 18.0),)), CROPS, effort=0.2)
    assert comes(more) >= comes(short_of_cells) + 0.9 * gain.brings


def test_what_would_not_help_is_told_too_and_does_not(few_cells, short_of_cells):
    idle = {g.what for g in short_of_cells.gains if g.brings == 0}
    assert idle == {"1 m² more of a bed like Plot"}  # no one expects another sowing day to help
    beds = (*few_cells.beds, Bed("New", 0.84, 1.2, 0.3, AT))
    more, _ = make_plan(replace(few_cells, beds=beds), CROPS, effort=0.2)
    assert comes(more) <= comes(short_of_cells) + 1


def test_two_things_that_help_together_only_are_told_together_and_do():
    small, few = Bed("Strip", 0.6, 0.6, 0.3, AT), Tray("Sill", 6, AT, 18.0)
    plan = planned(LETTUCE, beds=(small,), trays=(few,))
    both = [
        g for g in plan.gains if g.what.endswith("more of a bed like Strip and 12 more tray cells")
    ]
    alone = [g.brings for g in plan.gains if " and " not in g.what]
    assert len(both) == 1 and both[0].brings > 1.25 * max(alone)
    area = float(both[0].what.split()[0])
    more = planned(
        LETTUCE,
        beds=(small, replace(small, name="New", length_m=area / 0.6)),
        trays=(few, replace(few, name="Other", cells=12)),
    )
    assert comes(more) >= comes(plan) + 0.9 * both[0].brings


def test_what_comes_with_nothing_lifted_is_owed_to_no_limit(few_cells):
    """Beds and trays all empty: so much can be sown as it is that one thing more adds nothing."""
    roomy = garden(replace(LETTUCE, amount=1))
    book = book_of(roomy, CROPS)
    standing = Standing(book.instance)
    assert best_more(standing, 0, Reach(book.instance.crops[0])) is not None
    assert {gain.brings for gain in gains_of(book, standing)} == {0}
    # Where cells are what is short it is they that bring something, an empty bed or not.
    short = book_of(few_cells, CROPS)
    found = {gain.what: gain.brings for gain in gains_of(short, Standing(short.instance))}
    assert found["12 more tray cells"] > 0 and found["1 m² more of a bed like Plot"] == 0


def test_the_most_useful_comes_first_and_names_its_want(short_of_cells):
    brings = [g.brings for g in short_of_cells.gains]
    assert brings == sorted(brings, reverse=True)
    assert {(g.want, g.unit) for g in short_of_cells.gains} == {(0, "head")}


def test_room_names_the_bed_its_days_and_who_holds_it():
    plot = (Bed("Strip", 1.0, 0.6, 0.3, AT),)
    plan = planned(LETTUCE, KALE, beds=plot)
    short = [w for w in lacking(plan) if label_of_why(w.why) == "no room"]
    assert short
    for w in short:
        room = r"would need [\d.]+ m² more of Strip, \d+ \w+ to \d+ \w+, where "
        assert re.search(rf"\d sown on \d+ \w+(, say,)? {room}", w.why)
        assert "Kale" in w.why or "Butterhead lettuce" in w.why
    (gain,) = [g for g in plan.gains if "m²" in g.what and g.want == 0]
    wider = planned(LETTUCE, KALE, beds=(*plot, Bed("New", 1.66, 0.6, 0.3, AT)))
    heads = [sum(w.met for w in p.wants if w.want == 0) for p in (plan, wider)]
    assert gain.brings > 0 and heads[1] >= heads[0] + 0.5 * gain.brings


def test_rotation_tells_until_when_and_a_bed_without_rest_helps():
    past = (Past("Plot", "Brassicaceae", date(2026, 11, 15), AT),)
    plan = planned(KALE, past=past)
    assert comes(plan) == 0
    for w in plan.wants:
        assert label_of_why(w.why) == "rotation" and "15 November 2026" in w.why
    best = max(plan.gains, key=lambda g: g.brings)
    assert best.what == "no rest for Brassicaceae"
    assert comes(planned(KALE)) >= 0.9 * best.brings > 0


def test_neighbouring_weeks_share_one_reason():
    past = (Past("Plot", "Brassicaceae", date(2026, 11, 15), AT),)
    assert len({w.why for w in planned(KALE, past=past).wants}) == 1


def test_too_early_is_told_of_the_way_that_is_ready_first():
    """A cold frame opens sooner than a heated bench outgrows its cells, and is ready later."""
    tomato = want("tomato", 1, "kg", date(2027, 6, 1), date(2027, 7, 2))
    house = (Bed("Glass", 4.0, 1.0, 0.3, AT, cover="glass"),)
    bench, frame = Tray("Bench", 100, AT, 18.0), Tray("Frame", 100, AT)
    season = Season(date(2027, 2, 1), date(2027, 10, 31), (0, 3))
    told = {
        trays: {
            w.why
            for w in planned(tomato, beds=house, trays=trays, season=season).wants
            if label_of_why(w.why) == "too early"
        }
        for trays in ((bench, frame), (bench,), (frame,))
    }
    assert told[bench, frame] and told[bench, frame] == told[bench,] != told[frame,]


def test_further_days_are_given_to_every_crop_with_room_besides():
    book = book_of(garden(LETTUCE, KALE), CROPS)
    standing = Standing(book.instance)
    (days,) = [limit for limit in limits_of(book, standing, 0) if limit.days]
    (pair,) = pairs_of(book, 0, [days])
    for limit, spots in ((days, 1), (pair, 2)):
        made = everywhere(book, limit, [0, 1])
        assert len(made.spots) == spots
        for crop, had in zip(made.crops, book.instance.crops, strict=True):
            assert len(crop.options) > len(had.options)


GARLIC = FixedSowing("garlic", date(2027, 1, 30), 6, AT)


@pytest.mark.parametrize("own", [(), (GARLIC,)], ids=["nothing stands", "garlic stands"])
def test_what_is_wanted_too_early_is_told_the_day_before_the_season(own):
    early = want("lettuce-butterhead", 3, "head", date(2027, 6, 19), date(2027, 6, 25))
    plan = planned(early, season=Season(date(2027, 5, 1), date(2027, 9, 30), (5,)), sowings=own)
    (period,) = plan.wants
    found = re.search(r"for 19 June it would be sown by (\d+) (\w+), before the season", period.why)
    assert found, period.why
    # A season that opens a week before that day has it in time.
    months = ["January", "February", "March", "April"]
    day = date(2027, months.index(found[2]) + 1, int(found[1]))
    assert day.weekday() == 5  # sown on a Saturday
    opens = date.fromordinal(day.toordinal() - 6)
    sooner = planned(early, season=Season(opens, date(2027, 9, 30), (5,)))
    assert comes(sooner) == 3
    # It is the last such Saturday: of a season that opens on the next nothing is there that day.
    opens = date.fromordinal(day.toordinal() + 7)
    that_day = want("lettuce-butterhead", 3, "head", date(2027, 6, 19), date(2027, 6, 19))
    later = planned(that_day, season=Season(opens, date(2027, 9, 30), (5,)))
    assert comes(later) == 0


def test_heat_says_so_and_room_is_not_blamed():
    hot = Climate(tmin=(23.0,) * 12, tmax=(33.0,) * 12)
    radish = want("radish", 1, "bunch", date(2027, 6, 5), date(2027, 7, 2))
    plan = planned(radish, climate=hot, site=Site("Low", 3.0, 101.0, "Asia/Kuala_Lumpur"))
    assert {label_of_why(w.why) for w in plan.wants} == {"heat"}
    assert all(g.brings == 0 for g in plan.gains)


@pytest.mark.parametrize(
    ("reason", "label"),
    [
        ("frost would kill it about 3 May, before it is ready", "frost"),
        ("cold (a night of 3 °C) would kill it about 22 March, before it is ready", "cold"),
        ("too cold for the seed until 1 May", "cold"),
        ("the heat would make it bolt or turn bitter before it is ready", "heat"),
        ("days longer than 14 h make it bolt before it is ready", "long days"),
    ],
)
def test_labels_of_growth(reason, label):
    assert label_of(reason) == label


@pytest.mark.parametrize(
    ("sown", "farthest"), [((5,), 2), ((6,), 3), ((5, 6), 2), ((0, 3), 5), ((0, 2, 4, 6), None)]
)
def test_another_weekday(sown, farthest):
    assert another_weekday(sown) == farthest


@pytest.mark.parametrize(
    ("named", "written", "what"),
    [
        ((), range(7), "sowing on any day"),
        ((5,), (2, 5), "sowing on Wednesdays too"),
        ((0, 3), (0, 3, 5), "sowing on Saturdays too"),
    ],
)
def test_what_other_sowing_days_are_said_to_bring_holds_once_they_are_in_the_file(
    named, written, what
):
    """Each sowing counted on is one of the garden that has those days: planted out on them too."""
    lettuce = want("lettuce-butterhead", 3, "head", date(2027, 5, 29), date(2027, 9, 10))
    season = Season(date(2027, 3, 1), date(2027, 9, 30), named)
    before = garden(lettuce, season=season)
    after = replace(before, season=replace(season, sow_on=tuple(written)))
    book = book_of(before, CROPS, 0.5)
    lifted = limits_of(book, Standing(book.instance), 0)
    (days,) = [limit for limit in lifted if limit.what.startswith("sowing on")]
    assert days.what == what
    there, new = sown(book_of(after, CROPS, 0.5).instance), sown(days.instance, days.options)
    assert new and new <= there
    if not named:  # and of what was planned nothing is lost or moved
        assert sown(book.instance) <= there


def sown(instance, among=None):
    """Return what may be sown of a crop: days, place, tray, and what is fit when."""
    options = instance.crops[0].options
    chosen = range(len(options)) if among is None else np.nonzero(among)[0].tolist()
    return {
        (*options.rows[n][:3], int(options.group[n]), int(options.tray[n]), tuple(options.lots[n]))
        for n in chosen
    }


def test_names_with_commas_in_lists():
    assert in_list("Bulb onion, long-day") == "Bulb onion (long-day)"
    assert listed(["Kale", "Bulb onion, long-day"]) == "Kale and Bulb onion (long-day)"
    assert listed(["Kale", "Leek", "Pea"], "or") == "Kale, Leek or Pea"


def test_a_finished_season_has_no_sowing_left_that_is_worth_one():
    book = book_of(garden(LETTUCE), CROPS)
    standing = Standing(book.instance)
    before = standing.score().missing
    assert fill_up(standing, [0]) > 0
    assert standing.score().missing < before
    assert best_more(standing, 0, Reach(book.instance.crops[0])) is None
    assert fill_up(standing, [0]) == 0


def test_further_options_leave_the_old_ones_as_they_are():
    book = book_of(garden(LETTUCE), CROPS)
    old = book.instance.crops[0].options
    season = book.garden.season
    days = range(book.index(season.start), book.index(season.end) + 1)
    wednesdays = tuple(n for n in days if book.day(n).weekday() == 2)
    more, had = with_more(book, 0, wednesdays)
    new = more.instance.crops[0].options
    assert had == len(old) < len(new) and new.rows[:had] == old.rows and new.lots[:had] == old.lots
    assert {book.day(day).weekday() for day in new.sow[had:]} == {2}
    way, row = more.course(new.course[had])
    assert way.courses.sow[row] == new.sow[had]


def test_a_sowing_day_is_told_once_by_its_quickest_way():
    book = book_of(garden(want("beetroot", 1, "kg", date(2027, 8, 7), date(2027, 9, 3))), CROPS)
    fates = fates_of(book, 0)
    assert [fate.sow for fate in fates] == sorted(set(book.sow_days))
    assert all((fate.reason == "") == fate.comes for fate in fates)


def test_a_rest_switched_off_lets_a_family_back_even_in_a_long_season():
    """A season past a year: radish (its gap longer than nothing) follows itself all along."""
    rows = [want("radish", 1, "bunch", date(2027, 5, 1), date(2028, 9, 29))]
    whole = garden(*rows, season=Season(date(2027, 3, 6), date(2028, 9, 30), (5,)))
    free = as_rested(CROPS, (Rest("Brassicaceae", 0.0, AT),))
    shut = as_rested(CROPS, (Rest("Brassicaceae", 36.0, AT),))
    spans = []
    for crops in (free, shut):
        made, _ = make_plan(whole, crops, effort=0.1)
        sown = [p.sow for p in made.plantings]
        spans.append((max(sown) - min(sown)).days)
    # A family's turn in a bed lasts a year from its first sowing; then it rests.
    assert spans[0] > 365 >= spans[1]


# A cool temperate climate at 41° S, invented.
COOL_SOUTH = Climate(
    tmin=(12.3, 12.4, 10.1, 7.1, 4.6, 2.8, 2.2, 3.6, 5.1, 6.7, 8.9, 10.6),
    tmax=(24.4, 24.6, 22.5, 18.9, 15.7, 13.0, 12.5, 13.8, 15.6, 17.9, 20.1, 22.3),
)


@pytest.fixture(scope="module")
def southern():
    """A season of fourteen months; one tomato is set, and pak choi wanted through the winter."""
    rows = [
        want("tomato-cherry", 500, "g", date(2027, 2, 1), date(2027, 5, 30)),
        want("pak-choi", 2, "head", date(2027, 7, 3), date(2027, 9, 24)),
    ]
    return planned(
        *rows,
        site=Site("South", -41.4, 147.1, "Australia/Hobart"),
        climate=COOL_SOUTH,
        season=Season(date(2026, 12, 2), date(2028, 1, 31), (5,)),
        sowings=(FixedSowing("tomato-cherry", date(2026, 10, 3), 1, AT),),
    )


def test_too_few_plants_set_and_too_late_for_more_is_told_as_that(southern):
    short = [w for w in lacking(southern) if w.crop == "tomato-cherry"]
    few = [w for w in short if label_of_why(w.why) == "too few plants"]
    assert sum(w.met > 0 for w in few) >= 5
    late = ("frost would kill it about", "nothing sown this season is ready before", "(sow_on)")
    assert all(any(words in w.why for words in late) for w in few)
    # Nothing of the next spring's sowings, which cannot serve these weeks.
    assert not any(m in w.why for w in short for m in ("August", "2028"))


def test_fleece_is_named_where_frost_is_the_reason(southern):
    short = [w for w in lacking(southern) if w.crop == "pak-choi"]
    assert {label_of_why(w.why) for w in short} == {"frost"}
    told = [g for g in southern.gains if g.want == 1]
    assert told and told[0].brings > 0
    # The cover is asked for over sowings that are named, so that it can be laid.
    assert re.search(r"fleece over \d+ sown on \d+ \w+.* in Plot, lying \d", told[0].what)
    assert all(g.brings > 0 for g in told)  # more room or cells would not be expected to help


JULY = date(2027, 7, 9), date(2027, 7, 15)


def short_with(whole, *stands):
    """Return the periods that go short, with their reasons, where so many are sown on some days."""
    book = book_of(whole, CROPS)
    standing, options = Standing(book.instance), book.instance.crops[0].options
    for day, plants in stands:
        (option, *_) = np.nonzero(options.sow == book.index(day))[0].tolist()
        standing.add(standing.place(0, option, plants))
    plan = assemble(book, list(standing.batches.values()), 0.0, "", "", ())
    told = reasons(book, standing, plan.wants)
    return [replace(w, why=told[w.want, w.start]) for w in plan.wants if w.met < w.wanted - 1e-9]


@pytest.mark.parametrize(
    ("wanted", "stand", "words"),
    [(18, 17, "too few to be worth"), (40, 36, "too little is missing to be worth")],
)
def test_too_little_for_a_sowing_is_told_as_that_where_there_is_room(wanted, stand, words):
    """The bed is half empty. Sown all the same, so few heads make the week complete."""
    week = want("lettuce-butterhead", wanted, "head", *JULY)
    said = {"trays": (Tray("Sill", 200, AT, 18.0),), "beds": (Bed("Plot", 6.0, 1.2, 0.3, AT),)}
    sown = date(2027, 5, 1)
    (short,) = short_with(garden(week, **said), (sown, stand))
    assert label_of_why(short.why) == "too little" and words in short.why
    found = re.search(r": (\d+) sown on (\d+) (April|May) would find room in Plot", short.why)
    few, day = int(found[1]), date(2027, 4 + (found[3] == "May"), int(found[2]))
    assert few == wanted - stand == round(short.wanted - short.met)
    own = FixedSowing("lettuce-butterhead", sown, stand, AT)
    assert comes(planned(week, sowings=(own, replace(own, day=day, plants=few)), **said)) == wanted


def test_a_full_bed_is_no_lack_too_little():
    """As above, in a bed that is taken up by what stands in it."""
    week = want("lettuce-butterhead", 9, "head", *JULY)
    whole = garden(week, beds=(Bed("Plot", 0.6, 1.2, 0.3, AT),))
    (short,) = short_with(whole, (date(2027, 5, 1), 8))
    assert label_of_why(short.why) == "no room"


def test_what_a_plan_leaves_out_is_put_down_to_nothing_else():
    """Nothing is sown at all, and nothing stands in the way, but for what no sowing can serve."""
    short = short_with(garden(LETTUCE, beds=(Bed("Plot", 9.0, 1.2, 0.3, AT),)))
    assert {label_of_why(w.why) for w in short} == {"left out"}


@pytest.mark.parametrize(
    "other",
    [{"raising": "bought plants"}, {"places": ("Glass",)}],
    ids=["bought plants", "under glass"],
)
def test_what_another_want_of_the_crop_may_be_is_no_answer_to_this_one(other):
    """The same reason as in a garden file without that other want."""
    early = replace(want("lettuce-butterhead", 3, "head", date(2027, 5, 15), date(2027, 5, 21)),
                    raising="in trays", places=("Plot",))  # fmt: skip
    later = replace(want("lettuce-butterhead", 1, "head", date(2027, 9, 4), date(2027, 9, 10)),
                    **other)  # fmt: skip
    beds = (Bed("Plot", 3.0, 1.2, 0.3, AT), Bed("Glass", 1.0, 1.2, 0.3, AT, cover="glass"))
    season = Season(date(2027, 4, 3), date(2027, 12, 31), (5,))
    told = [
        {w.why for w in planned(*wants, beds=beds, season=season).wants if w.want == 0}
        for wants in ((early, later), (early,))
    ]
    assert told[0] == told[1] and len(told[0]) == 1
    assert next(iter(told[0])).startswith("too early: nothing sown this season is ready before")


EARLY = want("lettuce-butterhead", 6, "head", date(2027, 6, 19), date(2027, 7, 2))
LATE_START = Season(date(2027, 5, 1), date(2027, 9, 30), (5,))


def to_buy(plan):
    return [g for g in plan.gains if g.what.startswith("buying ")]


@pytest.mark.parametrize("raising", [None, "in trays"])
def test_plants_to_buy_are_named_where_seedlings_take_too_long_and_do_help(raising):
    early = replace(EARLY, raising=raising)
    plan = planned(early, season=LATE_START)
    assert {label_of_why(w.why) for w in lacking(plan)} == {"too early"}
    (gain,) = to_buy(plan)
    found = re.fullmatch(r"buying (\d+) plants on (\d+) May for Plot", gain.what)
    assert gain == plan.gains[0] and gain.brings > 1
    bought = FixedSowing("lettuce-butterhead", date(2027, 5, int(found[2])), int(found[1]), AT,
                         raising="bought plants")  # fmt: skip
    more = planned(early, season=LATE_START, sowings=(bought,))
    assert comes(more) == pytest.approx(comes(plan) + gain.brings)


@pytest.mark.parametrize(
    "early",
    [
        replace(EARLY, raising="bought plants", start=date(2027, 5, 1), end=date(2027, 5, 14)),
        replace(EARLY, raising="direct"),
        want("radish", 2, "bunch", date(2027, 5, 1), date(2027, 5, 14)),
    ],
    ids=["bought already", "to be sown direct", "never comes as plants"],
)
def test_no_plants_to_buy_are_named(early):
    plan = planned(early, season=LATE_START)
    assert lacking(plan) and not to_buy(plan)


def test_of_a_season_stopped_early_what_is_not_sown_yet_is_left_out(monkeypatch):
    """Even where the sowing that would fill the lack is not found, but another has all it takes."""
    book = book_of(garden(LETTUCE), CROPS)
    standing = Standing(book.instance)
    plan = assemble(book, [], 0.0, "", "", ())
    monkeypatch.setattr("sowplan.season.reasons.why.first_found", lambda *_: None)
    found = reasons(book, standing, plan.wants)
    assert set(found) == {(w.want, w.start) for w in lacking(plan)} != set()
    assert {label_of_why(words) for words in found.values()} == {"left out"}
