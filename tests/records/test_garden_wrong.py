"""Every way a garden file can be wrong: one line of a right garden changed, one problem found.

The garden below is right. A case names a line of it, what stands there instead, and the problem:
where, the text found, words of the message. The line number is that of the changed line.
"""

from __future__ import annotations

import pytest

from sowplan.problem import Exit
from sowplan.records.garden_file import read_garden_text

RIGHT = """\
units = "metric"

[site]
name = "Home"
latitude = -41.3
longitude = 147.1
timezone = "Australia/Hobart"

[climate]
tmin = [12, 12, 10, 7, 5, 3, 2, 4, 5, 7, 9, 11]
tmax = [24, 25, 22, 19, 16, 13, 12, 14, 16, 18, 20, 22]
rain = [46, 37, 40, 59, 64, 67, 80, 86, 68, 50, 54, 50]
last_frost = "10-15"
frost_risk = "10 %"

[season]
start = 2026-09-01
end = 2027-08-31
sow_on = ["Saturday"]

[[bed]]
name = "Long bed"
length = "2.4 m"
width = "1.2 m"
depth = "30 cm"
edge = "5 cm"

[[channel]]
name = "Fence channel"
holes = 24
spacing = "20 cm"

[[pot]]
name = "Door pots"
count = 6
volume = "20 l"

[[tray]]
name = "Shelf"
cells = 84
temperature = "19 °C"
light = { hours = 14, ppfd = 200 }

[[want]]
crop = "radish"
amount = 1
per = "week"
from = 2026-11-14
to = 2027-05-28

[[sowing]]
crop = "garlic"
date = 2026-09-16
number = 24
place = "Long bed"

[[past]]
place = "Long bed"
family = "Brassicaceae"
until = 2026-07-15
"""

