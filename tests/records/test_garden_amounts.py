"""How much and how often, as people write it; and headings and brackets they leave out.

What the words count is common usage: a dozen is twelve, a bulb of garlic is one head of it, and
"biweekly" is both twice a week and every two weeks (so most dictionaries of English).
"""

from __future__ import annotations

import pytest

from gardens import YEAR
from sowplan.commands.remarks import remarks
from sowplan.records.crop_table import read_crops
from sowplan.records.garden_file.read import read_garden, read_garden_text

CROPS, _ = read_crops()

BED = '[[bed]]\nname = "B"\nlength = "2 m"\nwidth = "1 m"\ndepth = "30 cm"\n'
TRAY = '[[tray]]\nname = "T"\ncells = 40\n'


def want(crop="radish", amount="2", per='"week"', rest=TRAY):
    text = f'{YEAR}{BED}{rest}[[want]]\ncrop = "{crop}"\namount = {amount}\nper = {per}\n'
    return read_garden_text(text, "g.toml")


def problem(reading):
    (one,) = reading.problems
    return one


@pytest.mark.parametrize(
    ("crop", "written", "amount", "unit"),
    [
        ("garlic", "40 bulbs", 40, "piece"),
        ("garlic", "5 dozen", 60, "piece"),
        ("garlic", "5 dozen bulbs", 60, "piece"),
        ("garlic", "a dozen", 12, "piece"),
        ("garlic", "half a dozen", 6, "piece"),
        ("lettuce-butterhead", "two heads", 2, "head"),
        ("lettuce-butterhead", "3 pieces", 3, "head"),
        ("sweet-corn", "10 cobs", 10, "piece"),
        ("radish", "a bunch", 1, "bunch"),
        ("radish", "1 1/2 bunches", 1.5, "bunch"),
        ("radish", "2 dozen bunches", 24, "bunch"),
        ("onion-sets", "30 bulbs", 30, "plants"),  # weighed, and one bulb to a plant
        ("tomato", "half a kilo", 0.5, "kg"),
        ("tomato", "1,5 kg", 1.5, "kg"),
        ("kale", "6 plants", 6, "plants"),
    ],
)
def test_amounts_are_taken_as_they_are_said(crop, written, amount, unit):
    reading = want(crop, f'"{written}"')
    assert reading.problems == ()
    (one,) = reading.garden.wants
    assert (one.amount, one.unit) == (amount, unit)


@pytest.mark.parametrize(
    ("crop", "written", "words"),
    [
        ("tomato", "5 dozen", "Tomato is weighed: write a weight"),
        ("tomato", "40 tomatoes", "takes the number alone, 40"),
        ("radish", "12 roots", "Radish is counted in bunches"),
        ("radish", "2 bunches per week", 'amount = "2 bunches" and per = "week"'),
        ("radish", "2/week", 'amount = "2" and per = "week"'),
        ("garlic", "3-4 heads", "one number"),
        ("kale", "2 bags", "'bags' has more than one size: give it in kg"),  # not of cement
        ("tomato", "3 litres", "measures a volume"),
        ("garlic", "lots", '"300 g", "4 heads" or "6 plants"'),
    ],
)
def test_amounts_that_do_not_agree_are_told(crop, written, words):
    one = problem(want(crop, f'"{written}"'))
    assert words in one.message and one.found == written and one.where.endswith("amount")


@pytest.mark.parametrize(
    ("written", "days"),
    [
        ("every other week", 14),
        ("alternate weeks", 14),
        ("every two weeks", 14),
        ("three weeks", 21),
        ("every other day", 2),
        ("quarterly", 91),
        ("10 days", 10),
    ],
)
def test_spans_are_taken_as_they_are_said(written, days):
    assert want(per=f'"{written}"').garden.wants[0].per_days == days


@pytest.mark.parametrize(
    ("written", "words"),
    [
        ('"biweekly"', '"fortnight", or 3'),
        ('"bi-weekly"', '"fortnight", or 3'),
        ('"bimonthly"', "write 60"),
        ('"twice a week"', "per = 3"),
        ('"weekley"', "Did you mean 'weekly'?"),
        ("3.5", "a number of days"),
    ],
)
def test_spans_that_may_be_two_are_told_not_guessed(written, words):
    one = problem(want(per=written))
    assert words in one.message and one.where.endswith("per")


# -- headings left out


SECOND = 'crop = "kale"\namount = 1\nper = "week"\n'


def test_a_heading_left_out_between_two_wants_is_told_once():
    text = YEAR + BED + TRAY + '[[want]]\ncrop = "radish"\namount = 2\nper = "week"\n\n' + SECOND
    one = problem(read_garden_text(text, "g.toml"))
    line = text.split("\n").index('crop = "kale"') + 1
    assert one.line == line
    assert (
        f"put [[want]] above line {line}" in one.message and "crop, amount and per" in one.message
    )


