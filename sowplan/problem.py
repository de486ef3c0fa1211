"""What can be wrong with the gardener's files, as values.

A reader never raises on bad input: it returns the problems it found, all of
them, and the command line prints them and leaves with the exit code of the
gravest class among them.
"""

from __future__ import annotations

import difflib
from collections.abc import Iterable
from dataclasses import asdict, dataclass
from enum import IntEnum


class Exit(IntEnum):
    """Exit codes of the command line, one a class of problem."""

    OK = 0
    INTERNAL = 1
    USAGE = 2  # the command was called wrongly (typer's own code)
    UNREADABLE = 3  # a file is missing, not text, or not in its format
    WRONG = 4  # a file is readable, and something in it is wrong
    IMPOSSIBLE = 5  # the files are right, and what they ask for cannot be
    UNWRITABLE = 6  # the result cannot be written
    STOPPED = 130  # Ctrl-C where there is nothing to keep: 128 and the signal's number, as usual


NOTHING_WRITTEN = "Stopped: nothing is written."
"""What one who stops a command that has written nothing yet is told, with `Exit.STOPPED`."""
NOTHING_HALF_WRITTEN = "Stopped: nothing is half written."
"""The same of a command that may have written some file whole."""


@dataclass(frozen=True, order=True)
class Problem:
    """One thing that is wrong, and what would be right.

    Parameters
    ----------
    file : str
        The file as the user named it; empty for a problem of no file.
    line : int or None
        Line number, counted from 1, where it can be had.
    where : str
        Table, row and key in the gardener's words: ``"[[bed]] 2 (Long bed), width"``.
    found : str
        The offending text as it stands in the file; empty where something is missing.
    message : str
        What is wrong and what would be right, one sentence or two.
    exit : Exit
        Class of the problem.
    """

    file: str
    line: int | None
    where: str
    found: str
    message: str
    exit: Exit = Exit.WRONG

    def __str__(self) -> str:
        place = self.file + (f":{self.line}" if self.line else "")
        head = ": ".join(part for part in (place, self.where) if part)
        found = f" (found: {self.found})" if self.found else ""
        return ": ".join(part for part in (head, self.message) if part) + found

    def as_dict(self) -> dict[str, object]:
        """Return the problem as plain values for ``--json``."""
        return asdict(self) | {"exit": int(self.exit)}


def in_reading_order(problems: Iterable[Problem]) -> list[Problem]:
    """Sort problems by file and line; those without a line come first in their file."""
    return sorted(problems, key=lambda p: (p.file, p.line or 0, p.where, p.message))


def exit_code(problems: Iterable[Problem]) -> Exit:
    """Return the exit code for a set of problems: unreadable before wrong before impossible."""
    return min((p.exit for p in problems), default=Exit.OK)


def nearest(found: str, known: Iterable[str], likeness: float = 0.6) -> str | None:
    """Return the name that is most like what was found; None where nothing is near.

    ``likeness`` is the least ratio of letters in common, as difflib counts them.
    """
    names = {name.casefold(): name for name in sorted(known, reverse=True)}
    near = difflib.get_close_matches(found.casefold(), sorted(names), 1, likeness)
    return names[near[0]] if near else None


def did_you_mean(found: str, known: Iterable[str], likeness: float = 0.6) -> str:
    """Return ``" Did you mean 'radish'?"``, or an empty string where nothing is `nearest`."""
    near = nearest(found, known, likeness)
    return f" Did you mean '{near}'?" if near else ""