BED, WANT = "[[bed]] 1 (Long bed)", "[[want]] 1 (radish)"
CASES = [
    # keys and tables
    ('units = "metric"', 'unit = "metric"', "unit", "unit", "Did you mean 'units'?"),
    ('units = "metric"', 'units = "metrik"', "units", "metrik", "Did you mean 'metric'?"),
    ('units = "metric"', "latitude = 3", "latitude", "latitude", "belongs in [site]"),
    ('width = "1.2 m"', 'widht = "1.2 m"', f"{BED}, widht", "widht", "Did you mean 'width'?"),
    ('edge = "5 cm"', 'units = "metric"', f"{BED}, units", "units", "at the top of the file"),
    ('edge = "5 cm"', 'sow_on = "Sunday"', f"{BED}, sow_on", "sow_on", "belongs in [season]"),
    ('edge = "5 cm"', 'colour = "red"', f"{BED}, colour", "colour", "There are name, length"),
    ("[[pot]]", "[[pots]]", "[[pots]]", "[[pots]]", "Did you mean [[pot]]?"),
    ("[[tray]]", "[tray]", "[tray]", "[tray]", "write [[tray]]"),
    ("[season]", "[[season]]", "[[season]]", "[[season]]", "write [season], once"),
    # the place
    ("latitude = -41.3", "latitude = 123", "[site], latitude", "123", "swapped?"),
    ("latitude = -41.3", "latitude = nan", "[site], latitude", "nan", "number of degrees"),
    ("latitude = -41.3", 'latitude = "41.3 E"', "[site], latitude", "41.3 E", "degrees"),
    ("latitude = -41.3", "latitude = 41.3", "[site], latitude", "41.3", "South of the equator"),
    ("longitude = 147.1", "longitude = -147.1", "[site], longitude", "-147.1", "147.1 would fit"),
    ("longitude = 147.1", "longitude = 190", "[site], longitude", "190", "at most 180"),
    (
        'timezone = "Australia/Hobart"',
        'timezone = "Australia/Hobarth"',
        "[site], timezone",
        "Australia/Hobarth",
        "Did you mean 'Australia/Hobart'?",
    ),
    (
        'timezone = "Australia/Hobart"',
        'timezone = "Hobart"',
        "[site], timezone",
        "Hobart",
        "Did you mean 'Australia/Hobart'?",
    ),
    (
        'timezone = "Australia/Hobart"',
        'timezone = "localtime"',
        "[site], timezone",
        "localtime",
        "no such time zone",
    ),
    ('name = "Home"', 'name = ""', "[site], name", "", "is empty"),
    # the climate
    (
        "tmin = [12, 12, 10, 7, 5, 3, 2, 4, 5, 7, 9, 11]",
        "tmin = [12, 12, 10, 7, 5, 3, 2, 4, 5, 7, 9]",
        "[climate], tmin",
        "[12, 12, 10, 7, 5, 3, 2, 4, 5, 7, 9]",
        "It has 11.",
    ),
    (
        "tmin = [12, 12, 10, 7, 5, 3, 2, 4, 5, 7, 9, 11]",
        "tmin = [12, 12, 10, 7, 17, 3, 2, 4, 5, 7, 9, 31]",
        "[climate], tmin",
        "17 > 16, 31 > 22",
        "tmin is above tmax in May, December",
    ),
    (
        "tmin = [12, 12, 10, 7, 5, 3, 2, 4, 5, 7, 9, 11]",
        'tmin = [12, 12, 10, 7, 5, "mild", 2, 4, 5, 7, 9, 11]',
        "[climate], tmin",
        "mild",
        "June: ",
    ),
    (
        "tmax = [24, 25, 22, 19, 16, 13, 12, 14, 16, 18, 20, 22]",
        "tmax = [75, 77, 72, 66, 61, 55, 54, 57, 61, 64, 68, 72]",
        "[climate], tmax",
        "75, 77, 72, 66, 61, 61, 64, 68, 72",
        'temperature_unit = "F"',
    ),
    (
        "tmax = [24, 25, 22, 19, 16, 13, 12, 14, 16, 18, 20, 22]",
        "tmax = [12, 14, 16, 18, 20, 22, 24, 25, 22, 19, 16, 13]",
        "[climate], tmax",
        "[12, 14, 16, 18, 20, 22, 24, 25, 22, 19, 16, 13]",
        "The warm months here are June to August",
    ),
    (
        "rain = [46, 37, 40, 59, 64, 67, 80, 86, 68, 50, 54, 50]",
        "rain = [46, 37, 40, 59, 64, 67, 80, 86, 68, 50, 54, -50]",
        "[climate], rain",
        "-50",
        "December: ",
    ),
    ('last_frost = "10-15"', 'last_frost = "15-10"', "[climate], last_frost", "15-10", "month 15"),
    ('last_frost = "10-15"', 'last_frost = "02-29"', "[climate], last_frost", "02-29", "leap"),
    ('last_frost = "10-15"', 'last_frost = "04-20"', "[climate], last_frost", "04-20", "April is"),
    (
        'last_frost = "10-15"',
        "last_frost = 2026-10-15",
        "[climate], last_frost",
        "2026-10-15",
        "Leave out the year",
    ),
    ('frost_risk = "10 %"', "frost_risk = 90", "[climate], frost_risk", "90", "at most 50 %"),
    ('frost_risk = "10 %"', 'frost_risk = "low"', "[climate], frost_risk", "low", "share of years"),
    # the season
    ("end = 2027-08-31", "end = 2026-08-31", "[season], end", "2026-08-31", "before it starts"),
    ("end = 2027-08-31", "end = 2028-09-01", "[season], end", "2028-09-01", "until 2028-08-31"),
    ("end = 2027-08-31", 'end = "31/8/2027"', "[season], end", "31/8/2027", "taken: 2027-08-31."),
    ("end = 2027-08-31", 'end = "8.9.27"', "[season], end", "8.9.27", "2027-08-09 or 2027-09-08."),
    ("end = 2027-08-31", 'end = "31/31/2027"', "[season], end", "31/31/2027", "is mistaken."),
    ("end = 2027-08-31", "end = 2027/8/9", "[season], end", "end = 2027/8/9", "end = 2027-08-09."),
    (
        "end = 2027-08-31",
        "end = 2027-13-09",
        "[season], end",
        "end = 2027-13-09",
        "year, month, day",
    ),
    (
        'length = "2.4 m"',
        "length = 8' 6\"",
        "[[bed]] 1, length",
        "length = 8' 6\"",
        '= "8 ft 6 in"',
    ),
    ('depth = "30 cm"', 'depth = 12"', "[[bed]] 1, depth", 'depth = 12"', 'depth = "12 in"'),
    ("cells = 84", "cells 84", "[[tray]] 1", "cells 84", "stands =: cells = 84."),
    ('units = "metric"', 'units = "furlongs"', "units", "furlongs", 'one of "metric", "imperial"'),
    ("end = 2027-08-31", 'end = "2027-13-01"', "[season], end", "2027-13-01", "no month 13"),
    ("end = 2027-08-31", 'end = "2027-02-29"', "[season], end", "2027-02-29", "has 28 days"),
    ("end = 2027-08-31", "end = 20270831", "[season], end", "20270831", "a day such as"),
    ("end = 2027-08-31", "end = 9999-12-31", "[season], end", "9999-12-31", "far off"),
    (
        'sow_on = ["Saturday"]',
        'sow_on = ["Saturday", "Caturday"]',
        "[season], sow_on",
        "Caturday",
        "Did you mean 'Saturday'?",
    ),
    (
        'sow_on = ["Saturday"]',
        'hours_a_week = 0\nsow_on = ["Saturday"]',
        "[season], hours_a_week",
        "0",
        "must be above 0",
    ),
    (
        'sow_on = ["Saturday"]',
        'away = [[2027-01-24, 2027-01-10]]\nsow_on = ["Saturday"]',
        "[season], away",
        "2027-01-24, 2027-01-10",
        "comes before",
    ),
    (
        'sow_on = ["Saturday"]',
        'away = [[2024-01-10, 2024-01-24]]\nsow_on = ["Saturday"]',
        "[season], away",
        "2024-01-10, 2024-01-24",
        "outside the season",
    ),
    (
        'sow_on = ["Saturday"]',
        'away = [[2026-01-10, 2028-01-24]]\nsow_on = ["Saturday"]',
        "[season], away",
        "[[2026-01-10, 2028-01-24]]",
        "Nobody is there all season",
    ),
    (
        'sow_on = ["Saturday"]',
        'away = 3\nsow_on = ["Saturday"]',
        "[season], away",
        "3",
        "a list of [first day, last day]",
    ),
    (
        'sow_on = ["Saturday"]',
        'away = ["soon", "later"]\nsow_on = ["Saturday"]',
        "[season], away",
        '["soon", "later"]',
        "a list of [first day, last day]",
    ),
    (
        'sow_on = ["Saturday"]',
        'away = [[2027-01-10, 2027-01-24, "waterd"]]\nsow_on = ["Saturday"]',
        "[season], away",
        "waterd",
        "Did you mean 'watered'?",
    ),
    (
        'sow_on = ["Saturday"]',
        'away = [[2027-01-10, 2027-01-24, true]]\nsow_on = ["Saturday"]',
        "[season], away",
        "True",
        '"watered" or "watered and picked"',
    ),
    # beds, channels, pots, trays
    ('length = "2.4 m"', "length = 2.4", f"{BED}, length", "2.4", "needs a unit, in quotes"),
    ('length = "2.4 m"', 'length = "2.4"', f"{BED}, length", "2.4", "needs a unit"),
    ('length = "2.4 m"', 'length = "-2.4 m"', f"{BED}, length", "-2.4 m", "must be above 0"),
    ('length = "2.4 m"', 'length = "24 km"', f"{BED}, length", "24 km", "at most 1000 m"),
    ('length = "2.4 m"', 'length = "2,400 m"', f"{BED}, length", "2,400 m", "2.400 or 2400"),
    ('length = "2.4 m"', 'length = "40 l"', f"{BED}, length", "40 l", "'l' measures a volume"),
    ('length = "2.4 m"', "length = true", f"{BED}, length", "true", "text in quotes"),
    ('edge = "5 cm"', 'edge = "60 cm"', f"{BED}, edge", "60 cm", "less than 60 cm"),
    ('edge = "5 cm"', 'cover = "tent"', f"{BED}, cover", "tent", '"none", "fleece"'),
    ('edge = "5 cm"', 'reservoir = "10 gal"', f"{BED}, reservoir", "10 gal", "US gal or imp gal"),
    ('edge = "5 cm"', 'bearing = "up"', f"{BED}, bearing", "up", "such as NW"),
    (
        'edge = "5 cm"',
        'obstacles = [{ bearing = 3, distance = "2 m", height = 2, width = "1 m" }]',
        f"{BED}, obstacles 1, height",
        "2",
        "needs a unit",
    ),
    ("holes = 24", "holes = 0", "[[channel]] 1 (Fence channel), holes", "0", "above 0"),
    ("holes = 24", "holes = 2.5", "[[channel]] 1 (Fence channel), holes", "2.5", "whole number"),
    ("count = 6", 'count = "six"', "[[pot]] 1 (Door pots), count", "six", "whole number"),
    (
        'name = "Door pots"',
        'name = "LONG BED"',
        "[[pot]] 1 (LONG BED), name",
        "LONG BED",
        "[[bed]] 1 (Long bed) is called LONG BED too",
    ),
    (
        'temperature = "19 °C"',
        "temperature = 66",
        "[[tray]] 1 (Shelf), temperature",
        "66",
        'write "66 °F"',
    ),
    (
        "light = { hours = 14, ppfd = 200 }",
        "light = { hours = 25, ppfd = 200 }",
        "[[tray]] 1 (Shelf), light, hours",
        "25",
        "at most 24",
    ),
    (
        "light = { hours = 14, ppfd = 200 }",
        "light = { hours = 14 }",
        "[[tray]] 1 (Shelf), light, ppfd",
        "",
        "ppfd is missing",
    ),
    (
        "light = { hours = 14, ppfd = 200 }",
        "light = 14",
        "[[tray]] 1 (Shelf), light",
        "14",
        "is written as light = {",
    ),
    (
        "light = { hours = 14, ppfd = 200 }",
        "ppfd = 200",
        "[[tray]] 1 (Shelf), ppfd",
        "200",
        "light_hours is missing beside it",
    ),
    # wants, sowings, past
    ('crop = "radish"', 'crop = "raddish"', "[[want]] 1 (raddish), crop", "raddish", "'radish'"),
    ('crop = "radish"', 'crop = "lettuce"', "[[want]] 1 (lettuce), crop", "lettuce", "one of"),
    ("amount = 1", "amount = 0", f"{WANT}, amount", "0", "above 0"),
    ("amount = 1", 'amount = "2 heads"', f"{WANT}, amount", "2 heads", "counted in bunches"),
    ("amount = 1", 'amount = "2 m"', f"{WANT}, amount", "2 m", "'m' measures a length"),
    ('per = "week"', 'per = "wek"', f"{WANT}, per", "wek", "Did you mean 'week'?"),
    ('per = "week"', "per = 0", f"{WANT}, per", "0", "above 0"),
    ("from = 2026-11-14", "from = 2026-08-14", f"{WANT}, from", "2026-08-14", "outside the season"),
    ("to = 2027-05-28", "to = 2027-09-28", f"{WANT}, to", "2027-09-28", "outside the season"),
    ("to = 2027-05-28", "to = 2026-10-28", f"{WANT}, to", "2026-10-28", "ends before it begins"),
    (
        "date = 2026-09-16",
        "date = 2027-09-16",
        "[[sowing]] 1 (garlic), date",
        "2027-09-16",
        "after the season's end",
    ),
    ("number = 24", "number = 1.5", "[[sowing]] 1 (garlic), number", "1.5", "whole number"),
    (
        'family = "Brassicaceae"',
        'family = "Brasicaceae"',
        "[[past]] 1 (Long bed), family",
        "Brasicaceae",
        "Did you mean 'Brassicaceae'?",
    ),
    (
        "until = 2026-07-15",
        "until = 2028-07-15",
        "[[past]] 1 (Long bed), until",
        "2028-07-15",
        "after the season's end",
    ),
]


