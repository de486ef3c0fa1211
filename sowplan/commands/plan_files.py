"""Read a plan and write one file of it for a command, or leave with all that is wrong."""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING

import typer

if TYPE_CHECKING:
    from datetime import date

    from sowplan.problem import Problem
    from sowplan.records.diary import Entry
    from sowplan.records.garden import Garden
    from sowplan.season.plan import Plan


PAGE = "page.html"


def opened_plan(path: Path, option: str = "", garden: Path | None = None) -> Plan:
    """Return the plan of a plan folder (or of a plan file); on a problem, say it and leave.

    Parameters
    ----------
    path : Path
        The folder or file; of a relative one, from the folder the command is called in.
    option : str
        The option that names it, where one does: ``"--out"``.
    garden : Path, optional
        The garden file, where it is known: a plan beside it may be what is meant.
    """
    from sowplan.export.outputs import MARK
    from sowplan.problem import Exit, Problem, exit_code
    from sowplan.season.archive import read_plan

    file = path / MARK if path.is_dir() else path
    if path.is_dir() and not file.exists():
        message = f"this folder holds no {MARK}: it is not one that `sowplan plan` wrote."
        typer.echo(str(Problem(str(path), None, "", "", message, Exit.UNREADABLE)), err=True)
        raise typer.Exit(Exit.UNREADABLE)
    if not path.exists():
        message = _no_such_folder(path, option, garden)
        typer.echo(str(Problem(str(path), None, "", "", message, Exit.UNREADABLE)), err=True)
        raise typer.Exit(Exit.UNREADABLE)
    plan, problems = read_plan(file)
    if plan is None:
        for problem in problems:
            typer.echo(str(problem), err=True)
        raise typer.Exit(exit_code(problems))
    return plan


def _no_such_folder(path: Path, option: str, garden: Path | None) -> str:
    """Return where a plan folder was looked for in vain, and how to name the right one."""
    import shlex

    from sowplan.export.outputs import MARK

    words = f"there is no such folder; looked for {path.absolute()}."
    beside = garden.parent / "plan" if garden is not None else path
    if (beside / MARK).exists():
        return f"{words} Did you mean {option} {shlex.quote(str(beside))}?"
    called = f" Name it with {option} FOLDER." if option else ""
    return (
        f"{words} A plan folder is what `sowplan plan GARDEN --out FOLDER` writes: without --out "
        f"it is named plan, in the folder where the command was called.{called}"
    )


def diary_of(plan: Plan, path: Path, on: date | None = None) -> tuple[Entry, ...]:
    """Return the diary beside a plan, opened by its folder or file; on a problem, leave.

    ``on`` is the day that is asked about, where one is.
    """
    from sowplan.commands.problems import stop_on

    _, entries, problems = diary_and_problems(plan, path, on)
    stop_on(problems)
    return entries


def diary_and_problems(
    plan: Plan, path: Path, on: date | None = None
) -> tuple[Path, tuple[Entry, ...], list[Problem]]:
    """Return where the diary beside a plan is, its entries, and all that is wrong with it.

    Lines that cannot be read, and entries that cannot be: of no sowing of the plan, of more plants
    than there were, of a day to come. To come is what is after today and after the day asked about.
    """
    from sowplan.commands.today import today_in
    from sowplan.records.diary import diary_path, read_diary
    from sowplan.season.revise.happened import happened_to

    file = diary_path(path if path.is_dir() else path.parent, plan.site.start)
    entries, problems = read_diary(file)
    if entries:
        day = max(d for d in (today_in(plan), on, plan.revised) if d is not None)
        problems = [*problems, *happened_to(entries, plan, str(file), day)[1]]
    return file, entries, problems


def diary_in_the_way(made: Plan, out: Path) -> list[Problem]:
    """Return why a season may not be planned anew into a folder: its diary names other sowings.

    A diary goes by the names of the plan beside it; where a new plan has them for the same
    sowings it may take its place.
    """
    path, entries, old = _kept_by_diary(out, made.site.start)
    if old is None or old.site.plan_id != made.site.plan_id:
        return []
    named = {entry.planting for entry in entries}
    were = {p.id: (p.crop, p.sow) for p in old.plantings if p.id in named}
    are = {p.id: (p.crop, p.sow) for p in made.plantings if p.id in named}
    return [] if were == are and not old.revision else [_planned_on(path, out)]


