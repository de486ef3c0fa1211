"""What is broken in a line of TOML, in plain words, and the line as it was most likely meant."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass
from datetime import date

from sowplan.records.toml.spots import Path, find_spots

_KEY_LINE = re.compile(r"^\s*(?P<key>[\w\"'.][\w\"'. -]*?)\s*=(?!=)\s*(?P<value>.*)$")
_HEADING = re.compile(r"^\s*\[+\s*(?P<name>[\w.-]+(?: [\w.-]+)*)\s*[\]\s]*(?:#.*)?$")
_NUMBER = r"[+-]?\d+(?:[.,]\d+)?"
NO_QUOTES = "Text stands between quotes"
"""How the message of a value that is neither number nor in quotes begins."""
_QUOTES = str.maketrans({c: '"' for c in "“”„‟«»″"} | {c: "'" for c in "‘’‚‛′"})


@dataclass(frozen=True)
class Break:
    """A break: its line (from 0), where that is, the text there, what to say, lines to replace.

    ``mended`` maps line numbers (from 0) to the lines to read instead; an empty line leaves it out.
    """

    line: int
    where: str
    found: str
    message: str
    mended: dict[int, str]


def find_break(lines: list[str], at: int, error: str) -> Break:
    """Say what is broken.

    Parameters
    ----------
    lines : list of str
        The text.
    at : int
        Index of the line at which reading stopped.
    error : str
        The reader's own words, used where nothing better is known.

    Returns
    -------
    Break
        Its ``mended`` lines differ from those given, unless nothing is left to leave out.
    """
    if error.startswith(("Cannot", "Duplicate")):
        return _twice(lines, at) or _two_things(lines, at)
    for say in (_curly, _key_of_two_words):
        answer = say(lines[at])
        if answer is not None:
            return _at(lines, at, answer[0], {at: answer[1]})
    for find in (_open_list, _in_list):
        broken = find(lines, at)
        if broken is not None:
            return broken
    line = lines[at]
    for say in _LINE_BREAKS:
        answer = say(line)
        if answer is not None and answer[1] != line:
            return _at(lines, at, answer[0], {at: answer[1]})
    reason = re.sub(r"\s*\(at .*\)$", "", error)
    return _at(lines, at, f"This line cannot be read ({reason}).", {at: ""})


def _at(lines: list[str], at: int, message: str, mended: dict[int, str]) -> Break:
    found = lines[at].strip()
    found = found if len(found) <= 70 else found[:69] + "…"
    return Break(at, _where(lines, at), found, message, mended)


def _where(lines: list[str], at: int) -> str:
    """Return the table and key of a line, as far as headings and key can be told."""
    above = [m["name"] for line in lines[: at + 1] if (m := _HEADING.match(line))]
    table = ""
    if above:
        headings = [line for line in lines[: at + 1] if _HEADING.match(line)]
        many = headings[-1].lstrip().startswith("[[")
        number = sum(name == above[-1] for name in above)
        table = f"[[{above[-1]}]] {number}" if many else f"[{above[-1]}]"
    key = _KEY_LINE.match(lines[at])
    return ", ".join(part for part in (table, key["key"].strip("\"'") if key else "") if part)


# --- breaks that span lines -------------------------------------------------


def _twice(lines: list[str], at: int) -> Break | None:
    """A key or table that stands twice; told from the structure, as the reader names no line."""
    for path, first, again in find_spots("\n".join(lines[: at + 1])).twice:
        n, name = again.line - 1, str(path[-1])
        heading = _HEADING.match(lines[n])
        if not heading:
            return _heading_missing(lines, path, n) or _at(
                lines,
                n,
                f"{name} stands here twice: first on line {first.line}. Keep one.",
                {n: ""},
            )
        if len(path) == 1 and name in _MANY:
            return _at(lines, n, *_doubled(lines, name))
        end = next((m for m in range(n + 1, len(lines)) if _HEADING.match(lines[m])), len(lines))
        message = f"[{name}] stands here twice: first on line {first.line}. Put both together."
        return _at(lines, n, message, dict.fromkeys(range(n, end), ""))
    return None


_TELLS = {
    "bed": ("length", "width", "depth"),
    "channel": ("holes",),
    "pot": ("volume",),
    "tray": ("cells",),
    "want": ("amount", "per"),
    "sowing": ("date", "number"),
    "rotation": ("rest",),
}
"""Keys by which a table whose heading is missing is known."""


def _heading_missing(lines: list[str], path: Path, at: int) -> Break | None:
    """Several keys of one of many tables that stand twice: a heading is missing above them."""
    spots = find_spots("\n".join(lines))
    twice = [two for two in spots.twice if two[0][:-1] == path[:-1]]
    if path[0] not in _MANY or len(path) != 3 or len(twice) < 2:
        return None
    begin = at
    while begin and lines[begin - 1].strip() and not _HEADING.match(lines[begin - 1]):
        begin -= 1
    if begin < max(first.line for _, first, _ in twice):  # no empty line between the two
        begin = at
    end = next((m for m in range(begin, len(lines)) if _HEADING.match(lines[m])), len(lines))
    keys = {m["key"] for line in lines[begin:end] if (m := _KEY_LINE.match(line))}
    known = (name for name, tell in _TELLS.items() if keys & set(tell))
    table = str(path[0]) if keys & set(_TELLS.get(path[0], ())) else next(known, str(path[0]))
    names = [str(two[0][-1]) for two in twice if begin < two[2].line <= end]
    message = (
        f"{', '.join(names[:-1])} and {names[-1]} stand a second time from here on: put "
        f"[[{table}]] above line {begin + 1}, where its heading is missing."
    )
    if begin and not lines[begin - 1].strip():
        return _at(lines, begin, message, {begin - 1: f"[[{table}]]"})
    return _at(lines, begin, message, {two[2].line - 1: "" for two in twice})


def _two_things(lines: list[str], at: int) -> Break:
    """A name that is a value in one line and a table in another."""
    heading = _HEADING.match(lines[at])
    name = heading["name"].split(".")[0] if heading else ""
    if name in _MANY:
        message, mended = _doubled(lines, name)
        if mended:
            return _at(lines, min(mended), message, mended)
    for n, line in enumerate(lines[:at]):
        key = _KEY_LINE.match(line)
        if name and key and key["key"].split(".")[0] == name:
            message = f"{name} is a table, {lines[at].strip()} on line {at + 1}, and no value."
            return _at(lines, n, message, {n: ""})
    return _at(lines, at, "This name stands above for something else. Keep one.", {at: ""})


_MANY = ("bed", "channel", "pot", "tray", "want", "sowing", "past", "rotation")


def _doubled(lines: list[str], name: str) -> tuple[str, dict[int, str]]:
    message = f"There is more than one {name}, so each begins with [[{name}]], in double brackets."
    single = re.compile(rf"^\s*\[\s*{re.escape(name)}\s*\]\s*(#.*)?$")
    return message, {n: f"[[{name}]]" for n, line in enumerate(lines) if single.match(line)}


def _begins(line: str) -> bool:
    """Whether a key or a heading begins on a line."""
    return bool(_KEY_LINE.match(line) or _HEADING.match(line))


def _statement(lines: list[str], at: int) -> int | None:
    """Return the line of the key or heading that governs a line, itself included."""
    for n in range(at, -1, -1):
        if _begins(lines[n]):
            return n
    return None


def _open_list(lines: list[str], at: int) -> Break | None:
    """A list begun above and not closed before the next key."""
    if not _begins(lines[at]):
        return None
    above = _statement(lines, at - 1) if at else None
    key = _KEY_LINE.match(lines[above]) if above is not None else None
    if above is None or key is None or key["value"][:1] not in ("[", "{"):
        return None
    if _reads("\n".join(lines[above:at])):
        return None
    closing = "]" if key["value"][0] == "[" else "}"
    message = f"What begins here with {key['value'][0]} has no {closing} at its end."
    last = max(n for n in range(above, at) if lines[n].strip())
    body = re.sub(r"\s*#.*$", "", lines[last])
    closed = [*lines[above:last], body + closing]
    if _reads("\n".join(closed)):
        return _at(lines, above, message, {last: body + closing})
    return _at(lines, above, message, dict.fromkeys(range(above, at), ""))


def _in_list(lines: list[str], at: int) -> Break | None:
    """A break inside a list that spans lines, or in a list of numbers on one line."""
    start = _statement(lines, at)
    key = _KEY_LINE.match(lines[start]) if start is not None else None
    if start is None or key is None or key["value"][:1] != "[":
        return None
    end = next(
        (
            m
            for m in range(at + 1, len(lines))
            if _KEY_LINE.match(lines[m]) or _HEADING.match(lines[m])
        ),
        len(lines),
    )
    message = (
        "This list cannot be read: its items stand between [ and ], with a comma between each two; "
        "text is in quotes; decimals have a point."
    )
    rest = (line.strip() for line in lines[start + 1 : end])
    if end == start + 1 or not lines[start + 1].strip() or all(r[:1] in ("", "#") for r in rest):
        value = _without_remark(key["value"])
        right = _listed(value)
        if re.search(r"\]\s*,\s*\[", value) and _reads(f"a = [{value}]"):
            right = f"[{value}]"
            message = "Several pairs in brackets stand in another pair of brackets."
        mended = lines[start][: key.start("value")] + right
        if _reads(mended) and mended != lines[start]:
            say = f"{message} Perhaps: {right}." if len(right) <= 70 else message
            return _at(lines, start, say, {start: mended})
    return _at(lines, start, message, dict.fromkeys(range(start, end), ""))


def _listed(value: str) -> str:
    """Return a list on one line with its commas and quotes put in."""
    inner = value.strip("[] ;,")
    if re.fullmatch(rf"{_NUMBER}(?:\s+{_NUMBER})*", inner):
        return f"[{', '.join(inner.split())}]"
    items = [item.strip() for item in re.split(r"[,;]", inner)]
    quoted = [item if _reads(f"a = {item}") else _quoted(item.strip("\"'")) for item in items]
    return f"[{', '.join(quoted)}]"


def _reads(text: str) -> bool:
    try:
        tomllib.loads(text)
    except (ValueError, RecursionError, OverflowError):
        return False
    return True


# --- breaks within a line: each gives what to say and the line as meant -------


def _curly(line: str) -> tuple[str, str] | None:
    straight = line.translate(_QUOTES)
    if straight == line or not re.search(r"=\s*[“”„‟«»″‘’‚‛′]", line):
        return None
    return 'Quotes must be the straight ones (").', straight


def _comment(line: str) -> tuple[str, str] | None:
    if not re.match(r"\s*(//|;|--|%|/\*|<!--|')", line):
        return None
    return "A remark begins with #.", "#" + line.lstrip()


def _heading(line: str) -> tuple[str, str] | None:
    if not line.lstrip().startswith("["):
        return None
    match = _HEADING.match(line)
    name = re.sub(r"\s+", "_", match["name"]) if match else ""
    if not name:
        return "A table begins with its name in brackets, such as [site] or [[bed]].", ""
    many = name.split(".")[0] in _MANY
    right = f"[[{name}]]" if many else f"[{name}]"
    return f"A table begins with its name in brackets: {right}.", right


def _colon(line: str) -> tuple[str, str] | None:
    match = re.match(r"^(\s*[\w.-]+)\s*:\s*(.*)$", line)
    if not match:
        return None
    line = f"{match[1]} = {match[2]}"
    if not _reads(line) and (meant := _value(line)) and meant[1]:
        line = meant[1]
    return f"Between a key and its value stands =, not a colon: {line.strip()}.", line


def _key_of_two_words(line: str) -> tuple[str, str] | None:
    match = re.match(r"^(\s*)([A-Za-z_]\w*(?:\s+\w+)+)(\s*=.*)$", line)
    if not match:
        return None
    name = "_".join(match[2].split())
    return f"A key is one word: {name}.", f"{match[1]}{name}{match[3]}"


def _no_key(line: str) -> tuple[str, str] | None:
    if _KEY_LINE.match(line):
        return None
    return "This line is neither a table, such as [[bed]], nor key = value, nor a remark (#).", ""


def _value(line: str) -> tuple[str, str] | None:
    """A value that is not TOML: none, a decimal comma, no such date, text without quotes."""
    match = _KEY_LINE.match(line)
    if not match:
        return None
    start, key = line[: match.start("value")], match["key"].strip()
    value = _without_remark(match["value"])
    bare = value.strip("\"'").strip()
    if not bare:
        return f"Nothing stands after {key} =.", ""
    if value[-1] == ";" and _reads(f"a = {value[:-1]}"):
        return f"No ; stands at the end: {key} = {value[:-1].strip()}.", start + value[:-1]
    if re.fullmatch(r"[–−—]\s*\d+(?:\.\d+)?", value):
        return f"The minus is the plain one: {key} = -{value[1:].strip()}.", start + f"-{value[1:]}"
    if re.fullmatch(r"[+-]?\d+,\d+", value):
        point = value.replace(",", ".")
        return f"The decimal sign is a point: {key} = {point}.", start + point
    if re.fullmatch(r"[+-]?\d+\.|[+-]?\.\d+|[+-]?0\d+(\.\d+)?", value):
        number = f"{float(value):g}"
        return f"Write the number as {number}.", start + number
    if re.fullmatch(r"\d{4}-\d{2}-\d{2}", value):
        return f"There is no such day as {value}.", ""
    if re.fullmatch(r"\d{1,2}([/.-])\d{1,2}\1\d{4}", value):
        return _day_last_to_first(key, start, value)
    if value.casefold() in ("true", "false"):
        small = value.casefold()
        return f"true and false have small letters: {key} = {small}.", start + small
    if value[0] in "\"'" and value[0] == value[-1] and "\\" in value:
        return "Between folders stands /, and a backslash has no place here.", start + _quoted(bare)
    if value[0] in "\"'" and value.count(value[0]) == 1:
        return f"The closing quote ({value[0]}) is missing.", start + _quoted(bare)
    if value[0] in "\"'" or value[-1] in "\"'":
        return 'Text stands between two quotes ("), and has none inside.', start + _quoted(bare)
    if value[0] == "{":
        right = "{ hours = 14, ppfd = 200 }"
        return f"What stands between braces is key = value with commas between: {right}.", ""
    right = _quoted(bare) if len(bare) <= 60 else '"…"'
    return f"{NO_QUOTES}: {key} = {right}.", start + _quoted(bare)


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


def _without_remark(value: str) -> str:
    return re.sub(r"\s+#.*$", "", value).strip()


def _quoted(text: str) -> str:
    plain = re.sub(r"[\x00-\x08\x0a-\x1f\x7f]", " ", text)
    return '"' + plain.replace('"', "'").replace("\\", "/") + '"'


_LINE_BREAKS: tuple[Callable[[str], tuple[str, str] | None], ...] = (
    _curly,
    _comment,
    _heading,
    _colon,
    _key_of_two_words,
    _no_key,
    _value,
)