def _changed(line: str, instead: str) -> tuple[str, int]:
    lines = RIGHT.split("\n")
    number = lines.index(line)
    lines[number] = instead
    return "\n".join(lines), number + 1


def test_the_garden_itself_is_right():
    assert read_garden_text(RIGHT, "g.toml").problems == ()


@pytest.mark.parametrize(("line", "instead", "where", "found", "words"), CASES)
def test_one_line_wrong(line, instead, where, found, words):
    text, number = _changed(line, instead)
    reading = read_garden_text(text, "g.toml")
    told = {(p.line, p.where, p.found) for p in reading.problems if words in p.message}
    assert (number, where, found) in told, [str(p) for p in reading.problems]
    assert reading.garden is None
    assert all(p.file == "g.toml" and p.message.strip() for p in reading.problems)
    # A misplaced or misspelt heading or key leaves a gap; anything else is one problem.
    more = [p for p in reading.problems if (p.line, p.where, p.found) != (number, where, found)]
    assert all("missing" in p.message or words in p.message for p in more), more


@pytest.mark.parametrize(
    ("line", "instead", "where", "found", "words", "code"),
    [
        (
            'place = "Long bed"',
            'place = "Longbed"',
            "[[sowing]] 1 (garlic), place",
            "Longbed",
            "Did you mean 'Long bed'?",
            Exit.WRONG,
        ),
        (
            'place = "Long bed"',
            'place = "Shelf"',
            "[[sowing]] 1 (garlic), place",
            "Shelf",
            "'Shelf' is a tray",
            Exit.WRONG,
        ),
        (
            'place = "Long bed"',
            'place = "Fence channel"',
            "[[sowing]] 1 (garlic), place",
            "Fence channel",
            "does not suit a channel",
            Exit.IMPOSSIBLE,
        ),
    ],
)
def test_the_place_of_a_sowing(line, instead, where, found, words, code):
    text, number = _changed(line, instead)
    (problem,) = read_garden_text(text, "g.toml").problems
    assert (problem.line, problem.where, problem.found) == (number, where, found)
    assert words in problem.message and problem.exit == code


