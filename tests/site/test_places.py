"""Places by name: towns, the cities of time zones, countries in words, and slips of the pen."""

from __future__ import annotations

import re
from datetime import date
from zoneinfo import available_timezones

import pytest
from typer.testing import CliRunner

from sowplan.cli import app
from sowplan.problem import Exit
from sowplan.records.garden_file import read_garden
from sowplan.records.garden_file.zones import countries
from sowplan.site.cities import rows
from sowplan.site.places import meant, places_named


def new(path, *words):
    return CliRunner().invoke(app, ["new", str(path), *words])


def said(text: str) -> str:
    return re.sub(r"[\s│]+", " ", text)


@pytest.mark.parametrize(
    ("text", "name", "country", "latitude", "longitude"),
    [
        # Degrees and minutes from the tz database's zone.tab and, for towns, any atlas.
        ("Berlin", "Berlin", "DE", 52 + 30 / 60, 13 + 22 / 60),
        ("york", "York", "GB", 53.96, -1.08),
        ("York, UK", "York", "GB", 53.96, -1.08),
        ("Hobart, Australia", "Hobart", "AU", -42.88, 147.33),
        ("SAO PAULO, br", "São Paulo", "BR", -23.55, -46.63),
        ("buenos  aires", "Buenos Aires", "AR", -34.60, -58.38),
        ("Port Moresby, Papua New Guinea", "Port Moresby", "PG", -9.5, 147.17),
        ("Whangarei", "Whangarei", "NZ", -35.72, 174.32),
        ("Eugene", "Eugene", "US", 44.05, -123.09),
        ("Portland, Maine", "Portland", "US", 43.66, -70.26),
        ("portland, ME", "Portland", "US", 43.66, -70.26),
        ("Portland, OR, USA", "Portland", "US", 45.52, -122.68),
        ("Manchester, England", "Manchester", "GB", 53.48, -2.24),
        ("York, PA", "York", "US", 39.96, -76.73),
        ("Paris, Texas", "Paris", "US", 33.66, -95.56),
        ("Newcastle-upon-Tyne", "Newcastle upon Tyne", "GB", 54.98, -1.61),
        ("St Albans, UK", "St Albans", "GB", 51.75, -0.34),
        ("Paris", "Paris", "FR", 48.86, 2.35),
        ("München", "Munich", "DE", 48.14, 11.58),
        ("Praha", "Prague", "CZ", 50.09, 14.42),
        ("Wien", "Vienna", "AT", 48.21, 16.37),
        ("Hull, England", "Kingston upon Hull", "GB", 53.74, -0.34),
        ("Wagga Wagga", "Wagga Wagga", "AU", -35.12, 147.37),
    ],
)
def test_a_place_goes_by_its_name(text, name, country, latitude, longitude):
    (place,) = places_named(text)
    assert (place.name, place.country) == (name, country)
    assert place.latitude == pytest.approx(latitude, abs=0.1)
    assert place.longitude == pytest.approx(longitude, abs=0.1)


def test_a_town_has_its_height_and_a_zones_city_none():
    (town,), (city,) = places_named("Johannesburg"), places_named("Rothera")
    assert 1500 < town.elevation_m < 1900 and city.elevation_m is None
    assert (town.timezone, city.timezone) == ("Africa/Johannesburg", "Antarctica/Rothera")


@pytest.mark.parametrize(
    ("text", "height", "timezone"),
    [  # Heights of any atlas; the towns' plains are not quite level.
        ("Toowoomba", 691, "Australia/Brisbane"),
        ("Flagstaff, Arizona", 2106, "America/Phoenix"),
        ("Bloemfontein", 1395, "Africa/Johannesburg"),
        ("Whangarei", 20, "Pacific/Auckland"),
        ("Innsbruck", 574, "Europe/Vienna"),
    ],
)
def test_heights_and_time_zones(text, height, timezone):
    (place,) = places_named(text)
    assert place.elevation_m == pytest.approx(height, abs=100) and place.timezone == timezone


def test_no_place_and_several():
    assert (
        places_named("")
        == places_named("York, FR")
        == places_named("Perth, Tasmania")
        == places_named("Lemuria")
        == ()
    )
    assert {str(p) for p in places_named("new")} == {"New Orleans, US", "New York, US"}
    assert meant("Prauge") == " Did you mean 'Prague'?"
    assert meant("Tauranag") == " Did you mean 'Tauranga'?"
    assert meant("Lemuria") == ""


def test_places_of_one_name_are_told_by_their_regions_the_largest_first():
    assert [str(p) for p in places_named("Portland")][:2] == [
        "Portland, Oregon, US",
        "Portland, Maine, US",
    ]
    assert [p.country for p in places_named("Manchester")][:2] == ["GB", "US"]


