"""Lengths, volumes, temperatures and weights: from a gardener's text to SI, and back for display.

The units people write every day stand in ``units`` with their exact factors, so that a file is
checked at once; any other unit of the right kind (yards, cubic feet, stone, decilitres) is asked of
pint, whose import alone takes longer than a whole check. The tests hold every factor of the table
against pint's.

Nothing here depends on a locale: the decimal sign shown is always the point.
"""

from sowplan.quantity.lines import HARD_SPACE, kept_together, wrapped
from sowplan.quantity.reading import (
    QuantityError,
    bed_m,
    c_to_fahrenheit,
    distance_m,
    fahrenheit_to_c,
    length_m,
    mass_kg,
    size_m,
    temperature_c,
    volume_l,
)
from sowplan.quantity.showing import (
    Units,
    format_area,
    format_inches,
    format_length,
    format_mass,
    format_mix,
    format_rain,
    format_spacing,
    format_step,
    format_temperature,
    format_volume,
)
from sowplan.quantity.units import FOOT_M, INCH_M, INCH_MM, LENGTH, MASS, POUND_KG, VOLUME, Kind

__all__ = [
    "FOOT_M",
    "HARD_SPACE",
    "INCH_M",
    "INCH_MM",
    "LENGTH",
    "MASS",
    "POUND_KG",
    "VOLUME",
    "Kind",
    "QuantityError",
    "Units",
    "bed_m",
    "c_to_fahrenheit",
    "distance_m",
    "fahrenheit_to_c",
    "format_area",
    "format_inches",
    "format_length",
    "format_mass",
    "format_mix",
    "format_rain",
    "format_spacing",
    "format_step",
    "format_temperature",
    "format_volume",
    "kept_together",
    "length_m",
    "mass_kg",
    "size_m",
    "temperature_c",
    "volume_l",
    "wrapped",
]