def test_a_want_across_new_year_in_the_wrong_year():
    right = "to = 2027-05-28"
    (problem,) = read_garden_text(RIGHT.replace(right, "to = 2026-05-28"), "g.toml").problems
    assert problem.message.endswith("on 2026-11-14. Did you mean 2027-05-28?")
    (problem,) = read_garden_text(RIGHT.replace(right, "to = 2016-05-28"), "g.toml").problems
    assert problem.message.endswith("on 2026-11-14.")


def test_a_table_misspelt_is_not_also_missing():
    (problem,) = read_garden_text(RIGHT.replace("[climate]", "[climat]"), "g.toml").problems
    assert "mean [climate]?" in problem.message


@pytest.mark.parametrize(
    ("heading", "misspelt"),
    [
        ("[[bed]]", "[[bde]]"),
        ("[[bed]]", "[[Beds]]"),
        ("[[bed]]", "[[raised_bed]]"),
        ("[[pot]]", "[[containers]]"),
        ("[[want]]", "[[wnat]]"),
        ("[[want]]", "[[crop]]"),
        ("[season]", "[seasno]"),
        ("[site]", "[garden]"),
        ("[climate]", "[weather]"),
    ],
)
def test_below_a_misspelt_heading_everything_is_looked_into(heading, misspelt):
    """The heading is the only problem of a right table; what else is wrong in it is told too."""
    (problem,) = read_garden_text(RIGHT.replace(heading, misspelt), "g.toml").problems
    lines = RIGHT.replace(heading, misspelt).split("\n")
    assert (problem.line, problem.found) == (lines.index(misspelt) + 1, misspelt)
    assert f"Did you mean {heading}?" in problem.message
    line, instead, where = {
        "[[bed]]": ('length = "2.4 m"', 'length = "2.4"', "[[bed]] 1 (Long bed), length"),
        "[[pot]]": ("count = 6", "count = 0", "[[pot]] 1 (Door pots), count"),
        "[[want]]": ('crop = "radish"', 'crop = "raddish"', "[[want]] 1 (raddish), crop"),
        "[season]": ("end = 2027-08-31", "end = 2026-08-31", "[season], end"),
        "[site]": ("latitude = -41.3", "latitude = 141.3", "[site], latitude"),
        "[climate]": ('frost_risk = "10 %"', 'frost_risk = "110 %"', "[climate], frost_risk"),
    }[heading]
    text = RIGHT.replace(heading, misspelt).replace(line, instead)
    first, second = read_garden_text(text, "g.toml").problems
    assert first == problem
    assert second.where == where.replace(heading, misspelt)
    assert text.split("\n")[second.line - 1] == instead


