"""Tables of a garden file as text, for tests that begin where a gardener does: with the file.

Keys are given by name, in the order in which they are to stand; ``from_`` and ``in_`` are the
file's ``from`` and ``in``. Words get their quotation marks here, but for days (``2027-06-01``);
what is None is left out.
"""

from __future__ import annotations

import re
from pathlib import Path

from sowplan.records.garden_file import read_garden
from sowplan.records.garden_file.read import Reading


def table(kind: str, **keys: object) -> str:
    """Return a table of which there may be several: ``table("bed", name="Plot", ...)``."""
    lines = [f"{key.rstrip('_')} = {_written(v)}" for key, v in keys.items() if v is not None]
    return "\n".join([f"[[{kind}]]", *lines]) + "\n"


def bed(name: str, length: str, width: str = "1 m", depth: str = "30 cm", **more: object) -> str:
    return table("bed", name=name, length=length, width=width, depth=depth, **more)


def want(crop: str, amount: object = 1, first=None, last=None, per="week", **more: object) -> str:
    """Return a wish of a crop, from a first to a last day where they are given."""
    return table("want", crop=crop, amount=amount, per=per, from_=first, to=last, **more)


def sowing(crop: str, day: object, number: object, place=None, **more: object) -> str:
    return table("sowing", crop=crop, date=day, number=number, place=place, **more)


def read(text: str, folder: Path) -> Reading:
    """Return what is read of a text, written into a folder as ``garden.toml``; nothing is wrong."""
    file = folder / "garden.toml"
    file.write_text(text, encoding="utf-8")
    reading = read_garden(file)
    assert reading.problems == (), [str(problem) for problem in reading.problems]
    return reading


def _written(value: object) -> str:
    if isinstance(value, str):
        return value if re.fullmatch(r"\d{4}-\d\d-\d\d", value) else f'"{value}"'
    if isinstance(value, list):
        return f"[{', '.join(map(_written, value))}]"
    return str(value).lower() if isinstance(value, bool) else str(value)
