"""What is broken within a line of TOML: what to say, and the line as it was most likely meant."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Callable
from contextlib import suppress
from datetime import date

KEY_LINE = re.compile(r"^\s*(?P<key>[\w\"'.][\w\"'. -]*?)\s*=(?!=)\s*(?P<value>.*)$")
HEADING = re.compile(r"^\s*\[+\s*(?P<name>[\w.-]+(?: [\w.-]+)*)\s*[\]\s]*(?:#.*)?$")
MANY = ("bed", "channel", "pot", "tray", "want", "sowing", "past", "rotation")
NUMBER = r"[+-]?\d+(?:[.,]\d+)?"
NO_QUOTES = "Text stands between quotes"
"""How the message of a value that is neither number nor in quotes begins."""
_QUOTES = str.maketrans({c: '"' for c in "“”„‟«»″"} | {c: "'" for c in "‘’‚‛′"})


def reads(text: str) -> bool:
    """Return whether a text is TOML."""
    try:
        tomllib.loads(text)
    except (ValueError, RecursionError, OverflowError):
        return False
    return True


def curly(line: str) -> tuple[str, str] | None:
    """Quotes as a word processor sets them."""
    straight = line.translate(_QUOTES)
    if straight == line or not re.search(r"=\s*[“”„‟«»″‘’‚‛′\[{]", line):
        return None
    listed = re.search(r"=\s*[\[{]", line)
    if listed and (reads(line.strip()) or not reads(straight.strip())):
        return None  # a name may have them within its quotes
    return f'Quotes must be the straight ones ("): {straight.strip()}.', straight


def _comment(line: str) -> tuple[str, str] | None:
    if not re.match(r"\s*(//|;|--|%|/\*|<!--|')", line):
        return None
    return "A remark begins with #.", "#" + line.lstrip()


def _heading(line: str) -> tuple[str, str] | None:
    if not line.lstrip().startswith("["):
        return None
    match = HEADING.match(line)
    name = re.sub(r"\s+", "_", match["name"]) if match else ""
    if not name:
        return "A table begins with its name in brackets, such as [site] or [[bed]].", ""
    name = name.removesuffix("s") if name.removesuffix("s") in MANY else name
    many = name.split(".")[0] in MANY
    right = f"[[{name}]]" if many else f"[{name}]"
    return f"A table begins with its name in brackets: {right}.", right


def _colon(line: str) -> tuple[str, str] | None:
    match = re.match(r"^(\s*[\w.-]+)\s*:\s*(.*)$", line)
    if not match:
        return None
    line = f"{match[1]} = {match[2]}"
    if not reads(line) and (meant := _value(line)) and meant[1]:
        line = meant[1]
    return f"Between a key and its value stands =, not a colon: {line.strip()}.", line


def key_of_two_words(line: str) -> tuple[str, str] | None:
    """A key with blanks in it."""
    match = re.match(r"^(\s*)([A-Za-z_]\w*(?:\s+\w+)+)(\s*=.*)$", line)
    if not match:
        return None
    name = "_".join(match[2].split())
    return f"A key is one word: {name}.", f"{match[1]}{name}{match[3]}"


def _no_key(line: str) -> tuple[str, str] | None:
    if KEY_LINE.match(line):
        return None
    match = re.match(r"^\s*([a-z_]+)\s+(\S.*)$", line)
    if match and reads(right := f"{match[1]} = {match[2]}"):
        return f"Between a key and its value stands =: {right}.", right
    return "This line is neither a table, such as [[bed]], nor key = value, nor a remark (#).", ""


def _value(line: str) -> tuple[str, str] | None:
    """A value that is not TOML: none, a decimal comma, no such date, text without quotes."""
    match = KEY_LINE.match(line)
    if not match:
        return None
    start, key = line[: match.start("value")], match["key"].strip()
    value = without_remark(match["value"])
    bare = value.strip("\"'").strip()
    if not bare:
        return f"Nothing stands after {key} =.", ""
    if value[-1] == ";" and reads(f"a = {value[:-1]}"):
        return f"No ; stands at the end: {key} = {value[:-1].strip()}.", start + value[:-1]
    if re.fullmatch(r"[–−—]\s*\d+(?:\.\d+)?", value):
        return f"The minus is the plain one: {key} = -{value[1:].strip()}.", start + f"-{value[1:]}"
    if re.fullmatch(r"[+-]?\d+,\d+", value):
        point = value.replace(",", ".")
        return f"The decimal sign is a point: {key} = {point}.", start + point
    if re.fullmatch(r"[+-]?\d+\.|[+-]?\.\d+|[+-]?0\d+(\.\d+)?", value):
        number = f"{float(value):g}"
        return f"Write the number as {number}.", start + number
    if re.fullmatch(r"\d{4}([-/. ])\d{1,2}\1\d{1,2}", value):
        return _day_year_first(key, start, value)
    if (long := _feet_and_inches(value)) is not None:
        right = f"{key} = {quoted(long)}"
        return f"Feet and inches are ft and in, between quotes: {right}.", start + quoted(long)
    if re.fullmatch(rf"{NUMBER}(?:(?:\s*[,;]\s*|\s+){NUMBER})+", value):
        several = f"[{', '.join(re.findall(NUMBER, value))}]"
        return f"Several numbers stand in brackets: {key} = {several}.", start + several
    if re.fullmatch(r"\d{1,2}([/.-])\d{1,2}\1\d{4}", value):
        return _day_last_to_first(key, start, value)
    if value.casefold() in ("true", "false"):
        small = value.casefold()
        return f"true and false have small letters: {key} = {small}.", start + small
    if value[0] in "\"'" and value[0] == value[-1] and "\\" in value:
        return "Between folders stands /, and a backslash has no place here.", start + quoted(bare)
    if value[0] in "\"'" and value.count(value[0]) == 1:
        return f"The closing quote ({value[0]}) is missing.", start + quoted(bare)
    if value[0] in "\"'" or value[-1] in "\"'":
        return 'Text stands between two quotes ("), and has none inside.', start + quoted(bare)
    if value[0] == "{":
        right = "{ hours = 14, ppfd = 200 }"
        return f"What stands between braces is key = value with commas between: {right}.", ""
    right = quoted(bare) if len(bare) <= 60 else '"…"'
    return f"{NO_QUOTES}: {key} = {right}.", start + quoted(bare)


def _day_year_first(key: str, start: str, value: str) -> tuple[str, str]:
    """2026/9/1, and days that are none."""
    year, month, day = (int(part) for part in re.split(r"[-/. ]", value))
    try:
        right = date(year, month, day).isoformat()
    except ValueError:
        order = "" if month <= 12 else ": the order is year, month, day"
        return f"There is no such day as {value}{order}.", ""
    return f"A day is written as year, month and day: {key} = {right}.", start + right


_FEET = re.compile(
    r"""(?:(\d+(?:\.\d+)?)\s*(?:'|ft|′|’))?\s*(?:(\d+(?:\.\d+)?)\s*(?:"|''|″|”|in)?)?"""
)


def _feet_and_inches(value: str) -> str | None:
    """Return ``"4 ft 6 in"`` of a length as 4' 6"; None of anything else."""
    match = _FEET.fullmatch(value)
    if match is None or not re.search("['\"′’″”]", value):
        return None
    parts = [
        f"{number} {unit}"
        for number, unit in zip(match.groups(), ("ft", "in"), strict=True)
        if number
    ]
    return " ".join(parts) or None


def _day_last_to_first(key: str, start: str, value: str) -> tuple[str, str]:
    """30/11/2026, as people write it: the day it must be, or the two it may be."""
    one, two, year = (int(part) for part in re.split(r"[/.-]", value))
    days = []
    for month, day in {(two, one), (one, two)}:
        with suppress(ValueError):
            days.append(date(year, month, day).isoformat())
    days.sort()
    if not days:
        return f"There is no such day as {value}.", ""
    right = f"A day is written year first: {key} = {' or '.join(days)}."
    return right, start + days[0] if len(days) == 1 else ""


def without_remark(value: str) -> str:
    """Return a value without the remark behind it."""
    return re.sub(r"\s+#.*$", "", value).strip()


def quoted(text: str) -> str:
    """Return a text between quotes, without what cannot stand there."""
    plain = re.sub(r"[\x00-\x08\x0a-\x1f\x7f]", " ", text)
    return '"' + plain.replace('"', "'").replace("\\", "/") + '"'


LINE_BREAKS: tuple[Callable[[str], tuple[str, str] | None], ...] = (
    curly,
    _comment,
    _heading,
    _colon,
    key_of_two_words,
    _no_key,
    _value,
)