def test_two_headings_for_what_stands_once_are_not_read_as_one():
    text = RIGHT + '\n[climat]\ntmin = [1]\n[[soils]]\nname = "clay"\n'
    found = {p.where: p.message for p in read_garden_text(text, "g.toml").problems}
    assert set(found) == {"[climat]", "[[soils]]"}
    assert "no such table" in found["[climat]"] and "mean" not in found["[[soils]]"]


def test_the_value_of_a_misspelt_key_is_looked_at():
    text = RIGHT.replace('depth = "30 cm"', 'dept = "30 parsecs"')
    one, two = read_garden_text(text, "g.toml").problems
    assert one.line == two.line and one.where == "[[bed]] 1 (Long bed), dept"
    assert "mean 'depth'?" in one.message
    assert (two.where, two.found) == ("[[bed]] 1 (Long bed), depth", "30 parsecs")


def test_a_want_in_another_year_is_one_problem():
    text = RIGHT.replace("from = 2026-11-14", "from = 2029-11-14")
    text = text.replace("to = 2027-05-28", "to = 2030-05-28")
    (problem,) = read_garden_text(text, "g.toml").problems
    assert "outside the season" in problem.message and problem.found == "2029-11-14"


def test_a_want_whose_days_are_exchanged():
    text = RIGHT.replace("from = 2026-11-14", "from = 2027-05-28x").replace(
        "to = 2027-05-28", "to = 2026-11-14"
    )
    (problem,) = read_garden_text(text.replace("28x", "28"), "g.toml").problems
    assert problem.message.endswith("on 2027-05-28. Are from and to exchanged?")