def test_what_follows_a_heading_left_out_is_read_all_the_same():
    text = YEAR + BED + TRAY + '[[want]]\ncrop = "radish"\namount = 2\nper = "week"\n\n'
    text += SECOND.replace("kale", "kail")
    heading, crop = read_garden_text(text, "g.toml").problems
    assert "[[want]]" in heading.message and "kail" in crop.found


def test_two_tables_run_together_without_a_line_between():
    text = YEAR + BED + TRAY + '[[want]]\ncrop = "radish"\namount = 2\nper = "week"\n' + SECOND
    one = problem(read_garden_text(text, "g.toml"))
    assert "put [[want]] above line" in one.message


def test_a_heading_left_out_after_another_table_is_told_once():
    text = YEAR + TRAY + BED + "\n" + SECOND
    one = problem(read_garden_text(text, "g.toml"))
    line = text.split("\n").index('crop = "kale"') + 1
    assert (one.line, one.where) == (line, "[[bed]] 1 (B)")
    assert f"belong in [[want]]: put [[want]] above line {line}" in one.message


def test_a_tray_without_its_heading_is_not_missed_by_the_wants():
    text = YEAR + BED + '[[pot]]\nname = "P"\ncount = 2\nvolume = "9 l"\n\n'
    text += TRAY.removeprefix("[[tray]]\n") + "count = 2\n"
    text += '[[want]]\ncrop = "lettuce-butterhead"\namount = 2\nper = "week"\n'
    one = problem(read_garden_text(text, "g.toml"))
    assert "put [[tray]] above line" in one.message


def test_a_key_that_stands_twice_is_told_as_that():
    text = YEAR + BED + '[[want]]\ncrop = "radish"\namount = 2\namount = 3\nper = "week"\n'
    one = problem(read_garden_text(text, "g.toml"))
    assert "stands here twice: first on line" in one.message and "[[want]]" not in one.message


# -- days away


@pytest.mark.parametrize(
    ("written", "words", "found"),
    [
        (
            "[[2026-12-19, 2027-01-03], 2027-03-01, 2027-03-09]",
            "in brackets of its own: [2027-03-01, 2027-03-09].",
            "2027-03-01, 2027-03-09",
        ),
        (
            "[2026-12-19, 2027-01-03, 2027-03-01, 2027-03-09]",
            "away = [[2026-12-19, 2027-01-03], [2027-03-01, 2027-03-09]]",
            "[2026-12-19, 2027-01-03, 2027-03-01, 2027-03-09]",
        ),
        (
            "[2026-12-19, 2027-01-03], [2027-03-01, 2027-03-09]",
            "[[2026-12-19, 2027-01-03], [2027-03-01, 2027-03-09]]",
            "away = [2026-12-19, 2027-01-03], [2027-03-01, 2027-03-09]",
        ),
        ("[[2027-03-01]]", "[2027-03-01, 2027-03-01]", "[2027-03-01]"),
        ("2027-03-01", "[[2027-03-01, 2027-03-01]]", "2027-03-01"),
        (
            "[[2026-12-19, 2027-01-03, 2027-03-01]]",
            "A time away has a first and a last day",
            "2027-03-01",
        ),
    ],
)
def test_days_away_in_too_few_brackets_are_told_as_written(written, words, found):
    one = problem(read_garden_text(f"{YEAR}away = {written}\n{BED}", "g.toml"))
    assert words in one.message and one.found == found
    assert "datetime" not in str(one)


# -- raised, and no tray


def test_without_a_tray_all_ways_out_are_named():
    one = problem(want("lettuce-loose-leaf", rest=""))
    for way in ("[[tray]]", 'sow = "direct"', 'sow = "bought plants"'):
        assert way in one.message
    # Celery seed lies on the surface: it is never sown where it grows (growing guides all say so).
    assert '"direct"' not in problem(want("celery", rest="")).message


def test_a_want_of_the_wrong_year_is_told_with_the_right_one():
    text = f'{YEAR}{BED}[[want]]\ncrop = "radish"\namount = 2\nper = "week"\n'
    one = problem(read_garden_text(f"{text}from = 2026-03-12\n", "g.toml"))
    assert "Did you mean 2027-03-12?" in one.message


@pytest.mark.parametrize(
    ("units", "words"), [("metric", 'so 60 is 60 kg: write "60 kg"'), ("imperial", "60 kg, 132 lb")]
)
def test_a_bare_number_of_what_is_weighed_is_told_in_the_garden_s_units(tmp_path, units, words):
    file = tmp_path / "g.toml"
    text = f'units = "{units}"\n{YEAR}{BED}{TRAY}[[want]]\ncrop = "broccoli"\namount = 60\n'
    file.write_text(f'{text}per = "season"\n', encoding="utf-8")
    (remark,) = remarks(read_garden(file).garden, CROPS)  # 60 kg are 132.3 lb
    assert words in remark
