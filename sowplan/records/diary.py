"""The diary: what happened in a season, one plain line an entry, written by hand or by `done`.

A line is a day, what happened, which sowing or job it was, and a number where one belongs to it:

    2026-09-05 sown lettuce-butterhead-1
    2026-10-03 planted lettuce-butterhead-1
    2026-10-10 lost lettuce-butterhead-1 3
    2026-12-05 harvested lettuce-butterhead-1 5
    2026-10-20 done lettuce-butterhead-1:thin

What follows a ``#`` is for the gardener alone. The same line twice counts once; of one job entered
with two days the later line holds.
"""

from __future__ import annotations

import os
import re
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Literal, get_args

from sowplan.problem import Exit, Problem, did_you_mean
from sowplan.records.garden_file.values.months import read_day
from sowplan.records.text_file import read_text

What = Literal["sown", "bought", "planted", "harvested", "cleared", "lost", "skipped", "done"]
WHATS: tuple[What, ...] = get_args(What)

SAME_AS: dict[str, What] = {"sowed": "sown", "picked": "harvested", "cut": "harvested"}
"""Other words for the same; ``planted out`` is read as ``planted``."""

JOBS: dict[What, str] = {
    "sown": "sow",
    "bought": "buy",
    "planted": "plant-out",
    "cleared": "clear",
}
"""What the job of a planting is called whose doing an entry tells."""

JOB_NAMES = ("sow", "buy", "pot-on", "harden-off", "thin", "plant-out", "clear", "leave")
"""What stands behind the colon of a job's id; of jobs that repeat see `_JOB`."""
_JOB = re.compile(
    rf"{'|'.join(JOB_NAMES)}|(?:protect|take-off)-\d+|(?:want-\d+-)?harvest-\d+(?:-\d+)?"
)

NUMBERED = ("lost", "harvested")
"""What a number may follow; after ``lost`` one must."""

_TAKEN_BACK = re.compile(rb"# (\d+) (?:entry|entries) taken back so far\b")

FORM = "A line is a day, what happened and to which sowing: 2026-10-03 planted kale-1."


@dataclass(frozen=True)
class Entry:
    """One thing that happened.

    Parameters
    ----------
    day : date
        The day it did.
    what : str
        One of `WHATS`. ``bought``: young plants were, and are still to be planted out. ``skipped``:
        what was planned was not sown, and will not be.
    about : str
        A planting's id, or a task's after ``done`` and ``harvested``.
    number : float or None
        Plants lost; harvested, in the crop's harvest unit, where the gardener counted
        (`sowplan.supply.brought` tells what is done with it).
    line : int or None
        Where it stands in the diary.
    """

    day: date
    what: What
    about: str
    number: float | None = None
    line: int | None = None

    @property
    def planting(self) -> str:
        """Return the id of the planting (or, of a harvest, of the crop) it is about."""
        return self.about.split(":", 1)[0]

    @property
    def task(self) -> str | None:
        """Return the id of the task that is done with this, None where it is no task's."""
        if ":" in self.about:
            return self.about
        return f"{self.about}:{JOBS[self.what]}" if self.what in JOBS else None

    @property
    def told(self) -> tuple:
        """Return all that it says, wherever it stands: two equal ones are the same entry."""
        return self.day, self.what, self.about, self.number

    def __str__(self) -> str:
        number = "" if self.number is None else f" {self.number:g}"
        return f"{self.day.isoformat()} {self.what} {self.about}{number}"


def entry_for(task: str, day: date) -> Entry:
    """Return the entry that says a task was done on a day, in the plainest words there are."""
    planting, _, job = task.partition(":")
    for what, name in JOBS.items():
        if job == name:
            return Entry(day, what, planting)
    harvest = job.startswith(("harvest", "want-"))
    return Entry(day, "harvested" if harvest else "done", task)


def diary_path(folder: str | os.PathLike[str], start: date) -> Path:
    """Return where the diary of a season is kept that begins on a day: in the plan folder.

    Each season has its own, so that next year's plan in the same folder meets no old entries.
    """
    return Path(folder) / f"diary-{start.isoformat()}.txt"


def read_diary(path: str | os.PathLike[str]) -> tuple[tuple[Entry, ...], list[Problem]]:
    """Read a diary; one that is not there is an empty one.

    Returns
    -------
    tuple of (tuple of Entry, list of Problem)
        The entries in the order of the file, each once, and everything that is wrong.
    """
    if not os.path.lexists(path):
        return (), []
    text, problems = read_text(path, "diary")
    if text is None or problems:
        return (), problems
    return read_entries(text, os.fspath(path))


def read_entries(text: str, file: str) -> tuple[tuple[Entry, ...], list[Problem]]:
    """Read the text of a diary, as `read_diary` does."""
    found: dict[tuple, Entry] = {}
    problems = []
    for number, line in enumerate(text.split("\n"), 1):
        words = line.split("#", 1)[0].split()
        if not words:
            continue
        entry = _entry(words, number)
        if isinstance(entry, Entry):
            found.setdefault(entry.told, entry)
        else:
            wrong, message = entry
            problems.append(Problem(file, number, "", wrong, message, Exit.WRONG))
    return tuple(found.values()), problems