def test_a_text_that_is_no_garden_file_at_all_is_told_where_to_begin():
    text = "# My garden\n\nBed 1: 2.4 m by 1.2 m\nI want 2 lettuces a week.\n"
    first, *lines = read_garden_text(text, "g.toml").problems
    assert [p.line for p in lines] == [3, 4]
    assert "sowplan new" in first.message and first.line is None


def test_a_file_that_is_named_and_not_there_says_where_it_is_named(tmp_path):
    text = RIGHT.replace('units = "metric"', 'units = "metric"\ncrops = "mine.csv"')
    (problem,) = read_garden_text(text, str(tmp_path / "g.toml")).problems
    assert problem.file == str(tmp_path / "mine.csv") and "no such file" in problem.message
    assert problem.where == f"named in {tmp_path / 'g.toml'}:2, crops"


def test_a_table_that_is_missing_is_told_with_its_keys():
    text = RIGHT[: RIGHT.index("[site]")] + RIGHT[RIGHT.index("[climate]") :]
    (problem,) = read_garden_text(text, "g.toml").problems
    assert "Add [site] and below it, a line each, name = " in problem.message
    assert "timezone = " in problem.message and "elevation" not in problem.message


def test_feet_and_inches_as_they_are_spoken_of_mean_units():
    for word in ("feet", "US"):
        text = RIGHT.replace('units = "metric"', f'units = "{word}"')
        assert read_garden_text(text, "g.toml").garden.units == "imperial"
        wrong = text.replace('edge = "5 cm"', 'edge = "40 ft"')  # at most 10 m: 32 ft and 9.7 in
        assert "32 ft 9" in read_garden_text(wrong, "g.toml").problems[0].message


