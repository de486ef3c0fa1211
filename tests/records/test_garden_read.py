"""What a right garden file becomes: SI units, names, days; one thing written in many ways."""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path

import pytest

from gardens import YEAR
from sowplan.records.crop_table import read_crops
from sowplan.records.garden_file import read_garden, read_garden_text

ROOT = Path(__file__).resolve().parents[2]
TWELVE = "[12, 12, 10, 7, 5, 3, 2, 4, 5, 7, 9, 11]"
HEAD = "\n" + YEAR.replace("end = 2027", "end = 2028")


def garden(text: str, head: str = HEAD):
    reading = read_garden_text(head + text, "g.toml")
    assert reading.problems == (), [str(p) for p in reading.problems]
    return reading.garden


@pytest.mark.parametrize("path", sorted(ROOT.glob("examples/*/garden.toml")), ids=str)
def test_examples_are_right(path):
    reading = read_garden(path)
    assert reading.problems == ()
    assert reading.garden.beds and reading.garden.wants and len(reading.crops) >= 45


def test_a_bed_in_si_units():
    (bed,) = garden("""
        [[bed]]
        name = "Long"
        length = "8 ft"
        width = "1.2 m"
        depth = "12 in"
        edge = "5 cm"
        reservoir = "80 l"
        bearing = "NW"
        cover = "Tunnel"
        [[bed.obstacles]]
        bearing = "west"
        distance = "3 m"
        height = "2 m"
        width = "4 m"
    """).beds
    assert (bed.length_m, bed.width_m, bed.depth_m, bed.edge_m) == (2.4384, 1.2, 0.3048, 0.05)
    assert (bed.reservoir_l, bed.bearing_deg, bed.cover) == (80.0, 315.0, "tunnel")
    (wall,) = bed.obstacles
    assert (wall.bearing_deg, wall.distance_m, wall.height_m, wall.width_m) == (270.0, 3, 2, 4)
    assert bed.where.table == "[[bed]] 1 (Long)" and bed.where.line == len(HEAD.split("\n")) + 1


def test_beds_alike_are_numbered_and_trays_alike_are_one():
    made = garden("""
        [[bed]]
        name = "Field"
        count = 3
        length = "10 m"
        width = "75 cm"
        depth = "30 cm"
        [[tray]]
        name = "Bench"
        count = 4
        cells = 128
        [[past]]
        place = "field"
        family = "cabbage family"
        until = 2026-07-01
        [[past]]
        place = "Field 2"
        family = "Compositae"
        until = 2026-07-01
        [[past]]
        places = ["Field 3", "field 1"]
        family = "potato"
        until = 2026-08-01
        [[sowing]]
        crop = "Garlic"
        date = 2026-05-01
        number = 10
        place = "field 2"
    """)
    assert [bed.name for bed in made.beds] == ["Field 1", "Field 2", "Field 3"]
    assert [(tray.name, tray.cells) for tray in made.trays] == [("Bench", 512)]
    assert [(p.place, p.family) for p in made.past] == [
        ("Field 1", "Brassicaceae"),
        ("Field 2", "Brassicaceae"),
        ("Field 3", "Brassicaceae"),
        ("Field 2", "Asteraceae"),
        ("Field 3", "Solanaceae"),
        ("Field 1", "Solanaceae"),
    ]
    assert made.sowings[0].place == "Field 2" and made.sowings[0].crop == "garlic"


def test_the_light_of_a_tray_written_two_ways():
    rows = "temperature = '66.2 °F'\n", "light = { hours = '14 h', ppfd = 200 }\n"
    for light in (rows[1], "light_hours = 14\nppfd = 200\n"):
        (tray,) = garden(f'[[tray]]\nname = "Shelf"\ncells = 84\n{rows[0]}{light}').trays
        assert tray.temperature_c == pytest.approx(19.0)
        assert (tray.light_hours, tray.ppfd) == (14.0, 200.0)


@pytest.mark.parametrize(
    ("written", "day"),
    [
        ("2027-03-05", date(2027, 3, 5)),
        ('"2027-03-05"', date(2027, 3, 5)),
        ('"2027-3-5"', date(2027, 3, 5)),
        ('"2027/03/05"', date(2027, 3, 5)),
        ('"5 Mar 2027"', date(2027, 3, 5)),
        ('"March 5, 2027"', date(2027, 3, 5)),
        ('"5th March 2027"', date(2027, 3, 5)),
        ("2027-03-05T00:00:00", date(2027, 3, 5)),
        ("2028-02-29", date(2028, 2, 29)),
    ],
)
def test_days(written, day):
    text = f'[[sowing]]\ncrop = "garlic"\ndate = {written}\nnumber = 3\n'
    assert garden(text).sowings[0].day == day


