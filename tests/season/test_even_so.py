"""Sowings of which nothing comes: a mistake, told before any solving, or the gardener's word."""

import json
import shlex
from dataclasses import replace
from datetime import date, timedelta

import pytest
from typer.testing import CliRunner

from gardens import YEAR, garden_of
from sowplan.cli import app
from sowplan.export.bed_on import bed_on
from sowplan.export.pictures.season import told
from sowplan.export.tables import plantings
from sowplan.growth.reasons import day_words
from sowplan.problem import Exit
from sowplan.records.crop_table import read_crops
from sowplan.records.diary import Entry
from sowplan.records.garden import Bed, Climate, FixedSowing, Season, Tray, Want, Where
from sowplan.records.garden_file.read import read_garden_text
from sowplan.season.archive import from_json, to_json
from sowplan.season.carried import carried
from sowplan.season.choices.even_so import WAITED_DAYS
from sowplan.season.plan import HARVEST_DAYS
from sowplan.season.planner import make_plan
from sowplan.season.revise.again import revise
from sowplan.season.settled import cannot_be, stand_in_vain
from sowplan.supply.tasks import tasks

CROPS, _ = read_crops()
DAY = timedelta(days=1)
AT = Where("garden.toml", "[[sowing]] 1 (runner-bean)", 7)
START, END = date(2026, 12, 1), date(2027, 11, 30)
# A northern garden, frost until May; means of no place, cold winters of the middle of England.
COLD = Climate(
    tmin=(1.0, 1.0, 2.0, 4.0, 7.0, 10.0, 12.0, 12.0, 10.0, 7.0, 4.0, 1.0),
    tmax=(7.0, 8.0, 10.0, 13.0, 16.0, 19.0, 21.0, 21.0, 18.0, 14.0, 10.0, 7.0),
)


def garden(*sowings, trays=(), wants=(), **season):
    """Return two beds at 53° north with sowings of the gardener's own, and lettuce to eat."""
    lettuce = Want("lettuce-butterhead", 1, "head", 7, date(2027, 6, 1), date(2027, 7, 31), AT)
    made = garden_of(
        season=Season(START, END, **season),
        beds=(Bed("Bed 1", 1.2, 1.0, 0.3, AT), Bed("Bed 2", 1.2, 1.0, 0.3, AT)),
        trays=trays or (Tray("Sill", 40, AT, 18.0, 14.0, 150.0),),
        wants=wants or (lettuce,),
        sowings=sowings,
    )
    return replace(made, site=replace(made.site, latitude=53.0, longitude=-2.0), climate=COLD)


def beans(day=date(2027, 3, 2), **how):
    how = {"place": "Bed 1", "raising": "direct"} | how
    return FixedSowing("runner-bean", day, 8, AT, **how)


def planned(*sowings, **how):
    made, problems = make_plan(garden(*sowings, **how), CROPS, effort=0.1)
    assert problems == []
    return made


def vain(plan):
    (found,) = [p for p in plan.plantings if p.fixed]
    assert found.in_vain and not found.lots
    return found


def test_without_the_key_it_is_a_problem_that_names_the_key():
    made, (problem,) = make_plan(garden(beans()), CROPS)
    assert made is None and problem.exit is Exit.IMPOSSIBLE
    assert (problem.line, problem.found) == (7, "2027-03-02")
    assert "too cold for the seed" in problem.message and "even_so = true" in problem.message


def test_seed_that_never_comes_up_takes_its_ground_and_gives_nothing():
    # Runner bean does not germinate in soil below 10 °C or so (common knowledge of seed packets);
    # in March the soil here has about 5.
    made = planned(beans(even_so=True))
    one = vain(made)
    assert (one.place, one.plants, one.sow) == ("Bed 1", 8, date(2027, 3, 2))
    assert one.cleared == one.sow + timedelta(days=WAITED_DAYS)
    assert one.in_vain.startswith("too cold for the seed")
    assert not any(name == one.id for want in made.wants for name, _ in want.served_by)
    assert made.quality.wasted == planned().quality.wasted
    (note,) = [note for note in made.notes if "even so" in note]
    assert "Runner bean sown on 2 March in Bed 1" in note and "too cold" in note


def test_its_ground_is_not_given_to_anything_else():
    whole = beans(even_so=True, until=date(2027, 10, 31), place="Bed 1")
    one = vain(planned(whole))
    assert one.cleared == date(2027, 11, 1)
    others = [p for p in planned(whole).plantings if p.place == "Bed 1" and not p.fixed]
    ends = one.strip_start_m, one.strip_start_m + one.strip_length_m
    for p in others:
        apart = p.strip_start_m >= ends[1] - 1e-9 or p.strip_start_m + p.strip_length_m <= ends[0]
        assert apart or p.cleared <= one.sow


