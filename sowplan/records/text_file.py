"""Any text file a gardener may hand over, into lines: with what is wrong where it is none."""

from __future__ import annotations

import os
from pathlib import Path

from sowplan.problem import Exit, Problem, did_you_mean

LARGEST_BYTES = 50_000_000
_GLANCE = 60  # letters


def read_text(path: str | os.PathLike[str], kind: str) -> tuple[str | None, list[Problem]]:
    """Read a text file in UTF-8, with or without a byte order mark, with any line ends.

    Parameters
    ----------
    path : path-like
        The file as the user named it.
    kind : str
        What the file should be, for the messages: ``"garden file"``.

    Returns
    -------
    tuple of (str or None, list of Problem)
        The text, with line feeds as line ends, or None and the problem. Of a text saved otherwise
        than as UTF-8 that is the problem, and the text is as it most likely reads, so that
        whatever else is wrong with it can be told as well.
    """
    name = os.fspath(path)

    def unreadable(message: str, line: int | None = None, found: str = ""):
        return None, [Problem(name, line, "", found, message, Exit.UNREADABLE)]

    try:
        if Path(path).is_dir():
            return unreadable(f"This is a folder. Name the {kind} in it{_first_in(Path(path))}.")
        if os.stat(path).st_size > LARGEST_BYTES:
            return unreadable(f"This is too large to be a {kind}.")
        raw = Path(path).read_bytes()
    except FileNotFoundError:
        hint = _near_file(Path(path))
        return unreadable(f"There is no such file.{hint}")
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        return unreadable(f"This file cannot be opened: {reason}.")
    if raw.startswith((b"\xff\xfe", b"\xfe\xff")):
        return unreadable("This file is saved as UTF-16. Save it again as UTF-8.")
    otherwise: list[Problem] = []
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw[: error.start].count(b"\n") + 1
        text = raw.decode("cp1252", "replace")
        message = "This file is not saved as UTF-8: open it in an editor and save it as UTF-8."
        _, otherwise = unreadable(message, line, _around(text, error.start))
    if "\0" in text:
        return unreadable(f"This is not a text file, so it cannot be a {kind}.")
    return text.replace("\r\n", "\n").replace("\r", "\n"), otherwise


def _around(text: str, at: int) -> str:
    """Return a letter with its line, or as much of it about the letter as is read at a glance."""
    begin, end = text.rfind("\n", 0, at) + 1, (text + "\n").find("\n", at)
    if end - begin > _GLANCE:
        begin, end = max(begin, at - _GLANCE // 2), min(end, at + _GLANCE // 2)
    return text[begin:end].strip()


def _near_file(path: Path) -> str:
    """Return which file beside it may be meant; only one that differs by a slip of the fingers.

    The ending is left out of the comparison: it would make all garden files alike.
    """
    try:
        stems = {p.stem for p in path.parent.iterdir() if p.suffix == path.suffix}
    except (OSError, ValueError):
        return ""
    near = did_you_mean(path.stem, stems, likeness=0.75)
    return near.replace("'?", f"{path.suffix}'?")


def _first_in(folder: Path) -> str:
    try:
        files = sorted(folder.glob("*.toml"))
    except OSError:
        files = []
    return f", such as {files[0]}" if files else ""
