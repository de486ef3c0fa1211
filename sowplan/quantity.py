"""Lengths, volumes, temperatures and weights: from a gardener's text to SI, and back for display.

The units people write every day stand here with their exact factors, so that a
file is checked at once; any other unit of the right kind (yards, cubic feet,
stone, decilitres) is asked of pint, whose import alone takes longer than a
whole check. The tests hold every factor of the table against pint's.

Nothing here depends on a locale: the decimal sign shown is always the point.
"""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

Units = Literal["metric", "imperial"]

# Exact by definition: the international yard and pound of 1959, the US gallon of
# 231 cubic inches, the imperial gallon of 4.54609 litres.
_FOOT = 0.3048
_POUND = 0.45359237
_US_GALLON = 3.785411784
_IMPERIAL_GALLON = 4.54609


@dataclass(frozen=True)
class Kind:
    """A kind of quantity: its everyday units, and how it is asked for.

    ``units`` maps a unit as written (lower case, single blanks) to its size in the SI-based unit
    ``si``; ``unclear`` maps a unit that has two sizes to the ways of saying which.
    """

    name: str
    si: str
    dimension: str  # as pint writes it
    to_si: float  # from pint's base unit of this dimension to ``si``
    example: str
    units: dict[str, float]
    unclear: dict[str, tuple[str, ...]]


def _spread(*entries: tuple[float, str]) -> dict[str, float]:
    return {name: size for size, names in entries for name in names.split(", ")}


LENGTH = Kind(
    name="length",
    si="m",
    dimension="[length]",
    to_si=1.0,
    example='"1.8 m", "90 cm" or "6 ft"',
    units=_spread(
        (1.0, "m, metre, metres, meter, meters"),
        (0.01, "cm, centimetre, centimetres, centimeter, centimeters"),
        (0.001, "mm, millimetre, millimetres, millimeter, millimeters"),
        (_FOOT, "ft, foot, feet, '"),
        (_FOOT / 12, 'in, inch, inches, "'),
        (_FOOT * 3, "yd, yard, yards"),
    ),
    unclear={},
)
VOLUME = Kind(
    name="volume",
    si="l",
    dimension="[length] ** 3",
    to_si=1000.0,
    example='"40 l" or "10 US gal"',
    units=_spread(
        (1.0, "l, litre, litres, liter, liters, dm3, dm³"),
        (0.001, "ml, millilitre, millilitres, milliliter, milliliters, cm3, cm³"),
        (1000.0, "m3, m³, cubic metre, cubic metres, cubic meter, cubic meters"),
        (_FOOT**3 * 1000.0, "cu ft, ft3, ft³, cubic foot, cubic feet"),
        (_US_GALLON, "us gal, us gallon, us gallons, gal us"),
        (_US_GALLON / 4, "us qt, us quart, us quarts"),
        (_IMPERIAL_GALLON, "imp gal, imperial gallon, imperial gallons, uk gal, uk gallons"),
        (_IMPERIAL_GALLON / 4, "imp qt, imperial quart, imperial quarts"),
    ),
    unclear={
        **dict.fromkeys(("gal", "gallon", "gallons", "gals"), ("US gal", "imp gal")),
        **dict.fromkeys(("qt", "quart", "quarts"), ("US qt", "imp qt")),
        **dict.fromkeys(("pt", "pint", "pints", "fl oz", "bushel", "bushels", "bu"), ("litres",)),
    },
)
MASS = Kind(
    name="weight",
    si="kg",
    dimension="[mass]",
    to_si=1.0,
    example='"1.5 kg", "300 g" or "2 lb"',
    units=_spread(
        (1.0, "kg, kilo, kilos, kilogram, kilograms, kilogramme, kilogrammes"),
        (0.001, "g, gram, grams, gramme, grammes"),
        (_POUND, "lb, lbs, pound, pounds"),
        (_POUND / 16, "oz, ounce, ounces"),
    ),
    unclear={"ton": ("kg",), "tons": ("kg",)},
)


class QuantityError(ValueError):
    """A text that is no quantity of the kind asked for.

    Attributes
    ----------
    found : str
        The text as it was given.
    message : str
        What is wrong with it and what would be right.
    """

    def __init__(self, found: str, message: str) -> None:
        super().__init__(f"{message} (found: {found})")
        self.found = found
        self.message = message


# --- reading ----------------------------------------------------------------