def test_what_frost_kills_stands_until_then():
    # Sown in August, runner beans are months from giving when the first frost of autumn comes.
    one = vain(planned(beans(date(2027, 8, 28), even_so=True)))
    assert one.emergence < one.cleared
    assert date(2027, 10, 1) < one.cleared < date(2027, 12, 1)


def test_what_is_fit_while_nobody_is_there_stands_to_its_end():
    away = ((date(2027, 7, 23), date(2027, 9, 1)),)
    radish = FixedSowing("radish", date(2027, 7, 6), 20, AT, "Bed 1", even_so=True)
    problems = cannot_be(garden(replace(radish, even_so=False), away=away), CROPS)
    assert "nobody is there when it is fit" in problems[0].message
    one = vain(planned(radish, away=away))
    assert one.in_vain == "nobody is there when it is fit"
    assert away[0][0] < one.cleared


def test_what_was_sown_before_the_season_and_dies_in_it():
    # Up since September when the season begins in December: none outlives an English winter.
    early = beans(date(2026, 9, 10))
    (problem,) = cannot_be(garden(early), CROPS)
    assert "even_so = true" in problem.message
    one = vain(planned(replace(early, even_so=True)))
    assert START < one.cleared < date(2027, 3, 1)
    assert min(task.day for task in tasks(planned(replace(early, even_so=True)))) >= START


def test_cells_of_a_tray_are_taken_too():
    # Lettuce under heads in a tray of 10 cells: a second sowing of 6 finds no cells.
    trays = (Tray("Sill", 10, AT, 18.0, 14.0, 150.0),)
    first = beans(date(2027, 2, 2), raising="in trays", even_so=True)
    one = vain(planned(first, trays=trays))
    assert one.tray == "Sill" and one.planting_out is not None
    assert one.sow < one.planting_out < one.cleared
    second = FixedSowing("lettuce-butterhead", date(2027, 2, 9), 6, AT, "Bed 2", "in trays")
    (problem,) = cannot_be(garden(first, second, trays=trays), CROPS)
    assert "tray cells are needed" in problem.message


def test_where_something_comes_of_it_the_key_changes_nothing():
    good = beans(date(2027, 5, 29))
    assert to_json(planned(good)) == to_json(planned(replace(good, even_so=True)))


def test_what_has_no_room_is_a_problem_all_the_same():
    many = replace(beans(even_so=True), plants=400)
    (problem,) = cannot_be(garden(many), CROPS)
    assert "too small" in problem.message and "even_so" not in problem.message


def test_what_has_given_all_is_a_past():
    done = FixedSowing("radish", date(2026, 7, 1), 20, AT, "Bed 1", "direct", even_so=True)
    (problem,) = cannot_be(garden(done), CROPS)
    assert "[[past]]" in problem.message
    kept = replace(done, until=date(2026, 12, 24))
    assert vain(planned(kept)).cleared == date(2026, 12, 25)


def test_check_and_outputs_tell_it(tmp_path):
    sown = garden(beans(even_so=True))
    (words,) = stand_in_vain(sown, CROPS)
    assert "stands there even so" in words and "No harvest of it is counted on" in words
    made = planned(beans(even_so=True))
    one = vain(made)
    assert from_json(to_json(made)) == made
    table = plantings(made)
    (row,) = [dict(zip(table.columns, r, strict=True)) for r in table.rows if r[0] == one.id]
    assert row["harvest_start"] is row["harvest_end"] is None and row["harvest"] == 0
    # All its days of harvest are that of clearing, none before the other, and it stands until then.
    assert {getattr(one, day) for day in HARVEST_DAYS} == {one.cleared}
    assert one.last_day == one.cleared - timedelta(days=1)
    where, day = shlex.quote(one.place), one.last_day
    (tmp_path / "plan.json").write_text(to_json(made), encoding="utf-8")
    shown = CliRunner().invoke(app, shlex.split(f"bed {tmp_path} {where} --on {day} --json"))
    (told_so,) = [p for p in json.loads(shown.stdout)["plantings"] if p["id"] == one.id]
    assert told_so["harvest_start"] is told_so["harvest_end"] is None
    mine = [task for task in tasks(made) if task.planting == one.id]
    assert [task.kind for task in mine] == ["sow", "clear"]
    assert "No harvest of it is counted on: too cold" in mine[0].details
    assert told(made, one).endswith("sown 2 Mar, nothing to harvest")
    there = bed_on(made, "Bed 1", date(2027, 3, 10)).batches
    (state,) = [batch.state for batch in there if batch.planting == one]
    assert state.startswith("sown 2 March; nothing to harvest: too cold for the seed")


