"""The everyday units of length, volume and weight, with their exact sizes."""

from __future__ import annotations

from dataclasses import dataclass

# Exact by definition: the international yard and pound of 1959, the US gallon of
# 231 cubic inches, the imperial gallon of 4.54609 litres.
INCH_M = 0.0254
INCH_MM = 25.4
FOOT_M = 0.3048
POUND_KG = 0.45359237
US_GALLON = 3.785411784
IMPERIAL_GALLON = 4.54609


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
        (FOOT_M, "ft, foot, feet, '"),
        (INCH_M, 'in, inch, inches, "'),
        (FOOT_M * 3, "yd, yard, yards"),
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
        (FOOT_M**3 * 1000.0, "cu ft, ft3, ft³, cubic foot, cubic feet"),
        (US_GALLON, "us gal, us gallon, us gallons, gal us"),
        (US_GALLON / 4, "us qt, us quart, us quarts"),
        (IMPERIAL_GALLON, "imp gal, imperial gallon, imperial gallons, uk gal, uk gallons"),
        (IMPERIAL_GALLON / 4, "imp qt, imperial quart, imperial quarts"),
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
        (POUND_KG, "lb, lbs, pound, pounds"),
        (POUND_KG / 16, "oz, ounce, ounces"),
    ),
    # "gr" is the grain to a gunsmith and the gram to most who write it.
    unclear={
        **dict.fromkeys(("ton", "tons"), ("kg",)),
        **dict.fromkeys(("gr", "grs"), ("g",)),
        # A bag of cement to the units library, and of anything to a gardener.
        **dict.fromkeys(("bag", "bags", "box", "boxes", "punnet", "punnets"), ("kg",)),
    },
)