def length_m(text: str) -> float:
    """Read a length.

    Parameters
    ----------
    text : str
        ``"1.8 m"``, ``"90 cm"``, ``"6 ft 3 in"``, ``"1,8 m"``; a unit is required.

    Returns
    -------
    float
        The length [m]. It may be negative or zero: what is allowed is for the caller to say.

    Raises
    ------
    QuantityError
        If the text is not a length.
    """
    return _read(text, LENGTH)


def volume_l(text: str) -> float:
    """Read a volume [l] such as ``"40 l"`` or ``"10 US gal"``; raises `QuantityError`."""
    return _read(text, VOLUME)


def mass_kg(text: str) -> float:
    """Read a weight [kg] such as ``"300 g"`` or ``"2 lb 4 oz"``; raises `QuantityError`."""
    return _read(text, MASS)


def temperature_c(text: str, unit: Literal["C", "F"] | None = None) -> float:
    """Read a temperature.

    Parameters
    ----------
    text : str
        ``"18 °C"``, ``"64 F"``, ``"-3 degrees C"``.
    unit : "C", "F" or None
        The unit of a number without one; None asks for a unit.

    Returns
    -------
    float
        The temperature [°C].

    Raises
    ------
    QuantityError
        If the text is not a temperature.
    """
    right = 'Write a temperature with its unit, such as "18 °C" or "64 °F".'
    match = re.fullmatch(r"([^A-Za-z°]*)(.*)", _tidy(text))
    assert match is not None  # both groups may be empty
    value = _number(match[1], text, right)
    word = re.sub(r"degrees?|deg\b|[°.\s]", "", match[2].casefold())
    scale = {"c": "C", "celsius": "C", "f": "F", "fahrenheit": "F", "": unit}.get(word)
    if scale is None:
        raise QuantityError(text, right)
    return value if scale == "C" else fahrenheit_to_c(value)


def fahrenheit_to_c(value: float) -> float:
    """Return a temperature given in °F in °C."""
    return (value - 32.0) / 1.8


_BETWEEN_SIDES = re.compile(r"\s*(?:×|\*|\bby\b|(?<=[\d\s\"'a-z.])x(?=[\s\d.]))\s*", re.I)


def bed_m(text: str) -> tuple[float, float]:
    """Read the two sides of a bed.

    Parameters
    ----------
    text : str
        ``"2.4 m x 1.2 m"``, ``"8 ft by 4 ft"``, ``"2.4 × 1.2 m"`` (the unit then holds for both).

    Returns
    -------
    tuple of float
        Length and width [m], in the order given.

    Raises
    ------
    QuantityError
        If the text is not two lengths above zero.
    """
    right = 'Write length and width, such as "2.4 m x 1.2 m" or "8 ft x 4 ft".'
    sides = re.split(
        r"\s*(?:×|\*|\bby\b|(?<=[\d\s\"'a-z.])x(?=[\s\d.]))\s*", _tidy(text), flags=re.I
    )
    if len(sides) != 2 or not all(sides):
        raise QuantityError(text, right)
    if re.fullmatch(r"[\d.,\s/]+", sides[0]):
        unit = re.search(r"[a-z'\"]+\.?$", sides[1], flags=re.I)
        sides[0] += f" {unit[0]}" if unit else ""
    try:
        a, b = (length_m(side) for side in sides)
    except QuantityError as error:
        raise QuantityError(text, error.message) from None
    if min(a, b) <= 0:
        raise QuantityError(text, f"A bed is longer and wider than nothing. {right}")
    return a, b


# What people type and what it stands for: primes and curly quotes, minus signs,
# vulgar fractions, blanks of other widths.
_ALIKE = str.maketrans(
    {"′": "'", "’": "'", "‘": "'", "″": '"', "”": '"', "“": '"', "−": "-", "–": "-", "º": "°"}
)
_NUMBER = re.compile(r"[+-]?\s*(?:\d+\s+\d+\s*/\s*\d+|\d+\s*/\s*\d+|[\d.,]*\d[\d.,]*)")


def _tidy(text: str) -> str:
    """Return the text with one way of writing quotes, minus signs, fractions and blanks."""
    spaced = re.sub(r"(?<=\d)(?=[¼-¾⅐-⅞])", " ", text.translate(_ALIKE))
    plain = "".join(
        unicodedata.normalize("NFKC", c) if c in "¼½¾" or "⅐" <= c <= "⅞" else c for c in spaced
    )
    joined = re.sub(r"(?<=['a-z]) ?- ?(?=\d)", " ", plain)  # 5'-6"
    return re.sub(r"\s+", " ", joined.replace("⁄", "/").replace("''", '"')).strip()