@pytest.mark.parametrize("today", [date(2027, 2, 1), date(2027, 3, 10), date(2027, 5, 1)])
def test_it_outlives_a_revision(today):
    """Nothing changed, nothing is planned anew: before it is sown, while it stands, after."""
    sown = garden(beans(even_so=True))
    made = planned(beans(even_so=True))
    again, gone, problems = revise(made, sown, CROPS, today)
    assert problems == [] and gone == [] and again == made


def test_sown_on_another_day_it_still_stands():
    made = planned(beans(even_so=True))
    one = vain(made)
    entries = (Entry(date(2027, 3, 6), "sown", one.id),)
    again, gone, problems = revise(
        made, garden(beans(even_so=True)), CROPS, date(2027, 3, 9), entries
    )
    assert problems == [] and gone == []
    assert vain(again).sow == date(2027, 3, 6)


def test_next_year_is_told_of_what_still_stands():
    sown = garden(beans(date(2027, 8, 28), even_so=True, until=date(2027, 11, 30)))
    made, _ = make_plan(sown, CROPS, effort=0.1)
    handed, problems = carried(made, sown, CROPS, start=date(2027, 10, 1))
    assert problems == []
    (one,) = [sowing for sowing in handed.sowings if sowing.crop == "runner-bean"]
    assert one.even_so and one.until == date(2027, 11, 30)


@pytest.mark.parametrize(
    ("written", "reads"),
    [
        ("true", True),
        ('"yes"', True),
        ("false", False),
        ('"no"', False),
        ('"on"', True),
        ("True", None),
        ("FALSE", None),
        ("1", None),
        ("0", None),
        ('"x"', None),
        ("[]", None),
        ("2", None),
    ],
)
def test_the_key_is_true_or_false(written, reads):
    text = YEAR + '[[bed]]\nname = "B"\nlength = "2 m"\nwidth = "1 m"\ndepth = "30 cm"\n'
    text += '[[sowing]]\ncrop = "kale"\ndate = 2026-10-01\nnumber = 3\nplace = "B"\n'
    text += f'sow = "bought plants"\neven_so = {written}\n'
    reading = read_garden_text(text, "g.toml")
    if reads is None:
        (problem,) = reading.problems
        assert problem.where.startswith("[[sowing]] 1") and problem.where.endswith("even_so")
        meant = {"True": "true", "1": "true", "FALSE": "false", "0": "false"}.get(written)
        rights = [form for form in ("true", "false") if f"even_so = {form}" in problem.message]
        assert rights == ([meant] if meant else ["true", "false"])
        assert "small letters" in problem.message and problem.line == text.count("\n")
    else:
        assert reading.garden.sowings[0].even_so is reads


def tomatoes(day, **how):
    how = {"place": "Bed 1", "raising": "in trays", "even_so": True} | how
    return FixedSowing("tomato", day, 2, AT, **how)


def own(plan):
    (found,) = [p for p in plan.plantings if p.fixed]
    return found


@pytest.mark.parametrize(("month", "until"), [(2, None), (3, date(2027, 7, 31))])
def test_seedlings_go_out_when_they_are_large_and_the_weather_fits(month, until):
    # Raised too early for a cell. In the middle of England tomatoes are planted out once frost is
    # over, late May to June (common practice), however long they have stood on the sill.
    one = own(planned(tomatoes(date(2027, month, 2), until=until)))
    assert date(2027, 5, 15) <= one.planting_out < one.cleared
    assert one.planting_out > one.emergence + timedelta(days=CROPS["tomato"].tray_days)