def test_a_larger_town_with_accents_is_not_taken_for_one_without():
    """Salé by Rabat has fifteen times the people of Sale near Manchester."""
    assert {p.country for p in places_named("Sale")} >= {"MA", "GB", "AU"}
    assert [p.country for p in places_named("Bogota")] == ["CO"]  # where nothing else is so written


def test_the_table_of_towns_is_whole():
    """Every row has a country, a time zone and a place on earth; none is higher than 5.2 km."""
    whole = rows()
    assert len(whole) > 30000
    zones = available_timezones()
    for name, country, _, _, north, east, height, zone, thousands, _ in whole:
        assert name and country in {*countries(), "XK"} and zone in zones and int(thousands) >= 0
        assert abs(float(north)) <= 90 and abs(float(east)) <= 180
        assert height == "" or -430 <= int(height.removeprefix("~")) <= 5200
    assert sum(row[6] == "" for row in whole) < 0.02 * len(whole)  # far from any known height


@pytest.mark.parametrize(
    "near", ["Launceston", "-41.44, 147.14", "41.44S 147.14E", "41.44°s,147.14"]
)
def test_a_new_file_near_a_town(tmp_path, near):
    path = tmp_path / "g.toml"
    done = new(path, "--near", near, "--start", "2026-09-01")
    assert done.exit_code == 0, done.output
    garden = read_garden(path).garden
    assert garden.site.latitude == pytest.approx(-41.44, abs=0.05)
    assert garden.site.longitude == pytest.approx(147.14, abs=0.05)
    assert garden.site.timezone == "Australia/Hobart"
    assert garden.climate.source.startswith("Launceston, AU")
    assert garden.season.start == date(2026, 9, 1)
    named = near == "Launceston"
    text = path.read_text(encoding="utf-8")
    assert ("The place is that of Launceston, AU" in text) == named
    assert ("place in it is that of Launceston" in said(done.stdout)) == named
    assert (garden.site.elevation_m > 0) == named


def test_a_height_worked_out_from_the_towns_around_is_told_as_a_guess(tmp_path):
    """Kyneton lies some 500 m up, higher than the towns around would have it."""
    path = tmp_path / "g.toml"
    guess = "guess from the towns around"
    told = said(new(path, "--near", "Kyneton").stdout)
    assert guess in told and guess in path.read_text(encoding="utf-8")
    for words in (("Launceston",), ("Kyneton", "--elevation", "510 m")):
        assert guess not in said(new(path, "--force", "--near", *words).stdout)
        assert guess not in path.read_text(encoding="utf-8")


def test_a_height_of_its_own_makes_the_towns_figures_colder(tmp_path):
    low, high = tmp_path / "low.toml", tmp_path / "high.toml"
    assert new(low, "--near", "Launceston").exit_code == 0
    assert new(high, "--near", "Launceston", "--elevation", "520 m").exit_code == 0
    site = read_garden(low).garden.site
    rise = 520 - site.elevation_m
    # About 6.5 °C a kilometre, ISO 2533, or somewhat less.
    for a, b in zip(
        read_garden(low).garden.climate.tmax, read_garden(high).garden.climate.tmax, strict=True
    ):
        assert 0.7 * 0.0065 * rise <= a - b <= 1.05 * 0.0065 * rise


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("--near", "Chrischurch"), "Did you mean 'Christchurch'?"),
        (("--near", "new"), "New Orleans, US; New York, US"),
        (("--near", "Lemuria, GB"), "No town 'Lemuria, GB' is known here"),
        (("--near", "Manchester"), "Manchester, England, GB; Manchester, New Hampshire, US"),
        (("--near", "Chrischurch"), '"latitude, longitude" in degrees'),
        (("--near", "Nimbin, New Zealand"), "long press"),
        (("--near", "147.1, -41.4"), "swapped"),
        (("--near", "147.1E 41.4S"), "swapped"),
        (("--near", "York", "--latitude", "3", "--longitude", "4"), "not both"),
    ],
)
def test_a_place_not_understood_writes_nothing(tmp_path, words, told):
    done = new(tmp_path / "g.toml", *words)
    assert done.exit_code == Exit.USAGE and told in said(done.stderr)
    assert list(tmp_path.iterdir()) == []


def test_asked_on_a_terminal_until_it_is_known(tmp_path, monkeypatch):
    from sowplan.commands import new as module

    class Terminal:
        @staticmethod
        def isatty():
            return True

    answers = iter(["Lemuria", "Wellington"])
    monkeypatch.setattr(module.sys, "stdin", Terminal)
    monkeypatch.setattr(module.typer, "prompt", lambda text: next(answers))
    monkeypatch.setattr(module, "_first_day", lambda start, zone: date(2026, 9, 7))
    module.new(tmp_path / "g.toml")
    assert read_garden(tmp_path / "g.toml").garden.site.timezone == "Pacific/Auckland"
    assert list(answers) == []
