"""``sowplan when``: the table, the JSON that others rely on, the picture, and what it refuses."""

import json
import tomllib
from datetime import date
from pathlib import Path

import pytest
from typer.testing import CliRunner

from garden_text import bed, table, want
from sowplan.cli import app
from sowplan.problem import Exit

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"
GARDENS = sorted(EXAMPLES.glob("*/garden.toml"))
COURTYARD = str(EXAMPLES / "courtyard" / "garden.toml")
ALLOTMENT = EXAMPLES / "allotment" / "garden.toml"


def when(*words, garden=COURTYARD):
    return CliRunner().invoke(app, ["when", *words, "--garden", str(garden)])


def rows(*words, garden=COURTYARD):
    result = when(*words, "--json", garden=garden)
    assert result.exit_code == 0, result.output
    return json.loads(result.stdout)


def test_json_is_a_row_a_week_through_the_year():
    found = rows("lettuce-butterhead")
    assert len(found) == 53
    sown = [date.fromisoformat(row["sow"]) for row in found]
    assert sown[0] == date(2026, 9, 1)
    assert {(b - a).days for a, b in zip(sown, sown[1:], strict=False)} == {7}
    for row in found:
        assert set(row) >= {
            "sow", "emergence", "planting_out", "harvest_start", "harvest_end", "feasible",
        }  # fmt: skip
        dates = [row[k] for k in ("sow", "emergence", "planting_out", "harvest_start")]
        there = [date.fromisoformat(d) for d in [*dates, row["harvest_end"]] if d]
        assert there == sorted(there)
        assert isinstance(row["feasible"], bool)
        assert row["feasible"] == (row["harvest_start"] is not None) == (not row["reason"])
        if row["feasible"]:
            assert row["harvest_start_early"] <= row["harvest_start"] <= row["harvest_start_late"]
            assert sum(lot["share"] for lot in row["lots"]) <= 1 + 1e-9
            span = date.fromisoformat(row["harvest_start"]) - date.fromisoformat(row["sow"])
            assert row["days"] == span.days


@pytest.mark.parametrize("place", ["Wall box", "Fence channel"])
def test_json_has_the_other_places_and_ways_that_the_words_tell_of(place):
    """What a row says of another place is what that place's own row says, asked for by name."""
    found = rows("chard", "--every", "60", "--place", place)
    told = when("chard", "--every", "60").stdout
    assert all(place in row["places"] and row["raising"] == "in trays" for row in found)
    ways = {(tuple(one["places"]), one["raising"]) for row in found for one in row["otherwise"]}
    named = {name for names, _ in ways for name in names} | {*found[0]["places"]}
    garden = tomllib.loads(Path(COURTYARD).read_text(encoding="utf-8"))
    there = {one["name"] for kind in ("bed", "channel", "pot") for one in garden.get(kind, ())}
    assert named and named <= there
    if place == "Wall box":  # which the words are of
        assert {name for name in there if name in told.split("Ranges")[0]} <= named
        assert any(raising == "direct" for _, raising in ways)
    (other,) = {names[0] for names, raising in ways if raising == "in trays"} - {place}
    own = rows("chard", "--every", "60", "--place", other)
    for row, alone in zip(found, own, strict=True):
        (same,) = [one for one in row["otherwise"] if one["places"][0] == other]
        assert same == {key: alone[key] for key in alone if key != "otherwise"}


def test_the_step_between_rows_is_chosen():
    assert len(rows("radish", "--every", "30")) == 13


def test_sown_direct_though_it_could_be_raised():
    raised, direct = rows("chard", "--every", "90"), rows("chard", "--direct", "--every", "90")
    assert any(row["planting_out"] for row in raised)
    assert not any(row["planting_out"] for row in direct)


def test_what_is_usually_sown_where_it_grows_is_raised_where_that_is_asked_for():
    usual, raised = rows("spinach", "--every", "90"), rows("spinach", "--tray", "Shelf")
    direct = rows("spinach", "--every", "90", "--direct")
    for one, other in zip(usual, direct, strict=True):
        assert one | {"otherwise": []} == other | {"otherwise": []}
    assert any(row["planting_out"] for row in raised)
    told = when("spinach", "--every", "90").stdout
    assert "sown direct in Wall box" in told
    assert "raised in a tray (Shelf), grown in Wall box: sow" in told  # that it may be, too
    # In a channel nothing is sown: it is raised, and nothing need be asked for.
    floated = when("spinach", "--every", "90", "--place", "Fence channel").stdout
    assert "raised in a tray" in floated and "Otherwise" not in floated


