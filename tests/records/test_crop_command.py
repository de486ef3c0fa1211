"""``sowplan crops``: what it prints, where, and how it leaves."""

import json
import re

import pytest
from typer.testing import CliRunner

from sowplan.cli import app
from sowplan.commands.crop_card import card
from sowplan.problem import Exit
from sowplan.records.crop_table import read_crops, sources
from sowplan.records.crop_table.columns import columns

CROPS, _ = read_crops()


@pytest.fixture
def run():
    runner = CliRunner()
    return lambda *words: runner.invoke(app, ["crops", *map(str, words)])


@pytest.fixture
def own(tmp_path):
    path = tmp_path / "mine.csv"
    path.write_text("key,like,spacing_cm\nradish,,5\nmy-kale,kale,60\n", encoding="utf-8")
    return path


def test_the_list_names_every_crop_in_80_columns(run):
    result = run()
    assert result.exit_code == 0
    assert result.stderr == ""
    lines = result.stdout.splitlines()
    assert max(map(len, lines)) <= 80
    listed = [line.split()[0] for line in lines if line.startswith("  ")][1:]
    assert sorted(listed) == sorted(CROPS)


def test_in_a_pipe_it_is_plain_text(run):
    for words in ((), ("radish",), ("--columns",)):
        assert "\x1b" not in run(*words).stdout


@pytest.mark.parametrize("units", ["metric", "imperial"])
def test_every_card_is_whole_and_fits(units):
    for crop in CROPS.values():
        text = card(crop, sources(), units)
        assert max(map(len, text.splitlines())) <= 80, crop.key
        labels = "Sowing Room Harvest Weather Water Rotation Figures Light"
        for label in labels.split():
            assert f"\n{label} " in text, crop.key
        assert "None" not in text, crop.key
        assert "\xa0" not in text, crop.key
        assert (" cm" in text) == (units == "metric"), crop.key
        assert ("°F" in text) == (units == "imperial"), crop.key


def test_a_card_says_the_row_in_words(run):
    crop = CROPS["pea"]
    text = " ".join(run("pea").stdout.split())
    assert text.startswith("Garden pea (pea) Lathyrus oleraceus, Fabaceae")
    assert f"first {crop.maturity_days:g} days after sowing, at {crop.maturity_temp_c:g} °C" in text
    assert f"picked over {crop.picking_days:g} days" in text
    assert f"{crop.spacing_cm:g} cm in the row, rows {crop.row_spacing_cm:g} cm apart" in text
    assert "climbs a trellis" in text
    assert "soil, °C 5 10 15 20 25 30 days 36 14 9 8 6 6" in text
    assert "Harrington and Minges" in text
    assert text.endswith("See also: pea-shoots, sugar-pea")


def test_imperial_figures_are_the_same_ones_turned(run):
    text = " ".join(run("sweet-corn", "--units", "imperial").stdout.split())
    crop = CROPS["sweet-corn"]
    assert f"fastest at {crop.optimum_c * 1.8 + 32:.0f} °F" in text
    assert f"dies at {crop.killing_frost_c * 1.8 + 32:.0f} °F" in text
    inches = re.search(r"(\d+)(¼|½|¾)? in in the row", text)
    parts = {None: 0.0, "¼": 0.25, "½": 0.5, "¾": 0.75}
    shown = int(inches[1]) + parts[inches[2]]
    assert abs(shown - crop.spacing_cm / 2.54) <= 0.5  # to the nearest inch
    text = " ".join(run("basil", "--units", "imperial").stdout.split())
    assert "A bunch is 1.4 oz. Chilled below 50 °F it blackens." in text  # 40 g, 10 °C


def test_other_names_lead_to_the_card(run):
    assert run("zucchini").stdout == run("courgette").stdout
    assert run("Courgettes").stdout == run("courgette").stdout


def test_a_word_that_fits_several_lists_them(run):
    result = run("lettuce")
    assert result.exit_code == 0
    assert "lettuce-butterhead" in result.stdout
    assert "lettuce-romaine" in result.stdout
    assert "carrot" not in result.stdout


def test_a_group(run):
    listed = json.loads(run("--group", "herb", "--json").stdout)
    assert {row["key"] for row in listed} == {k for k, c in CROPS.items() if c.group == "herb"}
    wrong = run("--group", "hreb")
    assert wrong.exit_code == Exit.USAGE
    assert wrong.stdout == ""
    assert "Did you mean 'herb'?" in " ".join(wrong.stderr.replace("│", " ").split())


def test_json_holds_every_column_and_is_strict(run):
    def refuse(word):
        raise AssertionError(f"{word} is not JSON")

    rows = json.loads(run("--json").stdout, parse_constant=refuse)
    assert [row["key"] for row in rows] == list(CROPS)
    one = json.loads(run("tomato", "--json").stdout, parse_constant=refuse)
    assert one == next(row for row in rows if row["key"] == "tomato")
    for column in columns():
        assert one[column.name] == getattr(CROPS["tomato"], column.name)
    assert one["emergence_table_days"][:3] == [None, None, 43]


def test_an_unknown_crop_goes_to_stderr_with_a_suggestion(run):
    result = run("raddish")
    assert result.exit_code == Exit.WRONG
    assert result.stdout == ""
    assert result.stderr == "There is no crop 'raddish'. Did you mean 'radish'?\n"
    assert "'sowplan crops' lists them all" in run("qqqq").stderr


def test_one_s_own_table_is_marked_in_the_list_and_said_on_the_card(run, own):
    text = run("--with", own).stdout
    starred = [line.split()[1] for line in text.splitlines() if line.startswith("* ")][:2]
    assert starred == ["radish", "my-kale"]
    assert f"* added or changed by {own}" in text
    assert "60 cm in the row" in run("my-kale", "--with", own).stdout
    assert "own crop table" in run("radish", "--with", own).stdout


def test_a_broken_own_table_is_told_whole_and_nothing_is_shown(run, tmp_path):
    path = tmp_path / "mine.csv"
    path.write_text("key,spacing_cm\nradish,wide\nkale,9999\n", encoding="utf-8")
    result = run("radish", "--with", path)
    assert result.exit_code == Exit.WRONG
    assert result.stdout == ""
    assert f"{path}:2: crop 'radish', spacing_cm" in result.stderr
    assert f"{path}:3: crop 'kale', spacing_cm" in result.stderr
    assert run("--with", tmp_path / "none.csv").exit_code == Exit.UNREADABLE


def test_the_columns_are_the_schema(run):
    text = run("--columns").stdout
    for column in columns():
        assert f"\n{column.name}  (" in f"\n{text}"
    assert "'like'" in text
    rows = json.loads(run("--columns", "--json").stdout)
    assert [row["name"] for row in rows] == [c.name for c in columns()]


def test_the_example_in_the_help_for_one_s_own_table_is_a_table(run, tmp_path):
    text = run("--columns").stdout
    lines = text[text.index("    key,like") :].split("\n\n")[0].splitlines()
    path = tmp_path / "mine.csv"
    path.write_text("\n".join(line.strip() for line in lines), encoding="utf-8")
    crops, problems = read_crops(path)
    assert problems == []
    assert crops["red-butterhead"].spacing_cm == 22.0