def test_what_is_potted_on_and_goes_out_in_fit_weather_crops_as_any_other():
    """In Britain tomatoes are sown from February to April and bear from late July to October
    (seed packets; common practice, no source): those of February and of April go out together in
    June, and bear together."""
    early, due = tomatoes(date(2027, 2, 2)), tomatoes(date(2027, 4, 5), even_so=False)
    (problem,) = cannot_be(garden(replace(early, even_so=False)), CROPS)
    assert "would outgrow its cell" in problem.message
    assert "pot it on and hold it" in problem.message and "even_so = true" in problem.message
    made = planned(early)
    one, usual = own(made), own(planned(due))
    assert one.in_vain == "" and "would outgrow its cell" in one.held and usual.held == ""
    assert one.planting_out == usual.planting_out and one.lots == usual.lots
    assert date(2027, 7, 15) <= one.harvest_start <= date(2027, 10, 31)
    (note,) = [note for note in made.notes if "Pot it on" in note]
    assert f"goes out, about {day_words(one.planting_out)}: its harvest is reckoned" in note
    assert note in stand_in_vain(garden(early), CROPS)
    assert from_json(to_json(made)) == made
    mine = [task for task in tasks(made) if task.crop == "tomato"]
    assert not any("bound to fail" in task.title for task in mine)
    (pots,) = [task for task in mine if task.kind == "pot on"]
    assert "into larger pots" in pots.details
    assert [task for task in mine if task.kind == "harvest"]


def test_by_the_gardeners_word_alone():
    """The plan sows no others on that day; leaf that is held would bolt or stay small."""
    wants = (Want("tomato", 2, "kg", 7, date(2027, 7, 1), date(2027, 10, 31), AT),)
    made = planned(tomatoes(date(2027, 2, 2)), wants=wants)
    assert own(made).lots and not any(p.held for p in made.plantings if not p.fixed)
    squash = next(key for key in CROPS if CROPS[key].group == "leaf" and CROPS[key].tender)
    leaf = FixedSowing(squash, date(2027, 2, 2), 4, AT, "Bed 1", "in trays", even_so=True)
    assert vain(planned(leaf)).held == ""


@pytest.mark.parametrize("today", [date(2027, 1, 5), date(2027, 3, 10), date(2027, 7, 1)])
def test_what_is_held_outlives_a_revision(today):
    """Before it is sown, while it waits, in its bed: nothing calls for a change."""
    sown, made = garden(tomatoes(date(2027, 2, 2))), planned(tomatoes(date(2027, 2, 2)))
    again, gone, problems = revise(made, sown, CROPS, today)
    assert problems == [] and gone == [] and again == made
    entry = Entry(date(2027, 2, 6), "sown", own(made).id)
    if today > entry.day:
        again, gone, problems = revise(made, sown, CROPS, today, (entry,))
        assert problems == [] and gone == []
        one = own(again)
        assert one.sow == entry.day and one.held and one.planting_out == own(made).planting_out
        assert one.harvest_start == own(made).harvest_start


def test_each_job_says_that_it_is_bound_to_fail():
    made = planned(tomatoes(date(2027, 2, 2), until=date(2027, 7, 31)))
    mine = [task for task in tasks(made) if task.crop == "tomato"]
    for kind in ("sow", "pot on", "harden off", "plant out"):
        (told_job,) = [task for task in mine if task.kind == kind]
        assert told_job.title.endswith("(bound to fail)")
        assert "No harvest of it is counted on: not ready by then" in told_job.details
    (out,) = [task for task in mine if task.kind == "plant out"]
    (hard,) = [task for task in mine if task.kind == "harden off"]
    assert hard.day < out.day and abs((out.day - vain(made).planting_out).days) <= 3
    (note,) = [note for note in made.notes if "even so" in note]
    assert f"It goes out about {day_words(vain(made).planting_out)}." in note


def test_where_no_day_of_the_season_is_fit_they_go_out_large_and_frost_is_watched_for():
    made = planned(tomatoes(date(2027, 9, 2)))
    one = vain(made)
    assert one.planting_out > one.emergence + timedelta(days=CROPS["tomato"].tray_days) - DAY
    assert "protect" in {task.kind for task in tasks(made) if task.crop == "tomato"}


def test_a_stay_that_ends_before_they_are_large_enough_is_a_problem():
    (problem,) = cannot_be(garden(tomatoes(date(2027, 2, 2), until=date(2027, 3, 1))), CROPS)
    assert problem.found == "2027-03-01" and problem.where.endswith("until")
    assert "large enough to be planted out about" in problem.message
    assert "even_so" not in problem.message


def test_what_is_lifted_once_is_not_picked_small_before_days_away():
    """Garlic lifted small gives no more for it: only what is cut or picked again does."""
    garlic = FixedSowing("garlic", date(2026, 10, 21), 20, AT, "Bed 1", even_so=True)
    made = planned(garlic, away=((date(2027, 6, 1), date(2027, 9, 15)),))
    assert "nobody is there" in vain(made).in_vain and vain(made).overgrown
    assert not any("small ones too" in task.details for task in tasks(made))