def _entry(words: Sequence[str], line: int) -> Entry | tuple[str, str]:
    """Return the entry of a line's words, or (text found, what is wrong)."""
    try:
        day = read_day(words[0])
    except ValueError as error:
        return words[0], f"A line begins with a day, such as 2026-10-03. {error}".strip()
    rest = list(words[1:])
    if [w.casefold() for w in rest[:2]] == ["planted", "out"]:
        rest[:2] = ["planted"]
    if not rest:
        return words[0], FORM
    word = rest[0].casefold()
    what = SAME_AS.get(word, word)
    if what not in WHATS:
        hint = did_you_mean(rest[0], WHATS)
        return rest[0], f"After the day comes one of {', '.join(WHATS)}.{hint}"
    if len(rest) < 2:
        return " ".join(words), f"Which sowing was it? {FORM}"
    about, more = rest[1], rest[2:]
    if what not in ("done", "harvested") and ":" in about:
        return about, f"After {what} comes a sowing, without a job: {about.split(':')[0]}."
    if what == "done" and ":" not in about:
        return about, f"After done comes a job, such as {about}:thin. Or write sown, planted, …"
    name, _, job = about.partition(":")
    if job and not _JOB.fullmatch(job):
        known = (*JOB_NAMES, "harvest-1", "take-off-1", "protect-1")
        hint = did_you_mean(job, known) or f" The jobs are {', '.join(known)} and so on."
        return about, f"There is no job '{job}'.{hint} `sowplan due --ids` shows them."
    number = None
    if more:
        if what not in NUMBERED or len(more) > 1:
            return " ".join(more), "Nothing more belongs here. A remark goes after a #."
        number = number_in(more[0])
        if number is None or what == "lost" and number != int(number):
            return more[0], "A number belongs here, such as 3."
    elif what == "lost":
        return " ".join(words), f"How many plants were lost? Write: {' '.join(words)} 3"
    return Entry(day, what, about, number, line)


def number_in(text: str) -> float | None:
    """Return a number above nought, with point or comma; None where it is none."""
    try:
        value = float(text.replace(",", "."))
    except ValueError:
        return None
    return value if 0 < value < 1e6 else None


def take_back(path: str | os.PathLike[str], entries: Iterable[Entry]) -> list[Problem]:
    """Take entries out of a diary, each wherever it stands; every other line stays as it is.

    How many were taken back is counted in a remark below it, for `taken_back`.

    Parameters
    ----------
    path : path-like
        The diary, as it can be read.
    entries : iterable of Entry
        What is no longer to stand in it.

    Returns
    -------
    list of Problem
        Why nothing was written; empty where all was.
    """
    out = {entry.told for entry in entries}

    def stays(line: bytes) -> bool:
        found, _ = read_entries(line.decode("utf-8-sig").rstrip("\r\n"), "")
        return not found or found[0].told not in out

    def without(old: bytes) -> bytes:
        lines = old.splitlines(keepends=True)
        kept = [line for line in lines if stays(line) and not _TAKEN_BACK.match(line)]
        gone = sum(not stays(line) for line in lines) + _counted(old)
        if not gone:
            return old
        end = b"\r\n" if b"\r\n" in old else b"\n"
        word = "entry" if gone == 1 else "entries"
        told = f"# {gone} {word} taken back so far (phones go by this line: let it stand)."
        gap = end if kept and not kept[-1].endswith(b"\n") else b""
        return b"".join([*kept, gap, told.encode("utf-8"), end])

    return _written(path, without)


def taken_back(path: str | os.PathLike[str]) -> int:
    """Return how many entries were ever taken back from a diary; 0 where it cannot be read."""
    try:
        return _counted(Path(path).read_bytes())
    except OSError:
        return 0


def _counted(diary: bytes) -> int:
    """Return the same of a diary's bytes."""
    found = (_TAKEN_BACK.match(line) for line in diary.splitlines())
    return max((int(match[1]) for match in found if match), default=0)


def add_to_diary(
    path: str | os.PathLike[str],
    entries: Iterable[tuple[Entry, str]],
    heading: Sequence[str] = (),
) -> list[Problem]:
    """Append entries, each with a remark; what stands in the file stays as it is, byte by byte.

    The diary as it will be is written beside it and moved into its place: it is never half there.

    Parameters
    ----------
    path : path-like
        The diary; made where it is not there yet.
    entries : iterable of (Entry, str)
        In the order in which they are to stand.
    heading : sequence of str
        Lines of remarks a new diary begins with.

    Returns
    -------
    list of Problem
        Why nothing was written; empty where all was.
    """
    entries = tuple(entries)

    def with_more(old: bytes) -> bytes:
        end = b"\r\n" if b"\r\n" in old else b"\n"
        new = [f"{entry}  # {remark}" if remark else str(entry) for entry, remark in entries]
        lines = [*(f"# {line}".rstrip() for line in heading), ""] if not old and heading else []
        text = end.join(line.encode("utf-8") for line in [*lines, *new]) + end
        gap = end if old and not old.endswith(b"\n") else b""
        return old + gap + text

    return _written(path, with_more)


def _written(path: str | os.PathLike[str], change: Callable[[bytes], bytes]) -> list[Problem]:
    """Write a diary as it is after a change, beside itself and then into its place."""
    target = Path(path)
    try:
        target = target.resolve()  # a link stays a link
        old = target.read_bytes() if target.exists() else b""
        draft = target.with_name(f".{target.name}.part")
        try:
            with draft.open("wb") as file:
                file.write(change(old))
                file.flush()
                os.fsync(file.fileno())
            if old:
                draft.chmod(target.stat().st_mode & 0o777)
            draft.replace(target)
        except (OSError, KeyboardInterrupt):
            draft.unlink(missing_ok=True)
            raise
    except OSError as error:
        what = f"cannot be written: {error.strerror or error}."
        return [Problem(os.fspath(path), None, "", "", what, Exit.UNWRITABLE)]
    return []
