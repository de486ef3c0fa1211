"""A TOML text into values, each with its place; a broken text into plain words about every break.

tomllib stops at the first break. So that a gardener sees them all, each broken
line is named, mended as it was most likely meant (or left out), and the text
is read again.
"""

from __future__ import annotations

import re
import tomllib
from dataclasses import dataclass
from typing import Any

from sowplan.problem import Exit, Problem
from sowplan.records.toml.breaks import Break, find_break
from sowplan.records.toml.spots import Spots, find_spots

MOST_BREAKS = 60


@dataclass(frozen=True)
class Document:
    """A TOML text, read.

    Parameters
    ----------
    values : dict or None
        What tomllib makes of the text, mended where it was broken; None where it makes nothing.
    spots : Spots
        Where everything stands.
    left_out : frozenset of int
        Lines that could not be mended and were left out: what stood there is not to be missed.
    problems : tuple of Problem
        A problem a break.
    """

    values: dict[str, Any] | None
    spots: Spots
    left_out: frozenset[int]
    problems: tuple[Problem, ...]


def read_toml(text: str, file: str) -> Document:
    """Read a TOML text.

    Parameters
    ----------
    text : str
        The text, with line feeds as line ends.
    file : str
        Its name, for the problems.
    """
    lines = text.split("\n")
    problems: list[Problem] = []
    left_out: set[int] = set()
    for _ in range(MOST_BREAKS):
        try:
            values = tomllib.loads("\n".join(lines))
        except (ValueError, RecursionError, OverflowError) as error:
            broken = find_break(lines, _line_of(error, lines), str(error))
            problems.append(_problem(file, broken))
            if not _mend(lines, broken):
                break
            left_out.update(n + 1 for n, line in broken.mended.items() if not line)
        else:
            spots = find_spots("\n".join(lines))
            return Document(values, spots, frozenset(left_out), tuple(problems))
    return Document(None, Spots(), frozenset(left_out), tuple(problems))


def _line_of(error: Exception, lines: list[str]) -> int:
    """Return the index of the line at which tomllib stopped; the last one where it says none."""
    match = re.search(r"at line (\d+)", str(error))
    if match:
        return min(int(match[1]), len(lines)) - 1
    written = [n for n, line in enumerate(lines) if line.strip()]
    return written[-1] if written else 0


def _problem(file: str, broken: Break) -> Problem:
    return Problem(
        file, broken.line + 1, broken.where, broken.found, broken.message, Exit.UNREADABLE
    )


def _mend(lines: list[str], broken: Break) -> bool:
    """Put the mended lines in place; False where that changes nothing."""
    before = list(lines)
    for number, line in broken.mended.items():
        lines[number] = line
    return lines != before