def _number(text: str, whole: str, right: str) -> float:
    """Read a plain number: a decimal point or comma, or a fraction."""
    digits = text.strip()
    sign = -1.0 if digits.startswith("-") else 1.0
    digits = digits.lstrip("+-").strip()
    match = re.fullmatch(r"(?:(\d+) )?(\d+) ?/ ?(\d+)", digits)
    if match and int(match[3]):
        return sign * float(int(match[1] or 0) + Fraction(int(match[2]), int(match[3])))
    if "," in digits:
        if digits.count(",") > 1 or "." in digits or re.fullmatch(r"[1-9]\d*,\d{3}", digits):
            one = digits.count(",") == 1 and "." not in digits
            ways = f"{digits.replace(',', '.')} or {digits.replace(',', '')}" if one else "1200.5"
            raise QuantityError(whole, f"The comma can be read in two ways: write {ways}.")
        digits = digits.replace(",", ".")
    if not re.fullmatch(r"\d{1,15}\.?\d{0,15}|\.\d{1,15}", digits):
        raise QuantityError(whole, right)
    return sign * float(digits)


def _read(text: str, kind: Kind) -> float:
    right = f"Write a {kind.name} with its unit, such as {kind.example}."
    rest, total, last = _tidy(text), 0.0, float("inf")
    if not rest:
        raise QuantityError(text, right)
    negative = rest.startswith("-")
    while rest:
        number = _NUMBER.match(rest)
        if number is None or (total and number[0][0] in "+-"):
            raise QuantityError(text, right)
        value = _number(number[0], text, right)
        rest = rest[number.end() :].lstrip()
        unit = re.match(r"[^\d+-]*(?:(?<=[a-z])[23]\b)?", rest, flags=re.I)
        assert unit is not None  # it may be empty
        size = _unit_size(unit[0], text, kind)
        if size >= last:
            raise QuantityError(text, right)
        total, last = total + abs(value) * size, size
        rest = rest[unit.end() :].lstrip()
    # Twelve decimals hold any length in full and drop the dust of binary factors (6 ft = 1.8288 m).
    return round(-total if negative else total, 12)


def _unit_size(written: str, text: str, kind: Kind) -> float:
    """Return the size of a unit in the kind's SI-based unit."""
    name = " ".join(written.replace(".", " ").replace(",", " ").split())
    lower = name.casefold()
    right = f"Write a {kind.name} with its unit, such as {kind.example}."
    if not name:
        raise QuantityError(text, f"A {kind.name} needs a unit: write {kind.example}.")
    if lower in kind.units:
        return kind.units[lower]
    if lower in kind.unclear:
        ways = " or ".join(kind.unclear[lower])
        raise QuantityError(text, f"'{name}' has more than one size: give it in {ways}.")
    for other in (LENGTH, VOLUME, MASS):
        if other is not kind and (lower in other.units or lower in other.unclear):
            raise QuantityError(text, f"'{name}' measures a {other.name}. {right}")
    size = _size_by_pint(name, kind)
    if size is None:
        raise QuantityError(text, f"'{name}' is no unit of {kind.name} known here. {right}")
    return size


def _size_by_pint(name: str, kind: Kind) -> float | None:
    """Ask the units library about a unit that is not an everyday one; None where it is unknown."""
    words = re.sub(r"\b(?:cubic|cu) (\w+)", r"\1^3", name)
    if not re.fullmatch(r"[A-Za-zµ]{2,24}(?:\^3)?", words):
        return None
    import pint

    registry = pint.get_application_registry()
    try:
        unit = registry.Quantity(1.0, registry.parse_units(words))
        if str(unit.dimensionality) != kind.dimension:
            return None
        return float(unit.to_base_units().magnitude) * kind.to_si
    except (pint.PintError, AttributeError, ValueError, TypeError, OverflowError):
        return None


# --- showing ----------------------------------------------------------------

_QUARTERS = {0: "", 1: "¼", 2: "½", 3: "¾"}


def format_length(metres: float, units: Units = "metric") -> str:
    """Show a length.

    Metric: millimetres below 2 cm, centimetres below 1 m, metres from there, to the nearest
    millimetre, 5 mm and centimetre. Imperial: inches to the nearest quarter below a foot and to
    the nearest half below 3 ft; from there feet and inches, to the nearest half inch.

    Examples
    --------
    >>> format_length(0.35), format_length(1.8), format_length(0.013)
    ('35 cm', '1.8 m', '13 mm')
    >>> format_length(1.905, "imperial"), format_length(0.3, "imperial")
    ('6 ft 3 in', '11¾ in')
    """
    if units == "imperial":
        return _feet_and_inches(metres)
    size = abs(metres)
    if size >= 0.9975:
        return f"{_shorn(metres, 2)} m"
    if size >= 0.0195:
        return f"{_shorn(round(metres * 200) / 2, 1)} cm"
    return f"{_shorn(metres * 1000, 0)} mm"


