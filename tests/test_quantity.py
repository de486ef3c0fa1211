"""Quantities: against pint's own registry, and against conversions printed in NIST SP 811.

NIST Special Publication 811 (2008), Appendix B, gives the exact factors of the foot (0.3048 m), the
inch (25.4 mm), the pound (0.45359237 kg), the gallons (US 3.785412 l, imperial 4.54609 l) and the
rule t/°C = (t/°F - 32)/1.8.
"""

from __future__ import annotations

import doctest
import subprocess
import sys

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from sowplan.quantity import (
    LENGTH,
    MASS,
    VOLUME,
    QuantityError,
    bed_m,
    format_length,
    format_mass,
    format_mix,
    format_spacing,
    format_temperature,
    format_volume,
    length_m,
    mass_kg,
    showing,
    temperature_c,
    volume_l,
)

PINT_NAMES = {
    "'": "foot",
    '"': "inch",
    "l": "liter",
    "dm3": "decimeter ** 3",
    "dm³": "decimeter ** 3",
    "cm3": "centimeter ** 3",
    "cm³": "centimeter ** 3",
    "m3": "meter ** 3",
    "m³": "meter ** 3",
    "cu ft": "foot ** 3",
    "ft3": "foot ** 3",
    "ft³": "foot ** 3",
    "kilo": "kilogram",
    "kilos": "kilogram",
    "gal us": "gallon",
}


def _pint_name(unit: str) -> str:
    if unit in PINT_NAMES:
        return PINT_NAMES[unit]
    if unit.startswith("cubic "):
        return unit.removeprefix("cubic ").replace("feet", "foot").rstrip("s") + " ** 3"
    first, _, measure = unit.partition(" ")
    names = {"gal": "gallon", "gallons": "gallon", "qt": "quart", "quarts": "quart"}
    measure = names.get(measure, measure)
    if first in ("imp", "imperial", "uk"):
        return f"imperial_{measure}"
    return measure if first == "us" else unit.replace("grammes", "grams").replace("gramme", "gram")


@pytest.mark.parametrize("kind", [LENGTH, VOLUME, MASS], ids=lambda kind: kind.name)
def test_every_factor_is_pints(kind):
    registry = pint.UnitRegistry()
    for unit, size in kind.units.items():
        theirs = registry.Quantity(1.0, _pint_name(unit)).to(kind.si).magnitude
        assert size == pytest.approx(theirs, rel=1e-12), unit


@pytest.mark.parametrize(
    ("text", "metres"),
    [
        ("1.8 m", 1.8),
        ("90cm", 0.9),
        ("450 mm", 0.45),
        ("1,8 m", 1.8),
        ("0,250 m", 0.25),
        ("1 m 20 cm", 1.2),
        ("6 ft", 1.8288),
        ("6 feet", 1.8288),
        ("6'", 1.8288),
        ("6’ 3”", 1.905),
        ("6'-3\"", 1.905),
        ("6 ft. 3 in.", 1.905),
        ("6 feet, 3 inches", 1.905),
        ("6½ in", 0.1651),
        ("6 1/2 in", 0.1651),
        ("½ in", 0.0127),
        ("12 in", 0.3048),
        ("2 yd", 1.8288),
        ("−3 m", -3.0),
        (" 1.8 M ", 1.8),
    ],
)
def test_lengths(text, metres):
    assert length_m(text) == metres


@pytest.mark.parametrize(
    ("text", "part"),
    [
        ("1.8", "needs a unit"),
        ("1 m 20", "needs a unit"),
        ("1,200 m", "1.200 or 1200"),
        ("1.200,5 m", "comma"),
        ("1.8 kg", "'kg' measures a weight"),
        ("40 gal", "'gal' measures a volume"),
        ("5 foo", "'foo' is no unit of length known here"),
        ("3 in 6 ft", "such as"),
        ("long", "such as"),
        ("", "such as"),
        ("1.8.2 m", "such as"),
    ],
)
def test_what_is_no_length_is_told(text, part):
    with pytest.raises(QuantityError) as caught:
        length_m(text)
    assert part in caught.value.message
    assert caught.value.found == text


