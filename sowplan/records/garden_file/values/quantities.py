"""Lengths, volumes, temperatures and rain of a garden file, one or twelve at a time."""

from __future__ import annotations

import re
from collections.abc import Callable
from functools import partial
from typing import Any, Literal

from sowplan.quantity import (
    QuantityError,
    fahrenheit_to_c,
    format_length,
    format_temperature,
    format_volume,
    length_m,
    temperature_c,
    volume_l,
)
from sowplan.records.garden_file.keys import Key
from sowplan.records.garden_file.values.months import MONTHS
from sowplan.records.garden_file.values.rules import Around, Wrong, between, plain_number


def _quantity(
    value: Any,
    key: Key,
    read: Callable[[str], float],
    show: Callable[[float], str],
    example: str,
) -> float:
    if isinstance(value, int | float) and not isinstance(value, bool):
        raise Wrong(f"{key.name} needs a unit, in quotes: {key.name} = {example}.")
    if not isinstance(value, str):
        raise Wrong(f"{key.name} is a text in quotes, such as {example}.")
    try:
        size = read(value)
    except QuantityError as error:
        raise Wrong(error.message) from None
    return between(size, key, show)


def length(value: Any, key: Key, around: Around) -> float:
    """Read a length [m]."""
    show = partial(format_length, units=around.units)
    return _quantity(value, key, length_m, show, key.example)


def elevation(value: Any, key: Key, around: Around) -> float:
    """Read a height [m]; a number without a unit is in metres."""
    if isinstance(value, int | float) and not isinstance(value, bool):
        right = f"{key.name} is a height in metres, such as {key.example}."
        return between(plain_number(value, right), key, "{:g} m".format)
    return _quantity(value, key, length_m, "{:g} m".format, key.example)


def volume(value: Any, key: Key, around: Around) -> float:
    """Read a volume [l]."""
    show = partial(format_volume, units=around.units)
    return _quantity(value, key, volume_l, show, key.example)


def temperature(value: Any, key: Key, around: Around) -> float:
    """Read a temperature [°C]; a number without a unit is in °C."""
    return _temperature(value, key, "C")


def _temperature(value: Any, key: Key, unit: Literal["C", "F"]) -> float:
    if isinstance(value, str):
        if re.match(r"\s*\d+(?:\.\d+)?\s*(?:°?\s*[CF]?)\s*(?:-|–|to)\s*\d", value):
            raise Wrong(f"{key.name} is one temperature, the usual one, such as {key.example}.")
        try:
            celsius = temperature_c(value, unit)
        except QuantityError as error:
            raise Wrong(error.message) from None
    else:
        right = f"{key.name} is in °{unit}, such as {key.example}."
        celsius = plain_number(value, right)
        celsius = fahrenheit_to_c(celsius) if unit == "F" else celsius
    hint = ""
    if unit == "C" and key.high is not None and key.high < celsius < 130:
        if key.kind == "temperatures":
            hint = ' If these are °F, add temperature_unit = "F".'
        else:
            hint = f' If this is °F, write "{celsius:g} °F".'
    if key.high is not None and celsius > key.high:
        most = format_temperature(key.high, "imperial" if unit == "F" else "metric")
        raise Wrong(f"{key.name} must be at most {most}.{hint}")
    if key.low is not None and celsius < key.low:
        least = format_temperature(key.low, "imperial" if unit == "F" else "metric")
        raise Wrong(f"{key.name} must be at least {least}.")
    return celsius


def _twelve(value: Any, key: Key, read: Callable[[Any], float]) -> tuple[float, ...]:
    if not isinstance(value, list) or len(value) != 12:
        count = f" It has {len(value)}." if isinstance(value, list) else ""
        twice = " Decimals have a point, not a comma." if count and len(value) == 24 else ""
        message = f"{key.name} takes twelve values, January to December.{count}{twice}"
        raise Wrong(message)
    values: list[float] = []
    wrong: dict[str, list[tuple[str, str]]] = {}
    for month, item in zip(MONTHS, value, strict=True):
        try:
            values.append(read(item))
        except Wrong as error:
            wrong.setdefault(error.message, []).append((month, str(item)))
    if wrong:
        parts = [
            f"{', '.join(month for month, _ in months)}: {message}"
            for message, months in wrong.items()
        ]
        found = ", ".join(text for months in wrong.values() for _, text in months)
        raise Wrong(" ".join(parts), found)
    return tuple(values)


def temperatures(value: Any, key: Key, around: Around) -> tuple[float, ...]:
    """Read twelve monthly temperatures [°C]."""
    return _twelve(value, key, lambda item: _temperature(item, key, around.temperature))


def rains(value: Any, key: Key, around: Around) -> tuple[float, ...]:
    """Read twelve monthly totals of rain [mm]."""

    def one(item: Any) -> float:
        if isinstance(item, str) and re.search(r"[a-z\"]", item):
            try:
                return between(length_m(item) * 1000.0, key, "{:g} mm".format)
            except QuantityError as error:
                raise Wrong(error.message) from None
        read = plain_number(item, "Rain is a number, in mm unless rain_unit says otherwise.")
        return between(read * around.rain_mm, key, "{:g} mm".format)

    return _twelve(value, key, one)
