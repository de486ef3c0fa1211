"""Numbers, shares, degrees and directions of a garden file."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from typing import Any

from sowplan.records.garden_file.keys import Key
from sowplan.records.garden_file.values.rules import Around, Wrong, between, plain_number


def number(value: Any, key: Key, around: Around) -> float:
    """Read a number."""
    right = f"{key.name} is a number, such as {key.example}."
    return between(plain_number(value, right), key, "{:g}".format)


def integer(value: Any, key: Key, around: Around) -> int:
    """Read a whole number."""
    right = f"{key.name} is a whole number, such as {key.example}."
    if isinstance(value, str):
        times = re.fullmatch(r"\s*(\d{1,4})\s*[x×*]\s*(\d{1,4})\s*", value)
        alone = re.fullmatch(r"\s*(\d{1,7})\s*[A-Za-z]+(?:\s+[A-Za-z]+)*\s*", value)
        if times:
            raise Wrong(f"{right} {value.strip()} are {int(times[1]) * int(times[2])}.")
        if alone:
            raise Wrong(f"{right} Write it alone: {key.name} = {alone[1]}.")
    read = between(plain_number(value, right), key, "{:g}".format)
    if read != int(read):
        raise Wrong(right)
    return int(read)


def hours(value: Any, key: Key, around: Around) -> float:
    """Read hours a day: ``14`` or ``"14 h"``."""
    if isinstance(value, str):
        value = re.sub(r"\s*(?:h|hrs?|hours?)\.?(?:\s*(?:a|per)\s*day|/day)?\s*$", "", value)
    right = f"{key.name} is a number of hours a day, such as {key.example}."
    return between(plain_number(value, right), key, "{:g}".format)


def percent(value: Any, key: Key, around: Around) -> float:
    """Read a share: ``"10 %"``, ``10`` or ``0.1``."""
    right = f"{key.name} is a share of years, such as {key.example} or 0.1."
    text = value.strip() if isinstance(value, str) else value
    signed = isinstance(text, str) and re.fullmatch(r"(.*?)\s*(?:%|per ?cent)", text)
    read = plain_number(signed[1] if signed else text, right)
    share = read / 100.0 if signed or read >= 1.0 else read
    return between(share, key, lambda x: f"{100 * x:g} %")


_DEGREES = re.compile(
    r"""\s*(?P<sign>[+-])?\s*(?P<d>\d+(?:[.,]\d+)?)\s*°?
    (?:\s*(?P<m>\d+(?:\.\d+)?)\s*['′’](?:\s*(?P<s>\d+(?:\.\d+)?)\s*["″”])?)?
    \s*(?P<half>[NSEWnsew])?[a-z]*\s*""",
    re.VERBOSE,
)


def _degrees(value: Any, key: Key, halves: str, hint: Callable[[float], str]) -> float:
    right = f"{key.name} is a number of degrees, such as {key.example}."
    if isinstance(value, str):
        match = _DEGREES.fullmatch(value.replace("−", "-"))
        if match is None or (match["half"] and match["half"].upper() not in halves):
            raise Wrong(right)
        value = float(match["d"].replace(",", "."))
        value += float(match["m"] or 0) / 60 + float(match["s"] or 0) / 3600
        if match["sign"] == "-" or (match["half"] or "").upper() == halves[1]:
            value = -value
    read = plain_number(value, right)
    return between(read, key, "{:g}".format, hint(read))


def latitude(value: Any, key: Key, around: Around) -> float:
    """Read degrees north: ``-41.3``, ``"41.3° S"``, ``"41°18'S"``."""

    def hint(read: float) -> str:
        return " Are latitude and longitude swapped?" if abs(read) <= 180 else ""

    return _degrees(value, key, "NS", hint)


def longitude(value: Any, key: Key, around: Around) -> float:
    """Read degrees east: ``147.1``, ``"73° W"``."""
    return _degrees(value, key, "EW", lambda read: " West of Greenwich it is negative.")


_COMPASS = ("N", "NNE", "NE", "ENE", "E", "ESE", "SE", "SSE")
_POINTS = {name: 22.5 * n for n, name in enumerate(_COMPASS)} | {
    name.translate(str.maketrans("NSEW", "SNWE")): 22.5 * n + 180 for n, name in enumerate(_COMPASS)
}
_POINT_WORDS = {"north": "N", "south": "S", "east": "E", "west": "W"}


def bearing(value: Any, key: Key, around: Around) -> float:
    """Read a direction: degrees from north by east, or a point of the compass."""
    if isinstance(value, str):
        short = re.sub(r"[\s-]", "", value.casefold())
        for word, letter in _POINT_WORDS.items():
            short = short.replace(word, letter)
        if short.upper() in _POINTS:
            return _POINTS[short.upper()]
        value = value.replace("°", "").strip()
    right = f"{key.name} is a number of degrees from north by east, or a point such as NW."
    return between(plain_number(value, right), key, "{:g}".format) % 360.0


def horizon(value: Any, key: Key, around: Around) -> tuple[tuple[float, float], ...]:
    """Read a skyline: pairs of a direction and the height of the sky's edge there [°]."""
    right = f"{key.name} is a list of [direction, height in degrees], such as {key.example}."
    if not isinstance(value, list) or not value:
        raise Wrong(right)
    points = []
    for item in value:
        if not isinstance(item, list) or len(item) != 2:
            raise Wrong(right, str(item))
        height = between(plain_number(item[1], right), key, "{:g}°".format)
        points.append((bearing(item[0], replace(key, low=0.0, high=360.0), around), height))
    if len({at for at, _ in points}) < len(points):
        raise Wrong(f"{key.name} names a direction twice. {right}")
    return tuple(sorted(points))
