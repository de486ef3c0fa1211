"""From SI to what a gardener reads, metric or imperial."""

from __future__ import annotations

from typing import Literal

from sowplan.quantity.units import FOOT_M, INCH_M, INCH_MM, POUND_KG, US_GALLON

Units = Literal["metric", "imperial"]

_EIGHTHS = ("", "⅛", "¼", "⅜", "½", "⅝", "¾", "⅞")


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


def format_spacing(metres: float, units: Units = "metric") -> str:
    """Show a distance between plants or rows, or a plant's size: in inches as growers say them.

    Imperial: whole inches, halves below 4 in; feet and inches from 3 ft. A distance that was
    given in inches, in quarters of one, is shown as it is.

    Examples
    --------
    >>> format_spacing(0.2), format_spacing(0.2, "imperial"), format_spacing(0.6, "imperial")
    ('20 cm', '8 in', '24 in')
    >>> format_spacing(0.1905, "imperial"), format_spacing(0.04, "imperial")
    ('7½ in', '1½ in')
    """
    if units != "imperial":
        return format_length(metres)
    inches = abs(metres) / INCH_M
    quarters = round(inches * 4)
    if abs(inches * 4 - quarters) > 0.001:
        step = 2 if inches < 4 else 1
        quarters = max(1, round(inches * step)) * (4 // step)
    return _quarter_inches(quarters)


def format_inches(inches: float, parts: int = 8) -> str:
    """Show inches as a tape has them: to so many parts of one, 2, 4, 8 or 16.

    Examples
    --------
    >>> format_inches(3.937), format_inches(9.84, 4), format_inches(1.18, 16)
    ('3⅞ in', '9¾ in', '1 3/16 in')
    """
    sixteenths = round(inches * parts) * (16 // parts)
    whole, rest = divmod(sixteenths, 16)
    if rest % 2:
        return f"{whole} {rest}/16 in" if whole else f"{rest}/16 in"
    return f"{whole if whole or not rest else ''}{_EIGHTHS[rest // 2]} in"


def format_step(metres: float, many: int) -> str:
    """Show a step in inches, taken so many times along a tape, no finer than that asks for.

    The last mark may be off by half an inch, or by an eighth of a step where that is more.

    Examples
    --------
    >>> format_step(0.45, 2), format_step(0.45, 26), format_step(0.04, 30)
    ('17½ in', '17¾ in', '1 9/16 in')
    """
    inches = metres / INCH_M
    off = max(0.5, inches / 8) + 1e-6
    parts = (n for n in (2, 4, 8) if abs(inches - round(inches * n) / n) * many <= off)
    return format_inches(inches, next(parts, 16))


def _feet_and_inches(metres: float) -> str:
    sign, inches = ("-" if metres < 0 else ""), abs(metres) / INCH_M
    step = 4 if inches < 12 else 2
    return sign + _quarter_inches(round(inches * step) * (4 // step))


def _quarter_inches(quarters: int) -> str:
    feet, quarters = divmod(quarters, 48) if quarters >= 144 else (0, quarters)
    parts = [f"{feet} ft"] if feet else []
    if quarters or not feet:
        parts.append(format_inches(quarters / 4, 4))
    return " ".join(parts)


def format_volume(litres: float, units: Units = "metric") -> str:
    """Show a volume: millilitres, litres or cubic metres; or US quarts and gallons with litres.

    Whoever reads inches buys mix and water in US measures or else, as in Britain, in litres: both
    are shown, and the gallon says whose it is.

    Examples
    --------
    >>> format_volume(0.25), format_volume(40.0), format_volume(40.0, "imperial")
    ('250 ml', '40 l', '10.6 US gal (40 l)')
    """
    if units == "imperial":
        gallons, metric = litres / US_GALLON, format_volume(litres)
        if abs(gallons) >= 0.95:
            return f"{_three_figures(gallons)} US gal ({metric})"
        return f"{_three_figures(gallons * 4)} US qt ({metric})"
    if abs(litres) >= 9999.5:
        return f"{_three_figures(litres / 1000)} m³"
    if abs(litres) >= 0.9995:
        return f"{_three_figures(litres)} l"
    return f"{_shorn(litres * 1000, 0)} ml"


def format_mix(litres: float, units: Units = "metric") -> str:
    """Show a volume of growing mix: litres or cubic metres; or cubic feet with litres.

    What is less than a cubic foot is a pot's, and shown as any other volume.

    Examples
    --------
    >>> format_mix(700.0), format_mix(700.0, "imperial"), format_mix(1.0, "imperial")
    ('700 l', '24.7 cu ft (700 l)', '1.06 US qt (1 l)')
    """
    cubic_feet = litres / (FOOT_M**3 * 1000)
    if units == "imperial" and abs(cubic_feet) >= 0.95:
        return f"{_three_figures(cubic_feet)} cu ft ({format_volume(litres)})"
    return format_volume(litres, units)


def format_mass(kilograms: float, units: Units = "metric") -> str:
    """Show a weight: grams below 1 kg; or ounces below 1 lb, to two figures, as they are weighed.

    Examples
    --------
    >>> format_mass(0.3), format_mass(1.5), format_mass(1.5, "imperial")
    ('300 g', '1.5 kg', '3.3 lb')
    """
    if units == "imperial":
        pounds = kilograms / POUND_KG
        if abs(pounds) >= 0.99:
            return f"{_two_figures(pounds)} lb"
        return f"{_two_figures(pounds * 16)} oz"
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
    """Show an area in m² or square feet: no finer than ground is measured.

    Examples
    --------
    >>> format_area(2.88), format_area(2.88, "imperial"), format_area(0.648, "imperial")
    ('2.88 m²', '31 sq ft', '7 sq ft')
    >>> format_area(0.076, "imperial"), format_area(0.004, "imperial")
    ('0.8 sq ft', '0.04 sq ft')
    """
    if units == "imperial":
        feet = square_metres / FOOT_M**2
        return f"{_shorn(feet, 0 if feet >= 9.95 else 1 if feet >= 0.1 else 2)} sq ft"
    return f"{_three_figures(square_metres)} m²"


def format_rain(millimetres: float, units: Units = "metric") -> str:
    """Show a depth of rain or water in mm, or in inches.

    Examples
    --------
    >>> format_rain(12.4), format_rain(12.7, "imperial")
    ('12 mm', '0.5 in')
    """
    if units == "imperial":
        return f"{_shorn(millimetres / (INCH_MM), 2)} in"
    return f"{_shorn(millimetres, 0)} mm"


def _shorn(value: float, digits: int) -> str:
    """Return a number without trailing zeros, a minus zero as zero."""
    text = f"{value:.{digits}f}"
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return "0" if text == "-0" else text


def _two_figures(value: float) -> str:
    """Return a number to two figures; from ten up, whole."""
    return _shorn(value, 1 if abs(value) < 9.95 else 0)


def _three_figures(value: float) -> str:
    """Return a number to three figures; from a thousand up, whole."""
    digits = 2 if abs(value) < 9.995 else 1 if abs(value) < 99.95 else 0
    return _shorn(value, digits)
