"""Next year's garden file out of this year's: what moves on, what becomes a remark, what stays."""

from __future__ import annotations

import tomllib
from datetime import date
from pathlib import Path

import pytest

from sowplan.records.garden import FixedSowing, Past, Season, Where
from sowplan.records.garden_file import read_garden
from sowplan.records.garden_file.next_season import (
    StillWanted,
    next_season,
)
from sowplan.records.garden_file.next_year import next_text
from sowplan.records.garden_file.read import read_garden_text
from sowplan.records.toml.edits import Edits
from sowplan.records.years import last_later, later

NOWHERE = Where("", "", None)
TEXT = """\
# Ours, with a ☘ in a remark.
crops = "own.csv"

[site]
name = "Übergarten"   # no joke
latitude = -41.4
longitude = 147.1
timezone = "Australia/Hobart"

[climate]
tmin = [12, 12, 10, 7, 5, 3, 2, 3, 5, 7, 9, 11]
tmax = [24, 24, 22, 19, 16, 13, 12, 14, 16, 18, 20, 22]

[season]
start = "1 March 2027"   # autumn
end = 2028-02-29
away = [[2027-07-01, 2027-07-14],
        [2027-09-27, 2027-10-02]]  # the coast

[[bed]]
name = "A"
length = "3 m"
width = "1 m"
depth = "30 cm"
[[bed]]
name = "B"
count = 2
length = "2 m"
width = "1 m"
depth = "30 cm"

[[tray]]
name = "Shelf"
cells = 60

[[want]]
crop = "chard"      # always
amount = 1
per = "week"

[[want]]
crop = "mint"
amount = 1
per = "fortnight"
from = 2027-10-01
to = 2028-02-29

# Garlic as ever.
[[sowing]]
crop = "garlic"
day = 2027-05-16
number = 24   # two rows
# in the sunny bed
place = "B 1"

[[past]]
bed = "A"
family = "Solanaceae"
until = 2027-02-20
"""
OWN = "key,name\n"


@pytest.fixture
def garden(tmp_path):
    (tmp_path / "own.csv").write_text(OWN, encoding="utf-8")
    path = tmp_path / "g.toml"
    path.write_text(TEXT, encoding="utf-8")
    reading = read_garden(path)
    assert reading.problems == ()
    return reading


def changed(old: str, new: str) -> tuple[list[str], list[str]]:
    """Return the lines that are gone and those that are new."""
    before, after = old.split("\n"), new.split("\n")
    return [x for x in before if x not in after], [x for x in after if x not in before]


@pytest.mark.parametrize(
    ("start", "end", "first", "last"),
    [
        # By the calendar: what follows has no gap and no day twice.
        ((2026, 9, 1), (2027, 8, 31), (2027, 9, 1), (2028, 8, 31)),
        ((2027, 3, 1), (2028, 2, 29), (2028, 3, 1), (2029, 2, 28)),
        ((2026, 3, 1), (2027, 2, 28), (2027, 3, 1), (2028, 2, 29)),
        ((2028, 2, 29), (2029, 2, 28), (2029, 3, 1), (2030, 2, 28)),
        ((2027, 4, 1), (2027, 10, 31), (2028, 4, 1), (2028, 10, 31)),
        ((2027, 2, 6), (2028, 2, 29), (2028, 2, 6), (2029, 2, 28)),  # overlaps by three weeks
        ((2026, 9, 1), (2028, 8, 31), (2028, 9, 1), (2030, 8, 31)),  # two years
    ],
)
def test_seasons_follow_one_another(start, end, first, last):
    season = Season(date(*start), date(*end), (5,), ((date(*start), date(*start)),), 6.0, (6,))
    new = next_season(season)
    assert (new.start, new.end) == (date(*first), date(*last))
    assert (new.sow_on, new.hours_a_week, new.never_on, new.away) == ((5,), 6.0, (6,), ())


def test_leap_days():
    assert later(date(2028, 2, 29), 1) == date(2029, 3, 1)
    assert last_later(date(2028, 2, 29), 1) == date(2029, 2, 28)
    assert last_later(date(2027, 2, 28), 1) == date(2028, 2, 29)
    assert last_later(date(2026, 12, 31), 1) == date(2027, 12, 31)


