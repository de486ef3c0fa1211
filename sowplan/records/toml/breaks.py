"""What is broken in a line of TOML, in plain words, and the line as it was most likely meant."""

from __future__ import annotations

import re
from dataclasses import dataclass

from sowplan.records.toml.line_breaks import (
    HEADING,
    KEY_LINE,
    LINE_BREAKS,
    MANY,
    NUMBER,
    curly,
    key_of_two_words,
    quoted,
    reads,
    without_remark,
)
from sowplan.records.toml.spots import Path, find_spots


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
    for say in (curly, key_of_two_words):
        answer = say(lines[at])
        if answer is not None:
            return _at(lines, at, answer[0], {at: answer[1]})
    for find in (_open_list, _in_list):
        broken = find(lines, at)
        if broken is not None:
            return broken
    line = lines[at]
    for say in LINE_BREAKS:
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
    above = [m["name"] for line in lines[: at + 1] if (m := HEADING.match(line))]
    table = ""
    if above:
        headings = [line for line in lines[: at + 1] if HEADING.match(line)]
        many = headings[-1].lstrip().startswith("[[")
        number = sum(name == above[-1] for name in above)
        table = f"[[{above[-1]}]] {number}" if many else f"[{above[-1]}]"
    key = KEY_LINE.match(lines[at])
    return ", ".join(part for part in (table, key["key"].strip("\"'") if key else "") if part)


# --- breaks that span lines -------------------------------------------------


def _twice(lines: list[str], at: int) -> Break | None:
    """A key or table that stands twice; told from the structure, as the reader names no line."""
    for path, first, again in find_spots("\n".join(lines[: at + 1])).twice:
        n, name = again.line - 1, str(path[-1])
        heading = HEADING.match(lines[n])
        if not heading:
            return _heading_missing(lines, path, n) or _at(
                lines,
                n,
                f"{name} stands here twice: first on line {first.line}. Keep one.",
                {n: ""},
            )
        if len(path) == 1 and name in MANY:
            return _at(lines, n, *_doubled(lines, name))
        end = next((m for m in range(n + 1, len(lines)) if HEADING.match(lines[m])), len(lines))
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
    if path[0] not in MANY or len(path) != 3 or len(twice) < 2:
        return None
    begin = at
    while begin and lines[begin - 1].strip() and not HEADING.match(lines[begin - 1]):
        begin -= 1
    if begin < max(first.line for _, first, _ in twice):  # no empty line between the two
        begin = at
    end = next((m for m in range(begin, len(lines)) if HEADING.match(lines[m])), len(lines))
    keys = {m["key"] for line in lines[begin:end] if (m := KEY_LINE.match(line))}
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
    heading = HEADING.match(lines[at])
    name = heading["name"].split(".")[0] if heading else ""
    if name in MANY:
        message, mended = _doubled(lines, name)
        if mended:
            return _at(lines, min(mended), message, mended)
    for n, line in enumerate(lines[:at]):
        key = KEY_LINE.match(line)
        if name and key and key["key"].split(".")[0] == name:
            message = f"{name} is a table, {lines[at].strip()} on line {at + 1}, and no value."
            return _at(lines, n, message, {n: ""})
    return _at(lines, at, "This name stands above for something else. Keep one.", {at: ""})


def _doubled(lines: list[str], name: str) -> tuple[str, dict[int, str]]:
    message = f"There is more than one {name}, so each begins with [[{name}]], in double brackets."
    single = re.compile(rf"^\s*\[\s*{re.escape(name)}\s*\]\s*(#.*)?$")
    return message, {n: f"[[{name}]]" for n, line in enumerate(lines) if single.match(line)}


def _begins(line: str) -> bool:
    """Whether a key or a heading begins on a line."""
    return bool(KEY_LINE.match(line) or HEADING.match(line))


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
    key = KEY_LINE.match(lines[above]) if above is not None else None
    if above is None or key is None or key["value"][:1] not in ("[", "{"):
        return None
    if reads("\n".join(lines[above:at])):
        return None
    closing = "]" if key["value"][0] == "[" else "}"
    message = f"What begins here with {key['value'][0]} has no {closing} at its end."
    last = max(n for n in range(above, at) if lines[n].strip())
    body = re.sub(r"\s*#.*$", "", lines[last])
    closed = [*lines[above:last], body + closing]
    if reads("\n".join(closed)):
        return _at(lines, above, message, {last: body + closing})
    return _at(lines, above, message, dict.fromkeys(range(above, at), ""))


def _in_list(lines: list[str], at: int) -> Break | None:
    """A break inside a list that spans lines, or in a list of numbers on one line."""
    start = _statement(lines, at)
    key = KEY_LINE.match(lines[start]) if start is not None else None
    if start is None or key is None or key["value"][:1] != "[":
        return None
    end = next(
        (
            m
            for m in range(at + 1, len(lines))
            if KEY_LINE.match(lines[m]) or HEADING.match(lines[m])
        ),
        len(lines),
    )
    message = (
        "This list cannot be read: its items stand between [ and ], with a comma between each two; "
        "text is in quotes; decimals have a point."
    )
    rest = (line.strip() for line in lines[start + 1 : end])
    if end == start + 1 or not lines[start + 1].strip() or all(r[:1] in ("", "#") for r in rest):
        value = without_remark(key["value"])
        right = _listed(value)
        if re.search(r"\]\s*,\s*\[", value) and reads(f"a = [{value}]"):
            right = f"[{value}]"
            message = "Several pairs in brackets stand in another pair of brackets."
        mended = lines[start][: key.start("value")] + right
        if reads(mended) and mended != lines[start]:
            say = f"{message} Perhaps: {right}." if len(right) <= 70 else message
            return _at(lines, start, say, {start: mended})
    return _at(lines, start, message, dict.fromkeys(range(start, end), ""))


def _listed(value: str) -> str:
    """Return a list on one line with its commas and quotes put in."""
    inside = re.sub(r"(?<=[\[,])(\s*)([A-Za-z][\w ]*?)(\s*)(?=[,\]])", r'\1"\2"\3', value)
    if "[" in value[1:] and reads(f"a = {inside}"):
        return inside
    inner = value.strip("[] ;,")
    if re.fullmatch(rf"{NUMBER}(?:\s+{NUMBER})*", inner):
        return f"[{', '.join(inner.split())}]"
    items = [item.strip() for item in re.split(r"[,;]", inner)]
    if any(re.fullmatch(rf"{NUMBER}(?:\s+{NUMBER})+", item) for item in items):  # a comma forgotten
        items = [part for item in items for part in item.split()]
    right = [item if reads(f"a = {item}") else quoted(item.strip("\"'")) for item in items]
    return f"[{', '.join(right)}]"