def _feet_and_inches(metres: float) -> str:
    sign, inches = ("-" if metres < 0 else ""), abs(metres) / _FOOT * 12
    step = 4 if inches < 12 else 2
    quarters = round(inches * step) * (4 // step)
    feet, quarters = divmod(quarters, 48) if quarters >= 144 else (0, quarters)
    whole, part = divmod(quarters, 4)
    parts = [f"{feet} ft"] if feet else []
    if whole or part or not feet:
        parts.append(f"{whole if whole or not part else ''}{_QUARTERS[part]} in")
    return sign + " ".join(parts)


def format_volume(litres: float, units: Units = "metric") -> str:
    """Show a volume: millilitres, litres or cubic metres; or US quarts, gallons and cubic feet.

    Whoever reads inches buys mix and water in US measures, or else in litres; the gallon shown is
    therefore the US one, and says so.

    Examples
    --------
    >>> format_volume(0.25), format_volume(40.0), format_volume(40.0, "imperial")
    ('250 ml', '40 l', '10.6 US gal')
    """
    if units == "imperial":
        if abs(litres) >= 0.95 * _US_GALLON:
            return f"{_three_figures(litres / _US_GALLON)} US gal"
        return f"{_three_figures(litres / _US_GALLON * 4)} US qt"
    if abs(litres) >= 9999.5:
        return f"{_three_figures(litres / 1000)} m³"
    if abs(litres) >= 0.9995:
        return f"{_three_figures(litres)} l"
    return f"{_shorn(litres * 1000, 0)} ml"


def format_mix(litres: float, units: Units = "metric") -> str:
    """Show a volume of growing mix: litres or cubic metres; or cubic feet.

    Examples
    --------
    >>> format_mix(700.0), format_mix(700.0, "imperial")
    ('700 l', '24.7 cu ft')
    """
    if units == "imperial":
        return f"{_three_figures(litres / (_FOOT**3 * 1000))} cu ft"
    return format_volume(litres)


def format_mass(kilograms: float, units: Units = "metric") -> str:
    """Show a weight: grams below 1 kg; or ounces below 1 lb.

    Examples
    --------
    >>> format_mass(0.3), format_mass(1.5), format_mass(1.5, "imperial")
    ('300 g', '1.5 kg', '3.31 lb')
    """
    if units == "imperial":
        pounds = kilograms / _POUND
        if abs(pounds) >= 0.99:
            return f"{_three_figures(pounds)} lb"
        return f"{_three_figures(pounds * 16)} oz"
    if abs(kilograms) >= 0.9995:
        return f"{_three_figures(kilograms)} kg"
    return f"{_three_figures(kilograms * 1000)} g"


def format_temperature(celsius: float, units: Units = "metric", digits: int = 0) -> str:
    """Show a temperature in °C or °F.

    Examples
    --------
    >>> format_temperature(18.0), format_temperature(18.0, "imperial")
    ('18 °C', '64 °F')
    """
    if units == "imperial":
        return f"{_shorn(celsius * 1.8 + 32.0, digits)} °F"
    return f"{_shorn(celsius, digits)} °C"


def format_area(square_metres: float, units: Units = "metric") -> str:
    """Show an area in m² or square feet.

    Examples
    --------
    >>> format_area(2.88), format_area(2.88, "imperial")
    ('2.88 m²', '31 sq ft')
    """
    if units == "imperial":
        return f"{_three_figures(square_metres / _FOOT**2)} sq ft"
    return f"{_three_figures(square_metres)} m²"


def format_rain(millimetres: float, units: Units = "metric") -> str:
    """Show a depth of rain or water in mm, or in inches.

    Examples
    --------
    >>> format_rain(12.4), format_rain(12.7, "imperial")
    ('12 mm', '0.5 in')
    """
    if units == "imperial":
        return f"{_shorn(millimetres / (_FOOT / 12 * 1000), 2)} in"
    return f"{_shorn(millimetres, 0)} mm"


def _shorn(value: float, digits: int) -> str:
    """Return a number without trailing zeros, a minus zero as zero."""
    text = f"{value:.{digits}f}"
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return "0" if text == "-0" else text


def _three_figures(value: float) -> str:
    """Return a number to three figures; from a thousand up, whole."""
    digits = 2 if abs(value) < 9.995 else 1 if abs(value) < 99.95 else 0
    return _shorn(value, digits)