def test_a_climate_given_twice():
    text = RIGHT.replace("[season]", 'records = "nowhere.csv"\n\n[season]')
    line = text.split("\n").index('records = "nowhere.csv"') + 1
    problems = read_garden_text(text, "no/g.toml").problems
    assert ("no/g.toml", line, "[climate], records") in [
        (p.file, p.line, p.where) for p in problems
    ]
    assert any("given twice" in p.message for p in problems)
    assert any(p.file == "no/nowhere.csv" and "no such file" in p.message for p in problems)


def test_a_climate_left_out():
    text = "\n".join(line for line in RIGHT.split("\n") if not line.startswith(("tmin", "tmax")))
    (problem,) = read_garden_text(text, "g.toml").problems
    assert problem.where == "[climate]" and "twelve tmin" in problem.message


def test_a_name_that_is_a_table_and_a_value():
    (problem,) = read_garden_text("bed = 3\n" + RIGHT, "g.toml").problems
    assert (problem.line, problem.found) == (1, "bed = 3")
    assert "bed is a table, [[bed]] on line 22" in problem.message


def test_a_raised_crop_and_no_tray():
    text = RIGHT.replace('crop = "radish"', 'crop = "lettuce-butterhead"')
    start, end = text.index("[[tray]]"), text.index("[[want]]")
    (problem,) = read_garden_text(text[:start] + text[end:], "g.toml").problems
    assert problem.exit == Exit.IMPOSSIBLE
    assert problem.where == "[[want]] 1 (lettuce-butterhead), crop"
    assert "the garden has no tray" in problem.message


def test_wants_and_nowhere_to_grow():
    text = RIGHT[: RIGHT.index("[[bed]]")] + '[[want]]\ncrop = "radish"\namount = 1\nper = 7\n'
    (problem,) = read_garden_text(text, "g.toml").problems
    assert problem.exit == Exit.IMPOSSIBLE
    assert problem.line == text.split("\n").index("[[want]]") + 1


@pytest.mark.parametrize("table", ["[site]", "[climate]", "[season]"])
def test_a_table_left_out(table):
    start = RIGHT.index(table)
    end = RIGHT.index("\n[", start)
    (problem,) = read_garden_text(RIGHT[:start] + RIGHT[end:], "g.toml").problems
    assert problem.where == table and problem.line is None
    assert "is missing" in problem.message


@pytest.mark.parametrize(
    ("line", "where"),
    [
        ('name = "Home"', "[site], name"),
        ("latitude = -41.3", "[site], latitude"),
        ("start = 2026-09-01", "[season], start"),
        ('depth = "30 cm"', "[[bed]] 1 (Long bed), depth"),
        ('spacing = "20 cm"', "[[channel]] 1 (Fence channel), spacing"),
        ('volume = "20 l"', "[[pot]] 1 (Door pots), volume"),
        ("cells = 84", "[[tray]] 1 (Shelf), cells"),
        ("amount = 1", "[[want]] 1 (radish), amount"),
        ("number = 24", "[[sowing]] 1 (garlic), number"),
        ("until = 2026-07-15", "[[past]] 1 (Long bed), until"),
        ("tmax = [24, 25, 22, 19, 16, 13, 12, 14, 16, 18, 20, 22]", "[climate], tmax"),
    ],
)
def test_a_key_left_out_is_missing_at_its_heading(line, where):
    text = RIGHT.replace(line + "\n", "")
    (problem,) = read_garden_text(text, "g.toml").problems
    assert problem.where == where and problem.found == ""
    heading = where.split(" ")[0].split(",")[0]
    assert text.split("\n")[problem.line - 1] == heading
    assert "is missing" in problem.message


