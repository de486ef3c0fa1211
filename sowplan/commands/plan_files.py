"""Read a plan and write one file of it for a command, or leave with all that is wrong."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import typer

if TYPE_CHECKING:
    from sowplan.season.plan import Plan


def opened_plan(path: Path) -> Plan:
    """Return the plan of a plan folder (or of a plan file); on a problem, say it and leave."""
    from sowplan.export.folder import MARK
    from sowplan.problem import Exit, Problem, exit_code
    from sowplan.season.archive import read_plan

    file = path / MARK if path.is_dir() else path
    if path.is_dir() and not file.exists():
        message = f"this folder holds no {MARK}: it is not one that `sowplan plan` wrote."
        typer.echo(str(Problem(str(path), None, "", "", message, Exit.UNREADABLE)), err=True)
        raise typer.Exit(Exit.UNREADABLE)
    if not path.exists():
        message = (
            "there is no such folder. A plan folder is what `sowplan plan GARDEN` writes: by "
            "itself it is named plan, and stands beside the garden file."
        )
        typer.echo(str(Problem(str(path), None, "", "", message, Exit.UNREADABLE)), err=True)
        raise typer.Exit(Exit.UNREADABLE)
    plan, problems = read_plan(file)
    if plan is None:
        for problem in problems:
            typer.echo(str(problem), err=True)
        raise typer.Exit(exit_code(problems))
    return plan


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
