"""The plan folder: every output of a plan, written whole or not at all."""

from __future__ import annotations

import json
import os
import shutil
from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from itertools import count
from pathlib import Path

from sowplan.export.outputs import BEFORE, CHANGES, MARK, OUTPUTS, Output, render
from sowplan.problem import Exit, Problem
from sowplan.records.diary import Entry
from sowplan.season.plan import Plan

FEW_OF_OURS = 3
"""More files by the names of ours than these, and a folder was written here."""


def write_folder(
    plan: Plan,
    out: str | Path,
    outputs: Iterable[Output] = OUTPUTS,
    more: Mapping[str, bytes | Callable[[], bytes]] | None = None,
    entries: Sequence[Entry] = (),
) -> list[Problem]:
    """Write the plan folder, whole or not at all.

    Everything is made and written beside its goal first, and only then moved into place. A folder
    that is there already is written to only where it is empty or a plan folder; files in it that
    are no outputs stay as they are.

    Parameters
    ----------
    plan : Plan
        The season.
    out : str or Path
        The folder; it and the folders above it are made where they are missing.
    outputs : iterable of Output
        What to write.
    more : mapping of str to bytes or a function, optional
        Further files, or others in the stead of outputs, by name; a function is called for its
        file's bytes when outputs are made.
    entries : sequence of Entry, optional
        The season's diary, by which page and sheets are made.

    Returns
    -------
    list of Problem
        Why nothing was written; empty where all was.
    """
    folder = Path(out)
    wrong = _why_not(folder)
    if wrong:
        return [_unwritable(out, wrong)]
    from sowplan.export.pictures.there import drawn_anew

    given = dict(more or {})
    chosen = [output for output in outputs if output.name not in given]
    to_make = {name: one for name, one in given.items() if callable(one)}
    files = given | render(plan, chosen, entries, to_make)
    drawn, gone = drawn_anew(plan, folder)
    try:
        _put(files | drawn, folder.resolve(), gone)
    except OSError as error:
        return [_not_written(out, error)]
    return []


def cannot_write(out: str | Path) -> list[Problem]:
    """Return why a plan folder could not be written, found by trying; nothing is left of it.

    To be asked before a season is planned, so that nobody waits for what cannot be kept.

    Parameters
    ----------
    out : str or Path
        The folder, as for `write_folder`.

    Returns
    -------
    list of Problem
        Empty where all is well so far.
    """
    folder = Path(out)
    wrong = _why_not(folder)
    if wrong:
        return [_unwritable(out, wrong)]
    try:
        _try_out(folder.resolve())
    except OSError as error:
        return [_not_written(out, error)]
    return []


def _try_out(folder: Path) -> None:
    """Make a folder where the new files are to be made, and move each old one to where it is.

    Raises
    ------
    OSError
        Where that cannot be; a file open in another program is not to be moved on some systems.
    """
    from sowplan.export.pictures.there import pictures_there

    above = folder if folder.exists() else _nearest_there(folder.parent)
    _new_folder(above, f".{folder.name}.part").rmdir()
    for name in sorted(_ours() | pictures_there(folder).keys()):
        path = folder / name
        if path.is_dir():
            raise _a_folder(path)
        if os.path.lexists(path):
            os.rename(path, path)


def _nearest_there(folder: Path) -> Path:
    """Return the nearest folder above that is there; ``mkdir`` says what is wrong with a file."""
    return next(path for path in (folder, *folder.parents) if os.path.lexists(path))


def _ours() -> set[str]:
    return {output.name for output in OUTPUTS} | {BEFORE, CHANGES}


def _a_folder(path: Path) -> OSError:
    return OSError(0, "there is a folder of this name", str(path))


