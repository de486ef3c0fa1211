"""What is said of work that Ctrl-C ended: that nothing came of it, or what the plan has."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, NoReturn

import typer

from sowplan.problem import NOTHING_WRITTEN, Exit

if TYPE_CHECKING:
    from sowplan.season.plan import Quality


def leave_unwritten(folder: Path) -> NoReturn:
    """Say that nothing is written, and that what is in the plan folder is whole; then leave."""
    as_it_was = f" {folder} is as it was." if folder.exists() else ""
    typer.echo(NOTHING_WRITTEN + as_it_was, err=True)
    raise typer.Exit(Exit.STOPPED) from None


def how_stopped(quality: Quality) -> list[str]:
    """Return what of a plan was left undone, a line each; nothing of one that was finished."""
    from sowplan.season.plan import STOPPED, UNREASONED

    lines = []
    if STOPPED in quality.method:
        lines.append("Stopped before its time: this is the best plan found so far.")
    if UNREASONED in quality.method:
        lines.append("Stopped while the reasons were looked into: not every lack has its reason.")
    return lines