def test_only_what_the_season_changes_is_changed(garden):
    text, over = next_text(TEXT, garden.garden, garden.crops, (), ())
    gone, new = changed(TEXT, text)
    assert over == garden.garden.sowings
    assert [line for line in gone if not line.startswith(("away", "     "))] == [
        'start = "1 March 2027"   # autumn', "end = 2028-02-29",
        "from = 2027-10-01", "to = 2028-02-29",
        "[[sowing]]", 'crop = "garlic"', "day = 2027-05-16", "number = 24   # two rows",
        'place = "B 1"',
    ]  # fmt: skip
    for line in (
        "start = 2028-03-01   # autumn", "end = 2029-02-28",
        "# away = [[2028-07-01, 2028-07-14],",
        "#         [2028-09-27, 2028-10-02]]  # the coast",
        "from = 2028-10-01", "to = 2029-02-28", "# [[sowing]]", "# day = 2028-05-16",
    ):  # fmt: skip
        assert line in new, line
    assert "lives for years" in text.split('crop = "mint"')[0].rsplit("\n\n", 1)[1]
    again, _ = next_text(TEXT, garden.garden, garden.crops, (), ())
    assert again == text
    made = read_garden_text(text, garden.garden.file)
    assert made.problems == ()
    before, after = tomllib.loads(TEXT), tomllib.loads(text)
    for table in ("site", "climate", "bed", "tray", "past", "crops"):
        assert before[table] == after[table]
    assert made.garden.sowings == ()


def test_what_stands_and_stood_is_put_in(garden):
    row = garden.garden.sowings[0].where
    sowings = (
        FixedSowing("chard", date(2027, 10, 30), 4, NOWHERE, "A", "direct"),
        FixedSowing("kale", date(2027, 11, 6), 9, NOWHERE, "B 2", None, date(2028, 6, 30)),
        FixedSowing("garlic", date(2027, 5, 20), 20, row, "B 1"),
    )
    past = (
        Past("A", "Solanaceae", date(2027, 11, 2), NOWHERE),
        Past("A", "Fabaceae", date(2027, 12, 1), NOWHERE),
        Past("B 1", "Fabaceae", date(2027, 12, 1), NOWHERE),
        Past("B 2", "Asteraceae", date(2027, 3, 3), NOWHERE),  # endive's, of half a year
    )
    text, over = next_text(TEXT, garden.garden, garden.crops, sowings, past)
    made = read_garden_text(text, garden.garden.file)
    assert made.problems == () and over == ()
    told = [(s.crop, s.day, s.plants, s.place, s.raising, s.until) for s in made.garden.sowings]
    assert sorted(told) == sorted((s.crop, s.day, s.plants, s.place, s.raising, s.until)
                                  for s in sowings)  # fmt: skip
    assert "number = 20   # two rows" in text and "# Garlic as ever.\n[[sowing]]" in text
    assert {(p.place, p.family, p.until) for p in made.garden.past} == {
        ("A", "Solanaceae", date(2027, 11, 2)),
        ("A", "Fabaceae", date(2027, 12, 1)),
        ("B 1", "Fabaceae", date(2027, 12, 1)),
    }
    assert text.count("[[past]]") == 2  # the gardener's own brought up to date, two beds in one


def test_the_year_after_what_was_put_in_gives_way(garden):
    sowings = (FixedSowing("kale", date(2027, 11, 6), 9, NOWHERE, "B 2"),)
    past = (
        Past("A", "Fabaceae", date(2027, 12, 1), NOWHERE),
        Past("B 1", "Brassicaceae", date(2027, 12, 1), NOWHERE),
    )
    still = (StillWanted(1, date(2028, 3, 2), date(2028, 3, 9)),)
    first, _ = next_text(TEXT, garden.garden, garden.crops, sowings, past, still, ["Fabaceae"])
    one = read_garden_text(first, garden.garden.file)
    assert one.problems == () and len(one.garden.wants) == 3
    assert (one.garden.wants[2].crop, one.garden.wants[2].start) == ("mint", date(2028, 3, 2))
    later_past = (Past("A", "Fabaceae", date(2028, 11, 30), NOWHERE),)
    second, over = next_text(first, one.garden, one.crops, (), later_past, (), ["Fabaceae"])
    two = read_garden_text(second, garden.garden.file)
    assert two.problems == () and over == () and len(two.garden.wants) == 2
    assert {(p.place, p.family, p.until) for p in two.garden.past} == {
        ("A", "Solanaceae", date(2027, 2, 20)),
        ("A", "Fabaceae", date(2028, 11, 30)),
        ("B 1", "Brassicaceae", date(2027, 12, 1)),
    }
    assert "kale" not in second and second.count("lives for years") == 1
    assert second.count("# --- from last season:") == 1
    fifth = second
    for _ in range(4):  # four years on every rest is over, and nothing heaps up
        made = read_garden_text(fifth, garden.garden.file)
        fifth, _ = next_text(fifth, made.garden, made.crops, (), ())
    assert fifth.count("[[past]]") == 1 and len(fifth.split("\n")) < len(second.split("\n"))