@pytest.mark.parametrize(
    ("crop", "amount", "stands_for"),
    [
        ('"radish"', "2", ("radish", 2.0, "bunch")),
        ('"Radish"', '"2 bunches"', ("radish", 2.0, "bunch")),
        ('"butterhead lettuce"', '"6 heads"', ("lettuce-butterhead", 6.0, "head")),
        ('"butterhead lettuce"', '"1/2 heads"', ("lettuce-butterhead", 0.5, "head")),
        ('"butterhead lettuce"', '"1½ heads"', ("lettuce-butterhead", 1.5, "head")),
        ('"butterhead lettuce"', '"1 1/2 kg"', ("lettuce-butterhead", 1.5, "kg")),
        ('"Lettuce butterhead"', '"6 plants"', ("lettuce-butterhead", 6.0, "plants")),
        ('"zucchini"', '"1,5 kg"', ("courgette", 1.5, "kg")),
        ('"spinach"', '"300 g"', ("spinach", 0.3, "kg")),
        ('"spinach"', '"2 lb"', ("spinach", 0.90718474, "kg")),
    ],
)
def test_wants(crop, amount, stands_for):
    tray = (
        '[[bed]]\nname="B"\nlength="2 m"\nwidth="1 m"\ndepth="30 cm"\n[[tray]]\nname="T"\ncells=9\n'
    )
    (want,) = garden(f'{tray}[[want]]\ncrop = {crop}\namount = {amount}\nper = "week"\n').wants
    assert (want.crop, pytest.approx(want.amount), want.unit) == stands_for
    assert (want.start, want.end) == (date(2026, 9, 1), date(2028, 8, 31))


@pytest.mark.parametrize(
    ("per", "days"),
    [
        ('"day"', 1),
        ('"week"', 7),
        ('"weekly"', 7),
        ('"fortnight"', 14),
        ('"2 weeks"', 14),
        ('"month"', 30),
        ("10", 10),
        ('"10 days"', 10),
        ('"season"', 731),
    ],
)
def test_how_often(per, days):
    bed = '[[bed]]\nname="B"\nlength="2 m"\nwidth="1 m"\ndepth="30 cm"\n'
    text = f'{bed}[[want]]\ncrop = "radish"\namount = 1\nper = {per}\n'
    assert garden(text).wants[0].per_days == days


@pytest.mark.parametrize(
    ("latitude", "longitude"),
    [
        ("-41.3", "147.1"),
        ('"41.3 S"', '"147.1° E"'),
        ('"41°18\'S"', '"147°06\'00\\"E"'),
        ('"-41,3"', '"147,1"'),
    ],
)
def test_degrees(latitude, longitude):
    head = HEAD.replace("-41.3", latitude).replace("147.1", longitude)
    site = garden("", head).site
    assert (site.latitude, site.longitude) == (pytest.approx(-41.3), pytest.approx(147.1))


def test_fahrenheit_and_inches():
    head = HEAD.replace(TWELVE, str([50] * 12)).replace("[24, 25, 22, 19, 16, 13, 12, 14, 16", "[")
    head = head.replace("[, 18, 20, 22]", str([68] * 12))
    head = head.replace(
        "[season]", f"temperature_unit = 'F'\nrain_unit = 'in'\nrain = {[1] * 12}\n[season]"
    )
    climate = garden("", head).climate
    assert climate.tmin == pytest.approx((10.0,) * 12)
    assert climate.tmax == pytest.approx((20.0,) * 12)
    assert climate.rain == pytest.approx((25.4,) * 12)


@pytest.mark.parametrize("written", ["0.05", "5", '"5 %"', '"5%"'])
def test_frost_risk(written):
    head = HEAD.replace("[season]", f"frost_risk = {written}\n[season]")
    assert garden("", head).climate.frost_risk == pytest.approx(0.05)


def test_frost_days_by_name():
    lines = 'last_frost = "15 October"\nfirst_frost = "Apr 20"\n[season]'
    climate = garden("", HEAD.replace("[season]", lines)).climate
    assert (climate.last_frost, climate.first_frost) == ((10, 15), (4, 20))


@pytest.mark.parametrize("line", ['last_frost = "none"', 'first_frost = "Never"'])
def test_no_frost_at_all(line):
    climate = garden("", HEAD.replace("[season]", f"{line}\n[season]")).climate
    assert climate.frost_free and climate.last_frost is None and climate.first_frost is None
    assert not garden("", HEAD).climate.frost_free


def test_frost_and_none_at_once():
    lines = 'last_frost = "none"\nfirst_frost = "04-20"\n[season]'
    reading = read_garden_text(HEAD.replace("[season]", lines), "g.toml")
    (problem,) = reading.problems
    assert problem.where == "[climate], last_frost" and "Either there is frost" in problem.message


def test_sowing_days_and_the_first_of_the_week():
    head = 'week_start = "Sunday"\nunits = "Imperial"' + HEAD + 'sow_on = "Sat, Tuesdays"\n'
    made = garden("", head)
    assert (made.season.sow_on, made.week_start, made.units) == ((1, 5), 6, "imperial")


@pytest.mark.parametrize(
    ("written", "months"),
    [
        ('"3 years"', 36),
        ('"2 seasons"', 24),
        ('"18 months"', 18),
        ('"one season"', 12),
        ('"none"', 0),
        ('"off"', 0),
        ("0", 0),
    ],
)
def test_rests_of_families(written, months):
    text = HEAD + f'[[rotation]]\nfamily = "cabbage family"\nrest = {written}\n'
    reading = read_garden_text(text, "g.toml")
    assert reading.problems == ()
    assert [(rest.family, rest.months) for rest in reading.garden.rests] == [
        ("Brassicaceae", months)
    ]
    crops, _ = read_crops()
    for key, crop in reading.crops.items():
        same = crop.family != "Brassicaceae"
        assert crop.rotation_gap_months == (crops[key].rotation_gap_months if same else months)


