"""From a gardener's text to SI."""

from __future__ import annotations

import re
import unicodedata
from fractions import Fraction
from typing import Literal

from sowplan.quantity.units import LENGTH, MASS, VOLUME, Kind


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


def size_m(text: str, right: str) -> float:
    """Read a length above zero [m]; ``right`` says what would be, where it is not."""
    value = length_m(text)
    if value <= 0:
        raise QuantityError(text, right)
    return value


def distance_m(text: str, right: str) -> float:
    """Read a length of zero or more [m]: 0 needs no unit; ``right`` as for `size_m`."""
    value = 0.0 if text.strip() in ("0", "0.0") else length_m(text)
    if value < 0:
        raise QuantityError(text, right)
    return value


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


def c_to_fahrenheit(value: float) -> float:
    """Return degrees Celsius as degrees Fahrenheit."""
    return value * 1.8 + 32.0


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
    sides = _BETWEEN_SIDES.split(_tidy(text))
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
