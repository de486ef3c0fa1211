"""How problems are shown: with their line in a terminal, one line each in a pipe. And the exit."""

from __future__ import annotations

import math
import os
import shutil
import sys
import textwrap
from collections.abc import Iterable, Sequence
from functools import cache
from itertools import groupby
from typing import NoReturn

import typer

from sowplan.problem import Problem, exit_code, in_reading_order


def stop_on(problems: Sequence[Problem]) -> None:
    """Show the problems on stderr and leave with their exit code; do nothing where there are none.

    Raises
    ------
    typer.Exit
        With the code of the gravest class.
    """
    if problems:
        stop(problems)


def stop(problems: Sequence[Problem]) -> NoReturn:
    """Show the problems on stderr and leave with their exit code."""
    show(problems)
    raise typer.Exit(exit_code(problems))


def show(problems: Iterable[Problem]) -> None:
    """Show problems on stderr: laid out for reading in a terminal, a line each in a pipe."""
    ordered = in_reading_order(problems)
    if not sys.stderr.isatty():
        for problem in ordered:
            typer.echo(str(problem), err=True)
        return
    width = max(40, min(100, shutil.get_terminal_size().columns))
    colour = "NO_COLOR" not in os.environ and os.environ.get("TERM") != "dumb"
    typer.echo("\n".join(laid_out(ordered, width, colour)), err=True, color=colour)


def laid_out(problems: Sequence[Problem], width: int, colour: bool) -> list[str]:
    """Return problems as lines for a terminal.

    Parameters
    ----------
    problems : sequence of Problem
        In reading order.
    width : int
        Columns.
    colour : bool
        Whether to mark headings, places and the text found with colour and weight.
    """

    def style(text: str, **how) -> str:
        return typer.style(text, **how) if colour else text

    lines = []
    for file, group in groupby(problems, key=lambda p: p.file):
        found = list(group)
        count = "1 problem" if len(found) == 1 else f"{len(found)} problems"
        heading = f"{file}: {count}" if file else count
        lines += [style(heading, bold=True), ""]
        gutter = max((len(str(p.line)) for p in found if p.line), default=1)
        for problem in found:
            lines += _one(problem, gutter, width, style)
            lines.append("")
    return lines[:-1]


def _one(problem: Problem, gutter: int, width: int, style) -> list[str]:
    """Return one problem: its line of the file with the text found marked, place, message."""
    indent = " " * (gutter + 5)
    source = _source_line(problem.file, problem.line) if problem.line else None
    lines = []
    if source is not None and source.strip():
        shown = source.expandtabs(4).strip()
        room = width - len(indent)
        shown = shown if len(shown) <= room else shown[: room - 1] + "…"
        at = shown.find(problem.found) if problem.found else -1
        lines.append(f"  {style(f'{problem.line:>{gutter}} │ ', fg='cyan')}{shown}")
        if at >= 0:
            marks = style("~" * len(problem.found), fg="red", bold=True)
            lines.append(f"  {style(' ' * gutter + ' │ ', fg='cyan')}{' ' * at}{marks}")
    if problem.where:
        lines.append(indent + style(problem.where, bold=True))
    elsewhere = source is None or problem.found not in " ".join(source.split())
    found = f" (found: {problem.found})" if problem.found and elsewhere else ""
    lines += textwrap.wrap(
        problem.message + found,
        width,
        initial_indent=indent,
        subsequent_indent=indent,
        break_on_hyphens=False,
        break_long_words=False,
    )
    return lines


@cache
def _source(file: str) -> tuple[str, ...]:
    from sowplan.records.text_file import read_text

    text, _ = read_text(file, "file")
    return tuple((text or "").split("\n"))


def _source_line(file: str, line: int) -> str | None:
    lines = _source(file)
    return lines[line - 1] if 0 < line <= len(lines) else None


def finite(value: float) -> float:
    """Return an option's number; ``nan`` and ``inf``, which pass for numbers too, are refused."""
    if not math.isfinite(value):
        raise typer.BadParameter(f"Write a number, such as 0.5 or 2 (found: {value}).")
    return value