def revised_in_the_way(garden: Garden, out: Path) -> list[Problem]:
    """Return the same before anything is planned, where it is sure: the plan there was revised."""
    path, _, old = _kept_by_diary(out, garden.season.start)
    if old is None or not old.revision:
        return []
    there, here = old.site, garden.site
    same = (there.name, there.latitude, there.longitude) == (
        here.name, here.latitude, here.longitude,
    )  # fmt: skip
    return [_planned_on(path, out)] if same and there.start == garden.season.start else []


def unfinished_in_the_way(garden: Garden, out: Path) -> list[Problem]:
    """Return why a season may not be planned where another is under way, with a diary kept."""
    from sowplan.commands.today import day_meant
    from sowplan.export.outputs import MARK
    from sowplan.problem import Exit, Problem
    from sowplan.records.diary import diary_path, read_diary
    from sowplan.season.archive import read_plan

    old = read_plan(out / MARK)[0]
    if old is None or old.site.start == garden.season.start:
        return []
    entries, _ = read_diary(diary_path(out, old.site.start))
    if not entries or day_meant(None, old) > old.site.end:
        return []
    message = (
        f"this folder holds the plan and the diary of {old.site.name} from {old.site.start} to "
        f"{old.site.end}, a season that is not over: choose another folder with --out."
    )
    return [Problem(str(out), None, "", "", message, Exit.UNWRITABLE)]


def _kept_by_diary(out: Path, start: date) -> tuple[Path, tuple[Entry, ...], Plan | None]:
    """Return a season's diary in a folder, its entries, and the plan there where it has any."""
    from sowplan.export.outputs import MARK
    from sowplan.records.diary import diary_path, read_diary
    from sowplan.season.archive import read_plan

    path = diary_path(out, start)
    entries, _ = read_diary(path)
    return path, entries, read_plan(out / MARK)[0] if entries else None


def _planned_on(path: Path, out: Path) -> Problem:
    from sowplan.problem import Exit, Problem

    message = (
        "this diary tells what happened to the sowings of the plan beside it, which a new plan "
        f"would name otherwise. `sowplan revise GARDEN --out {out}` plans on from what stands; to "
        "plan the whole season anew, choose another folder with --out."
    )
    return Problem(str(path), None, "", "", message, Exit.UNWRITABLE)


def by_diary(plan: Plan, folder: Path) -> tuple[tuple[Entry, ...], dict[str, bytes]]:
    """Return the diary in a folder, and the calendar as it has it; nothing without one."""
    from sowplan.export.calendar import calendar
    from sowplan.records.diary import diary_path, read_diary, taken_back

    path = diary_path(folder, plan.site.start)
    (entries, _), back = read_diary(path), taken_back(path)
    if not (entries or back):
        return entries, {}
    return entries, {"season.ics": calendar(plan, diary=entries, taken_back=back)}


def page_anew(plan: Plan, folder: Path, entries: Sequence[Entry]) -> None:
    """Write the page in a plan folder again, where it has one, so that it agrees with the diary.

    Where that cannot be, it is told, and is no reason to leave: the diary is what counts.
    """
    from sowplan.export.page.page import page_html

    target = folder / PAGE
    if target.is_file():
        with suppress(typer.Exit):
            write_file(target, page_html(plan, entries).encode("utf-8"))


def write_file(target: Path, data: bytes) -> None:
    """Write a file whole or not at all; on a problem, say it and leave."""
    from sowplan.problem import Exit, Problem

    draft = target.with_name(f".{target.name}.part")
    try:
        draft.write_bytes(data)
        draft.replace(target)
    except OSError as error:
        draft.unlink(missing_ok=True)
        message = f"cannot be written: {error.strerror}."
        typer.echo(str(Problem(str(target), None, "", "", message, Exit.UNWRITABLE)), err=True)
        raise typer.Exit(Exit.UNWRITABLE) from None
    except KeyboardInterrupt:
        draft.unlink(missing_ok=True)
        raise