def test_the_table_tells_dates_ranges_and_reasons():
    result = when("butterhead")
    assert result.exit_code == 0
    head, columns, *lines = result.stdout.splitlines()
    assert head == (
        "Butterhead lettuce at Lantern Court, raised in a tray (Shelf), grown in Wall box"
    )
    assert columns.split() == "Sow Up Plant out First harvest Until Days Sow again".split()
    assert lines[0] == "2026" and "2027" in lines
    assert any(" to " in line and " in " in line for line in lines)
    assert all(len(line) <= 80 for line in lines[:-1])


@pytest.mark.parametrize("example", [path.parent.name for path in GARDENS])
def test_every_example_garden_has_a_when(example):
    found = rows("spinach", "--every", "60", garden=EXAMPLES / example / "garden.toml")
    assert len(found) == 7


def test_a_picture_comes_beside_it(tmp_path):
    file = tmp_path / "lettuce.svg"
    result = when("butterhead", "--every", "30", "--picture", str(file))
    assert result.exit_code == 0
    assert file.read_text(encoding="utf-8").startswith("<svg")
    assert str(file) in result.stdout


def test_a_place_under_cover_is_warmer():
    garden = EXAMPLES / "northern" / "garden.toml"
    open_air, tunnel = (
        [row["feasible"] for row in rows("lettuce-loose-leaf", "--place", place, garden=garden)]
        for place in ("South wall", "Tunnel")
    )
    assert sum(tunnel) > sum(open_air)


@pytest.mark.parametrize(
    ("words", "code", "told"),
    [
        (["raddish"], Exit.WRONG, "Did you mean"),
        (["lettuce"], Exit.WRONG, "may be any of: lettuce-butterhead"),
        (["radish", "--place", "Wal box"], Exit.WRONG, "Did you mean 'Wall box'?"),
        (["radish", "--tray", "Attic"], Exit.WRONG, "There is Shelf."),
        (["radish", "--picture", "x.gif"], Exit.USAGE, ".svg"),
        (["radish", "--picture", "/no/such/folder/x.svg"], Exit.UNWRITABLE, "cannot be written"),
        (["radish", "--every", "0"], Exit.USAGE, "--every"),
    ],
)
def test_what_it_refuses(words, code, told):
    result = when(*words)
    assert result.exit_code == code
    assert told in result.stderr
    assert not result.stdout


@pytest.mark.parametrize(
    ("words", "kind"),
    [
        (["when", "radish", "-g", COURTYARD, "--place"], "place"),
        (["fit", "radish", "-g", COURTYARD, "--place"], "place"),
        (["sun", COURTYARD, "--bed"], "bed"),
    ],
)
def test_a_place_is_found_and_missed_in_the_same_words_by_every_command(words, kind):
    run = CliRunner()
    missed = run.invoke(app, [*words, "Wal box"])
    assert missed.exit_code == Exit.WRONG
    assert f"There is no {kind} 'Wal box'. Did you mean 'Wall box'?" in missed.stderr
    # A part of the name will do where no other has it.
    assert (
        run.invoke(app, [*words, " wall  BOX "]).stdout == run.invoke(app, [*words, "wall"]).stdout
    )
    several = run.invoke(app, [*words, "box"])
    assert several.exit_code == Exit.WRONG and "There are Wall box, " in several.stderr


def test_a_garden_file_that_is_not_there():
    result = when("radish", garden="nowhere.toml")
    assert result.exit_code == Exit.UNREADABLE
    assert "nowhere.toml" in result.stderr


def test_where_frost_is_the_reason_it_says_which_cover_truly_helps():
    garden = EXAMPLES / "northern" / "garden.toml"
    told = when("courgette", "--place", "South wall", "--every", "14", garden=garden).stdout
    assert "these would live: " in told or "No fleece, tunnel or glass" in told
    under = when("courgette", "--place", "Tunnel", "--every", "14", garden=garden).stdout
    assert "would live" not in under and "No fleece" not in under  # it is covered already


TWO_PLACES = """
[site]
name = "Two places"
latitude = 51.5
longitude = -0.5
timezone = "Europe/London"

[climate]
tmin = [3, 3, 4, 6, 9, 12, 14, 14, 12, 9, 6, 3]
tmax = [8, 9, 12, 15, 18, 21, 24, 23, 20, 16, 11, 9]

[season]
start = 2027-03-01
end = 2028-02-29

"""
TWO_PLACES += table("channel", name="Channel", holes=12, spacing="20 cm")
TWO_PLACES += bed("Box", "2 m", cover="tunnel")


def test_a_bed_comes_before_a_channel_though_it_is_covered(tmp_path):
    garden = tmp_path / "garden.toml"
    garden.write_text(TWO_PLACES, encoding="utf-8")
    result = when("chard", "--every", "90", garden=garden)
    assert result.exit_code == 0, result.stderr
    assert "in Box" in result.stdout.splitlines()[0]
    assert "in Channel" in when("chard", "--place", "channel", garden=garden).stdout