def test_a_unit_not_in_the_table_is_asked_of_the_units_library():
    # A rod is 16½ ft (NIST Handbook 44, appendix C), a stone 14 lb.
    assert length_m("1 rod") == pytest.approx(16.5 * 0.3048, rel=1e-5)
    assert mass_kg("1 stone") == pytest.approx(14 * 0.45359237)
    assert volume_l("3 hl") == pytest.approx(300.0)
    assert volume_l("1 cubic yard") == pytest.approx(27 * 28.316846592)


def test_volumes_and_which_gallon():
    assert volume_l("40 l") == volume_l("40 L") == 40.0
    assert volume_l("10 US gal") == pytest.approx(37.85412, abs=1e-5)
    assert volume_l("10 imp gal") == 45.4609
    assert volume_l("1 cu ft") == pytest.approx(28.31685, abs=1e-5)
    with pytest.raises(QuantityError, match="US gal or imp gal"):
        volume_l("10 gal")


def test_weights():
    assert mass_kg("300 g") == 0.3
    assert mass_kg("2 lb 4 oz") == pytest.approx(2.25 * 0.45359237)
    with pytest.raises(QuantityError, match="measures a length"):
        mass_kg("3 m")


@pytest.mark.parametrize(
    ("text", "unit", "celsius"),
    [
        ("18 °C", None, 18.0),
        ("18C", None, 18.0),
        ("212 F", None, 100.0),
        ("-40 °F", None, -40.0),
        ("64.4 degrees F", None, 18.0),
        ("18", "C", 18.0),
        ("50", "F", 10.0),
        ("−3,5 °C", None, -3.5),
    ],
)
def test_temperatures(text, unit, celsius):
    assert temperature_c(text, unit) == pytest.approx(celsius)


@pytest.mark.parametrize("text", ["18", "18°", "18 K", "warm", "", "°C"])
def test_a_temperature_needs_its_unit(text):
    with pytest.raises(QuantityError, match="18 °C"):
        temperature_c(text)


@pytest.mark.parametrize(
    ("text", "sides"),
    [
        ("2.4 m x 1.2 m", (2.4, 1.2)),
        ("2.4mx1.2m", (2.4, 1.2)),
        ("2.4 × 1.2 m", (2.4, 1.2)),
        ("240 cm by 1.2 m", (2.4, 1.2)),
        ("8 ft x 4 ft", (2.4384, 1.2192)),
        ("8'x4'", (2.4384, 1.2192)),
        ("6 ft 3 in X 30 in", (1.905, 0.762)),
    ],
)
def test_beds(text, sides):
    assert bed_m(text) == pytest.approx(sides)


@pytest.mark.parametrize(
    "text", ["2.4 m", "2.4 x 1.2", "0 m x 1 m", "-1 m x 1 m", "a x b", "x", ""]
)
def test_no_bed(text):
    with pytest.raises(QuantityError) as caught:
        bed_m(text)
    assert caught.value.found == text


@pytest.mark.parametrize(
    ("metres", "metric", "imperial"),
    [
        (0.013, "13 mm", "½ in"),
        (0.025, "2.5 cm", "1 in"),
        (0.3048, "30.5 cm", "12 in"),
        (0.762, "76 cm", "30 in"),
        (1.2192, "1.22 m", "4 ft"),
        (1.905, "1.91 m", "6 ft 3 in"),
        (15.24, "15.24 m", "50 ft"),
        (0.0, "0 mm", "0 in"),
    ],
)
def test_lengths_as_shown(metres, metric, imperial):
    assert format_length(metres) == metric
    assert format_length(metres, "imperial") == imperial


