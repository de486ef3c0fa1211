"""The table of towns from dumps of GeoNames, and heights from the towns around."""

import numpy as np
import pytest

from sowplan.site.cities import rows
from sowplan.site.from_geonames import HEADING, as_text, table, with_heights

# Columns as the readme of GeoNames names them, but for the last; the small places are made up.
TOWNS = """
2158177 Melbourne M - -37.814 144.96332 P PPLA AU - 07 - - - 4917750 - 25 Australia/Melbourne
2165798 Geelong Geelong - -38.14711 144.36069 P PPL AU - 07 - - - 6500 - 19 Australia/Melbourne
2867714 Munich Munich - 48.13743 11.57549 P PPLA DE - 02 - - - 1505005 - 524 Europe/Berlin
2800000 Weiler Weiler - 48.1 11.5 P PPL DE - 02 - - - 9000 - 500 Europe/Berlin
2800001 Munich Munich - 48.2 11.6 P PPLX DE - 02 - - - 60000 - 510 Europe/Berlin
4975802 Portland Portland - 43.66147 -70.25533 P PPLA2 US - ME - - - 68408 19 -9999 America/New_York
3041563 Vella Vella - 42.50779 1.52109 P PPLC AD - 07 - - - 9000 - 1037 Europe/Andorra
5000000 Gone Gone - 40.0 -70.0 P PPLH US - ME - - - 90000 - 10 America/New_York
"""
REGIONS = "AU.07\tVictoria\tVictoria\t1\nDE.02\tBavaria\tBavaria\t2\nUS.ME\tMaine\tMaine\t3\n"
COUNTRIES = "#ISO\n" + "".join(
    "\t".join([code, *["x"] * 14, spoken, "1"]) + "\n"
    for code, spoken in (("DE", "de"), ("AU", "en-AU"), ("US", "en-US,es-US"), ("AD", "ca"))
)
NAMES = """
1 2867714 de München 1 - - -
2 2867714 fr Munich-sur-Isar 1 - - -
3 2867714 el Μόναχο 1 - - -
4 2867714 de Minga - - - -
5 2158177 en Bearbrass - - - 1
"""


@pytest.fixture
def dumps(tmp_path):
    def tabs(text):
        lines = (line.split(" ") for line in text.strip().splitlines())
        return "\n".join("\t".join("" if f == "-" else f for f in line) for line in lines) + "\n"

    (tmp_path / "cities5000.txt").write_text(tabs(TOWNS), encoding="utf-8")
    (tmp_path / "admin1CodesASCII.txt").write_text(REGIONS, encoding="utf-8")
    (tmp_path / "countryInfo.txt").write_text(COUNTRIES, encoding="utf-8")
    (tmp_path / "alternateNamesV2.txt").write_text(tabs(NAMES), encoding="utf-8")
    return tmp_path


def test_towns_large_enough_and_capitals_with_regions_heights_and_other_names(dumps):
    assert table(dumps) == [
        ["Vella", "AD", "", "", "42.51", "1.52", "1037", "Europe/Andorra", "9", ""],
        ["Geelong", "AU", "Victoria", "VIC", "-38.15", "144.36", "19", "Australia/Melbourne",
         "6", ""],
        ["Melbourne", "AU", "Victoria", "VIC", "-37.81", "144.96", "25", "Australia/Melbourne",
         "4918", "Bearbrass"],
        ["Munich", "DE", "Bavaria", "", "48.14", "11.58", "524", "Europe/Berlin", "1505",
         "München"],
        ["Portland", "US", "Maine", "ME", "43.66", "-70.26", "19", "America/New_York", "68", ""],
    ]  # fmt: skip


def test_without_other_names_there_are_none(dumps):
    (dumps / "alternateNamesV2.txt").unlink()
    assert {row[-1] for row in table(dumps)} == {""}


def test_the_file_has_a_heading_and_a_line_a_town(dumps):
    first, *others = as_text(table(dumps)).splitlines()
    assert first.split(",") == HEADING and len(others) == 5


def test_heights_from_the_towns_around_are_as_right_as_is_said():
    """Every twentieth of those known against its own: 20 m for half, 140 m for nine in ten."""
    known = [row for row in rows() if row[6] and not row[6].startswith("~")]
    blank = [row[:6] + [""] + row[7:] if n % 20 == 0 else row for n, row in enumerate(known)]
    off = [
        abs(int(found[6][1:]) - int(own[6]))
        for found, own in zip(with_heights(blank), known, strict=True)
        if found[6].startswith("~")
    ]
    assert len(off) > 1000
    assert np.median(off) <= 20 and np.quantile(off, 0.9) <= 140


def test_heights_known_stay_and_far_from_any_there_is_none():
    high = ["A", "NZ", "", "", "-45.00", "170.00", "300", "Pacific/Auckland", "9", ""]
    near = ["B", "NZ", "", "", "-45.05", "170.00", "", "Pacific/Auckland", "9", ""]
    far = ["C", "NZ", "", "", "-40.00", "175.00", "", "Pacific/Auckland", "9", ""]
    assert [row[6] for row in with_heights([high, near, far])] == ["300", "~300", ""]