def test_a_place_that_does_not_suit_a_crop_is_told_as_that():
    """Garlic in a nutrient-film channel: asked for by name it is shown, with a word of warning."""
    words = ("--every", "60", "--place", "Fence channel")
    assert (
        "A plan puts no Garlic into Fence channel: it suits no channel."
        in when("garlic", *words).stdout
    )
    assert "A plan puts no" not in when("lettuce-butterhead", *words).stdout


def test_what_stays_small_is_marked_and_the_mark_explained():
    """Garlic set in spring, and spinach of long days: common practice, no source."""
    for crop, cause in (("garlic", "Small bulbs, set late"), ("spinach", "Cut young, before")):
        found = rows(crop, "--direct", garden=ALLOTMENT)
        small = [row for row in found if row["feasible"] and row["size"] < 0.9]
        assert small and any(row["size"] == 1.0 for row in found if row["feasible"])
        text = when(crop, "--direct", garden=ALLOTMENT).stdout
        assert sum(line.endswith("~") for line in text.splitlines()) == len(small)
        assert f"~ {cause}" in text
    assert "~" not in when("turnip").stdout


LAMP = "light = { hours = 14, ppfd = 180 }\n"
FOUR_KINDS = (
    bed("Lean", "2 m")
    + table("pot", name="Tubs", count=3, volume="30 l")
    + table("pot", name="Cups", count=3, volume="0.3 l")
    + table("tray", name="Sill", cells=40, temperature="18 °C") + LAMP
    + table("tray", name="Frame", cells=40)
)  # fmt: skip


def kinds_told(crop, *words, garden):
    told = when(crop, *words, garden=garden).stdout.split("\n\n")[-1]
    return " ".join(told.split())


def test_what_each_other_kind_of_place_makes_of_it_stands_below(tmp_path):
    """Each line is what the table of that place says: first and last day, and days it takes."""
    garden = tmp_path / "garden.toml"
    garden.write_text(TWO_PLACES + FOUR_KINDS, encoding="utf-8")
    told = kinds_told("courgette", garden=garden)
    able = [row for row in rows("courgette", "--place", "Lean", garden=garden) if row["feasible"]]
    days = [row["days"] for row in able]
    first, last = (_day(date.fromisoformat(able[n]["sow"])) for n in (0, -1))
    assert (
        f"Lean and Tubs: sow {first} to {last}; {min(days)} to {max(days)} days; to eat "
        f"{_day(date.fromisoformat(able[0]['harvest_start']))} to "
    ) in told
    assert "Channel" not in told  # it does not suit one
    told = kinds_told("butterhead", garden=garden)
    # Too small pots are none for it; a channel is warmer and quicker by itself; trays are told.
    assert "Cups" not in told and "Channel: sow" in told
    assert "raised in a tray (Frame), grown in Box, in a tunnel: sow" in told
    assert "raised in a tray (Sill)" not in told  # as the table is
    assert "sown direct" not in told  # what is always raised
    assert "sown direct in Box, in a tunnel: sow" in kinds_told("chard", garden=garden)
    for option in (("--place", "Lean"), ("--tray", "Sill"), ("--direct",)):
        assert "Otherwise" not in kinds_told("chard", *option, garden=garden)


def test_places_alike_are_told_as_the_same(tmp_path):
    garden = tmp_path / "garden.toml"
    garden.write_text(TWO_PLACES.replace('cover = "tunnel"', "") + FOUR_KINDS, encoding="utf-8")
    told = kinds_told("radish", garden=garden)
    assert "In Lean and Tubs it is the same." in told
    wish = want("radish", in_=["Box"])
    garden.write_text(garden.read_text(encoding="utf-8") + wish, encoding="utf-8")
    assert "Lean" not in kinds_told("radish", garden=garden)


def test_frost_is_told_with_its_share_of_years(tmp_path):
    garden = tmp_path / "garden.toml"
    for risk, words in (("10 %", "one year in 10"), ("5 %", "one year in 20")):
        text = TWO_PLACES.replace("[season]", f'frost_risk = "{risk}"\n[season]') + FOUR_KINDS
        garden.write_text(text, encoding="utf-8")
        told = when("courgette", "--place", "Lean", "--every", "14", garden=garden).stdout
        assert "frost would kill it" in told
        assert f"Where frost is told, it comes in {words} or more (frost_risk)." in told
    text = when("radish", "--every", "30").stdout
    assert ("Where frost is told" in text) == ("frost" in text.partition("Where frost is")[0])


def _day(day):
    return f"{day.day} {day:%b}"