def test_other_quantities_as_shown():
    assert format_volume(40.0) == "40 l"
    assert format_volume(37.85411784, "imperial") == "10 US gal (37.9 l)"
    assert format_mix(56.6336931648, "imperial") == "2 cu ft (56.6 l)"
    assert format_mix(0.946352946, "imperial") == "1 US qt (946 ml)"
    assert format_mass(0.45359237, "imperial") == "1 lb"
    assert format_temperature(-0.2) == "0 °C"
    assert format_temperature(100.0, "imperial") == "212 °F"


@pytest.mark.parametrize(
    ("centimetres", "said"),
    [  # what growers with inches say for these: common practice, no source
        (4, "1½ in"),
        (5, "2 in"),
        (8, "3 in"),
        (10, "4 in"),
        (15, "6 in"),
        (20, "8 in"),
        (25, "10 in"),
        (30, "12 in"),
        (45, "18 in"),
        (40, "16 in"),
        (60, "24 in"),
        (40.005, "15¾ in"),
        (19.05, "7½ in"),
        (150, "4 ft 11 in"),
    ],
)
def test_spacings_in_inches_are_whole_unless_given_otherwise(centimetres, said):
    assert format_spacing(centimetres / 100, "imperial") == said
    assert format_spacing(centimetres / 100) == format_length(centimetres / 100)


@given(st.floats(0.001, 500.0), st.sampled_from(["metric", "imperial"]))
def test_a_length_shown_reads_back(metres, units):
    """Within half the last place shown: 0.5 mm to 5 mm, a quarter inch in imperial."""
    shown = length_m(format_length(metres, units))
    step = 0.0254 / (8 if metres < 0.3 else 4) if units == "imperial" else 0.005
    assert abs(shown - metres) <= step + 1e-9


@given(st.text(max_size=30))
def test_any_text_is_a_quantity_or_told(text):
    for read in (length_m, volume_l, mass_kg, temperature_c, bed_m):
        try:
            read(text)
        except QuantityError as error:
            assert error.message


def test_everyday_units_leave_the_units_library_alone():
    code = (
        "import sys; from sowplan.quantity import *; length_m('6 ft 3 in'); volume_l('40 l');"
        "temperature_c('18 °C'); mass_kg('2 lb'); sys.exit('pint' in sys.modules)"
    )
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0


def test_the_examples_in_the_docstrings_run():
    assert doctest.testmod(showing).failed == 0


@pytest.mark.parametrize("text", ["500 gr", "500gr", "500 grs"])
def test_gr_is_not_taken_for_grains(text):
    with pytest.raises(QuantityError, match="give it in g"):
        mass_kg(text)


# BIPM, The International System of Units (9th edition, 2019), sections 5.4.3 and 5.4.7: a space
# always stands between number and unit, between number and %; a line does not end at it.
@pytest.mark.parametrize(
    ("text", "kept"),
    [
        ("Harvest 280 g Spinach", "Harvest 280_g Spinach"),
        ("1 1/2 bunches Radish", "1_1/2_bunches Radish"),
        ("Back bed, 3 ft 6½ in to 4 ft", "Back bed, 3_ft_6½_in to 4_ft"),
        ("about 14 US gal a week", "about 14_US_gal a week"),
        ("2.4 × 0.9 m, 10 % later", "2.4_×_0.9_m, 10_% later"),
        ("9 to 20 °C", "9 to 20_°C"),
        ("until Sat 21 November 2026", "until Sat_21_November 2026"),
        ("South field 1 and South field 2", "South field 1 and South field 2"),
        ("holes 1-12 of the Rail", "holes 1-12 of the Rail"),
        ("", ""),
    ],
)
def test_a_figure_is_kept_with_what_it_counts(text, kept):
    from sowplan.quantity import kept_together

    assert kept_together(text).replace("\N{NO-BREAK SPACE}", "_") == kept
    assert kept_together(kept_together(text)) == kept_together(text)