def test_a_rest_for_all_families_and_another_for_one():
    rests = (
        '[[rotation]]\nfamily = "all"\nrest = "none"\n'
        '[[rotation]]\nfamily = "potato"\nrest = "4 years"\n'
    )
    crops = read_garden_text(HEAD + rests, "g.toml").crops
    found = {crop.family: crop.rotation_gap_months for crop in crops.values()}
    assert found.pop("Solanaceae") == 48 and set(found.values()) == {0}


@pytest.mark.parametrize(
    ("written", "spans"),
    [
        ("[[2027-01-10, 2027-01-24]]", [("2027-01-10", "2027-01-24")]),
        ("[2027-01-10, 2027-01-24]", [("2027-01-10", "2027-01-24")]),
        (
            '[["2027-05-01", "2027-05-08"], ["24 December 2026", "2 January 2027"]]',
            [("2026-12-24", "2027-01-02"), ("2027-05-01", "2027-05-08")],
        ),
        ("[]", []),
    ],
)
def test_days_away(written, spans):
    made = garden("", HEAD + f"away = {written}\n")
    assert [(first.isoformat(), last.isoformat()) for first, last in made.season.away] == spans
    assert made.season.watered == made.season.picked == ()


@pytest.mark.parametrize(
    ("word", "watered", "picked"),
    [
        ("watered", True, False),
        ("Watered", True, False),
        ("watered and picked", True, True),
        ("picked, watered", True, True),
        ("nobody", False, False),
    ],
)
def test_days_away_that_somebody_waters_in(word, watered, picked):
    written = f'away = [[2027-05-01, 2027-05-08, "{word}"], [2027-01-10, 2027-01-24]]'
    season = garden("", f"{HEAD}{written}\n").season
    may = (date(2027, 5, 1), date(2027, 5, 8))
    assert season.away == ((date(2027, 1, 10), date(2027, 1, 24)), may)
    assert season.watered == ((may,) if watered else ())
    assert season.picked == ((may,) if picked else ())


@pytest.mark.parametrize(
    "encode",
    [
        lambda text: b"\xef\xbb\xbf" + text.encode(),
        lambda text: text.replace("\n", "\r\n").encode(),
        lambda text: text.replace("\n", "\r").encode(),
    ],
    ids=["byte order mark", "CRLF", "CR"],
)
def test_files_as_editors_save_them(encode, tmp_path):
    path = tmp_path / "garden.toml"
    path.write_bytes(encode(HEAD))
    assert read_garden(path).problems == ()


def test_lines_are_counted_the_same_with_crlf(tmp_path):
    path = tmp_path / "garden.toml"
    text = HEAD.replace("latitude = -41.3", "latitude = 123")
    path.write_bytes(text.replace("\n", "\r\n").encode())
    (problem,) = read_garden(path).problems
    assert problem.line == text.split("\n").index("latitude = 123") + 1


def test_own_crops_beside_the_file(tmp_path):
    (tmp_path / "own.csv").write_text("key,spacing_cm\nradish,5\n", encoding="utf-8")
    (tmp_path / "garden.toml").write_text('crops = "own.csv"\n' + HEAD, encoding="utf-8")
    reading = read_garden(tmp_path / "garden.toml")
    assert reading.problems == ()
    assert reading.crops["radish"].spacing_cm == 5.0

    (tmp_path / "own.csv").write_text("key,spacing_cm\nradish,wide\n", encoding="utf-8")
    (problem,) = read_garden(tmp_path / "garden.toml").problems
    assert problem.file == str(tmp_path / "own.csv") and problem.line == 2
    assert problem.found == "wide"


def test_a_record_beside_the_file(tmp_path):
    days = [date(2025, 1, 1) + timedelta(days=n) for n in range(365)]
    lines = ["date,tmin,tmax", *(f"{day},50,68" for day in days)]
    (tmp_path / "weather.csv").write_text("\n".join(lines), encoding="utf-8")
    twice = HEAD.index("tmin"), HEAD.index("[season]")
    record = 'records = "weather.csv"\ntemperature_unit = "F"\n'
    text = HEAD[: twice[0]] + record + HEAD[twice[1] :]
    (tmp_path / "garden.toml").write_text(text, encoding="utf-8")
    reading = read_garden(tmp_path / "garden.toml")
    assert reading.problems == ()
    climate = reading.garden.climate
    assert len(climate.records) == 365 and climate.tmin == ()
    assert climate.records[0].tmax == pytest.approx(20.0)

    del lines[100]
    (tmp_path / "weather.csv").write_text("\n".join(lines), encoding="utf-8")
    (problem,) = read_garden(tmp_path / "garden.toml").problems
    assert problem.file == str(tmp_path / "weather.csv") and problem.line == 101