def _not_written(out: str | Path, error: OSError) -> Problem:
    """Say which folder could not be written and what to do; nothing of it was."""
    named = Path(error.filename) if error.filename else Path(out)
    ours = any(part.startswith(f".{Path(out).resolve().name}.part") for part in named.parts)
    why = (error.strerror or str(error)).rstrip(".")
    if isinstance(error, PermissionError) and named.is_file():
        message = (
            f"cannot be written anew ({why}), and nothing was changed. If it is open in another "
            "program, close it there and try again; or choose another folder with --out."
        )
        return _unwritable(named, message)
    message = (
        f"cannot be written ({why}), and nothing was changed. See that there is room and that you "
        "may write there, or choose another folder with --out."
    )
    return _unwritable(out if ours else named, message)


def is_plan_folder(folder: Path) -> bool:
    """Return whether a folder holds a plan of ours."""
    try:
        data = json.loads((folder / MARK).read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return False
    return isinstance(data, dict) and {"version", "site", "plantings"} <= data.keys()


def _was_ours(folder: Path) -> bool:
    """Return whether a folder has the plan's file, damaged, and others that stand beside it."""
    ours = sum((folder / output.name).is_file() for output in OUTPUTS)
    return (folder / MARK).is_file() and ours > FEW_OF_OURS


def _why_not(folder: Path) -> str:
    """Return why nothing may be written there, or an empty text."""
    try:
        if not os.path.lexists(folder):
            return ""
        if not folder.is_dir():
            return "there is a file of this name: choose another folder with --out."
        if not any(folder.iterdir()) or is_plan_folder(folder):
            return ""
        if _was_ours(folder):
            return (
                f"the {MARK} in this folder is damaged, so nothing in it was touched. Plan into "
                f"another folder with --out; or put {MARK} right from a copy. A diary in it "
                "is yours to keep."
            )
    except OSError as error:
        return f"{error.strerror}."
    return (
        f"this folder holds other files and no {MARK} of a plan, so nothing in it was touched: "
        "choose a new or an empty folder with --out."
    )


def _put(files: dict[str, bytes], folder: Path, gone: Collection[str] = ()) -> None:
    """Write files to a fresh folder beside or inside the goal, then move them into place.

    Files of ours by the names in ``gone`` go with the old ones.

    Raises
    ------
    OSError
        With the goal as it was before.
    """
    fresh = not folder.exists()
    if fresh:
        folder.parent.mkdir(parents=True, exist_ok=True)
    # Inside a folder that is there: it may be a mount of its own, out of reach of a rename.
    stage = _new_folder(folder.parent if fresh else folder, f".{folder.name}.part")
    try:
        for name, data in files.items():
            path = stage / "new" / name
            path.parent.mkdir(parents=True, exist_ok=True)
            with path.open("wb") as file:
                file.write(data)
                file.flush()
                os.fsync(file.fileno())
        if fresh:
            (stage / "new").rename(folder)
        else:
            _exchange(files, stage, folder, gone)
    finally:
        shutil.rmtree(stage, ignore_errors=True)  # only what was written or set aside here


def _exchange(files: dict[str, bytes], stage: Path, folder: Path, gone: Collection[str]) -> None:
    """Move new files into a folder in place of the old ones; all go back where one cannot."""
    ours = _ours() | files.keys() | set(gone)
    moved: list[tuple[Path, Path]] = []  # from, to

    def move(source: Path, goal: Path) -> None:
        goal.parent.mkdir(parents=True, exist_ok=True)
        source.rename(goal)
        moved.append((source, goal))

    try:
        for name in sorted(ours):
            if (folder / name).is_dir():
                raise _a_folder(folder / name)
            if os.path.lexists(folder / name):
                move(folder / name, stage / "old" / name)
            if name in files:
                move(stage / "new" / name, folder / name)
    except BaseException:  # Ctrl-C as well: what stood there must not go with the stage
        for source, goal in reversed(moved):
            goal.rename(source)
        raise


def _new_folder(parent: Path, name: str) -> Path:
    """Make a folder that was not there; numbers, not chance, keep two runs apart."""
    for number in count(1):
        path = parent / f"{name}{number}"
        try:
            path.mkdir()
        except FileExistsError:
            continue
        return path
    raise AssertionError("counting does not end")


def _unwritable(path: str | Path, message: str) -> Problem:
    return Problem(str(path), None, "", "", message, Exit.UNWRITABLE)