@pytest.mark.parametrize("unit", ["bunch", "kg", "plants"])
def test_what_is_left_of_a_want_is_written_in_its_unit(garden, unit):
    still = (StillWanted(1, date(2028, 3, 2), date(2028, 3, 9), 2.5, unit),)
    text, _ = next_text(TEXT, garden.garden, garden.crops, (), (), still)
    made = read_garden_text(text, garden.garden.file)
    assert made.problems == ()
    want = made.garden.wants[-1]
    assert (want.crop, want.amount, want.unit) == ("mint", 2.5, unit)
    assert (want.start, want.end) == (still[0].start, still[0].end)


def test_tables_written_in_one_line_are_read_and_give_way():
    inline = (
        'sowing = [{ crop = "garlic", date = 2027-05-16, number = 24, place = "A" }]\n'
        'past = [{ place = "A", family = "Fabaceae", until = 2027-01-10 }]\n'
        'want = [{ crop = "chard", amount = 1, per = "week", from = 2027-04-01, '
        "to = 2027-09-30 }]\n"
    )
    tables = TEXT[TEXT.index("[site]") : TEXT.index("[[want]]")]
    season = "season = { start = 2027-03-01, end = 2028-02-29, away = [2027-07-01, 2027-07-14] }\n"
    head, rest = tables.split("[season]")
    text = inline + season + head + rest[rest.index("[[bed]]") :]
    old = read_garden_text(text, "g.toml")
    assert old.problems == ()
    stands = (FixedSowing("garlic", date(2027, 5, 16), 24, old.garden.sowings[0].where, "A"),)
    new, _ = next_text(text, old.garden, old.crops, stands, ())
    made = read_garden_text(new, "g.toml")
    assert made.problems == () and made.garden.season.away == ()
    assert made.garden.season.start == date(2028, 3, 1)
    assert [(s.crop, s.plants) for s in made.garden.sowings] == [("garlic", 24)]
    assert [(p.place, p.family) for p in made.garden.past] == [("A", "Fabaceae")]
    assert [(w.start, w.end) for w in made.garden.wants] == [(date(2028, 4, 1), date(2028, 9, 30))]


def test_files_it_names_are_found_from_another_folder(garden, tmp_path):
    (tmp_path / "next").mkdir()
    folders = (tmp_path, tmp_path / "next")
    text, _ = next_text(TEXT, garden.garden, garden.crops, (), (), folders=folders)
    assert tomllib.loads(text)["crops"] == "../own.csv"
    assert read_garden_text(text, str(tmp_path / "next" / "n.toml")).problems == ()
    same, _ = next_text(TEXT, garden.garden, garden.crops, (), (), folders=(tmp_path, tmp_path))
    assert tomllib.loads(same)["crops"] == "own.csv"


@pytest.mark.parametrize("name", ["courtyard", "allotment", "market", "northern", "rooftop"])
def test_every_spot_of_a_file_is_where_it_is_said_to_be(name):
    path = Path(__file__).resolve().parents[2] / "examples" / name / "garden.toml"
    text = path.read_text(encoding="utf-8")
    edits, data = Edits(text), text.encode("utf-8")
    assert edits.done() == text
    for spot in edits.spots.by_path.values():
        written = spot.text.encode("utf-8")
        assert data[spot.at : spot.at + len(written)] == written
        assert data[: spot.at].count(b"\n") + 1 in range(spot.line, spot.last + 1)