def test_everything_at_once():
    text = RIGHT
    for line, instead in (
        ("latitude = -41.3", "latitude = 123"),
        ('length = "2.4 m"', "length = 2.4"),
        ("holes = 24", "holes = none"),
        ('crop = "radish"', 'crop = "raddish"'),
        ("until = 2026-07-15", "until = 2026-7-15"),
    ):
        text = text.replace(line, instead)
    problems = read_garden_text(text, "g.toml").problems
    lines = [text.split("\n")[p.line - 1] for p in problems]
    for wrong in (
        "latitude = 123",
        "length = 2.4",
        "holes = none",
        'crop = "raddish"',
        "until = 2026-7-15",
    ):
        assert wrong in lines
    assert [p.line for p in problems] == sorted(p.line for p in problems)


@pytest.mark.parametrize(
    ("rest", "key", "found", "words"),
    [
        ('family = "pea"\nrest = "soon"', "rest", "soon", 'such as "3 years"'),
        ('family = "pea"\nrest = 3', "rest", "3", 'such as "3 years"'),
        ('family = "pea"\nrest = "40 years"', "rest", "40 years", "at most 120 months"),
        ('family = "stone"\nrest = "2 years"', "family", "stone", "no such family"),
        (
            'family = "pea"\nrest = "none"\n[[rotation]]\nfamily = "bean"\nrest = "none"',
            "family",
            "bean",
            "already",
        ),
    ],
)
def test_wrong_rests(rest, key, found, words):
    reading = read_garden_text(f"{RIGHT}\n[[rotation]]\n{rest}\n", "g.toml")
    (problem,) = reading.problems
    assert problem.where.endswith(f", {key}") and problem.where.startswith("[[rotation]] ")
    assert problem.found == found and words in problem.message


def test_a_remark_behind_a_value_is_no_part_of_what_is_found():
    text = RIGHT.replace("amount = 1\n", "amount = -1 # two heads a week\n")
    text = text.replace("cells = 84\n", "cells = 84.5  # a half\n")
    found = read_garden_text(text, "garden.toml").problems
    assert sorted(problem.found for problem in found) == ["-1", "84.5"]


SEVERAL = {
    "lettuce": "lettuce-butterhead, lettuce-crisphead",
    "Allium sativum": "garlic, garlic-northern",
}


@pytest.mark.parametrize("name", ["butterhead", "silverbeet", "zucchini", *SEVERAL])
def test_a_crop_goes_by_the_names_that_fit_takes(name):
    """What `fit` and `when` understand, a garden file does; of several meant, all are named."""
    from sowplan.commands.named import crop_named
    from sowplan.problem import Problem
    from sowplan.records.crop_table import read_crops

    known, _ = read_crops()
    meant = crop_named(name, known)
    reading = read_garden_text(RIGHT.replace('crop = "radish"', f'crop = "{name}"'), "garden.toml")
    found = [p for p in reading.problems if p.where.endswith(", crop")]
    if name in SEVERAL:
        (problem,) = found
        assert isinstance(meant, Problem) and SEVERAL[name] in problem.message
    else:
        assert not found
        assert reading.garden is None or reading.garden.wants[0].crop == meant.key


def test_a_name_in_part_is_the_one_crop_that_has_it():
    text = RIGHT.replace('crop = "radish"', 'crop = "butterhead"')
    garden = read_garden_text(text, "garden.toml").garden
    assert garden is not None and garden.wants[0].crop == "lettuce-butterhead"


def test_what_is_wrong_in_quotes_as_well_is_told_once():
    """``amount = two``: that it wants quotes would be no help, as "two" is no amount either."""
    text = RIGHT.replace("amount = 1\n", "amount = two\n")
    (problem,) = read_garden_text(text, "garden.toml").problems
    assert problem.where.endswith(", amount") and "300 g" in problem.message
    text = RIGHT.replace("cells = 84\n", "cells = 84 cells\n")
    (problem,) = read_garden_text(text, "garden.toml").problems
    assert problem.where.endswith(", cells") and "quotes" not in problem.message
