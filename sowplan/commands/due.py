"""``sowplan due``: what to do today and in the days that follow. Here the clock is read."""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from sowplan.commands.today import day_meant

if TYPE_CHECKING:
    from rich.console import Console

    from sowplan.records.diary import Entry
    from sowplan.season.plan import Plan
    from sowplan.supply.due import Due
    from sowplan.supply.tasks import Task

OVERDUE_DAYS = 28
"""So far back what was not entered is told, where there is a diary."""

_AFTER = (
    "The next season's garden file is this one's with its days moved on, what stands still and "
    "what stood where:"
)

_WHEN = 22  # width of the column of days: the longest is "  to Wed 30 September"


def due(
    plan: Annotated[Path, typer.Argument(help="A plan folder.", metavar="PLAN_FOLDER")],
    on: Annotated[
        str | None,
        typer.Option(metavar="DAY", help="The day, as 2026-11-05, or tomorrow; otherwise today."),
    ] = None,
    days: Annotated[int, typer.Option(min=0, max=366, help="How many days to look ahead.")] = 7,
    ids: Annotated[
        bool, typer.Option("--ids", help="Show with each job its id, for `sowplan done`.")
    ] = False,
    as_json: Annotated[bool, typer.Option("--json", help="Print JSON.")] = False,
) -> None:
    """Show what to do today and this week, and what stands ready to harvest.

    What you entered with `sowplan done` is left out; what you did not is told as overdue.

    For example:

      sowplan due plan

      sowplan due plan --on tomorrow

      sowplan due plan --on 2026-11-05

      sowplan due plan --days 14

      sowplan due plan --ids
    """
    from sowplan.commands.plan_files import diary_of, opened_plan
    from sowplan.supply.due import LATELY_DAYS
    from sowplan.supply.due import due as sort_tasks
    from sowplan.supply.undone import undone

    opened = opened_plan(plan)
    day = day_meant(on, opened)
    entries = diary_of(opened, plan, day)
    back = OVERDUE_DAYS if entries else LATELY_DAYS
    found = sort_tasks(undone(opened, entries), day, days, back)
    if as_json:
        _print_json(opened, found)
    else:
        _print(opened, found, entries, ids)
        if found.on > opened.site.end:
            _print_after(plan)
        _print_how_to_enter(opened, found.on, entries, plan, ids)


def away_told(plan: Plan, on: date, days: int) -> list[str]:
    """Return when nobody is there, of the times on a day or within the days looked ahead."""
    from sowplan.supply.wording import days_text

    return [
        f"Away {days_text(first, last)}."
        for first, last in sorted(plan.site.away)
        if first <= on + timedelta(days=days) and on <= last
    ]


def _print_json(plan: Plan, found: Due) -> None:
    """Print what is due; each task with the words that enter it, its parts with their ids."""
    import json
    from dataclasses import fields

    from sowplan.supply.entering import to_enter
    from sowplan.supply.task import Task

    def plain(value: object, part: bool = False) -> object:
        if isinstance(value, Task):
            names = [f.name for f in fields(Task) if f.name not in ("says", "parts")]
            told = {name: getattr(value, name) for name in names}
            if not part:
                told["parts"] = [plain(one, True) for one in value.parts]
                told["enter"] = to_enter(plan, value)
            return told
        return [plain(one) for one in value] if isinstance(value, tuple) else value

    told = {field.name: plain(getattr(found, field.name)) for field in fields(found)}
    typer.echo(json.dumps(told, default=date.isoformat, ensure_ascii=False, indent=2))


def _print_after(folder: Path) -> None:
    """Print how to go on after the season's end."""
    import shlex

    from sowplan.commands.screen import tell

    where = "" if folder == Path("plan") else f" --plan {shlex.quote(str(folder))}"
    tell(_AFTER)
    typer.echo(f"  sowplan new next.toml --after GARDEN{where}")


def _print_how_to_enter(plan: Plan, on: date, entries, folder: Path, ids: bool) -> None:
    """Print how to enter the day's jobs, where there are any and the day has come."""
    import shlex

    from sowplan.commands.today import today_in
    from sowplan.supply.entering import done_by

    if on > today_in(plan) or not any(done_by(plan, entries, on, on)):
        return
    where = "" if folder == Path("plan") else f" --in {shlex.quote(str(folder))}"
    when = "" if on == today_in(plan) else f" --on {on}"
    typer.echo(
        "\nDone? Enter the day's jobs, all or some" + (":" if ids else " (--ids shows the ids):")
    )
    typer.echo(f"  sowplan done --all{when}{where}")
    typer.echo(f"  sowplan done ID ID{when}{where}")


def _print(plan: Plan, found: Due, entries: tuple[Entry, ...], ids: bool) -> None:
    """Print what is due; where there is a diary, what is not in it is overdue."""
    from rich.text import Text

    from sowplan.supply.told import as_it_stands
    from sowplan.supply.wording import day_text, one_line

    console, missed = _console(), "Overdue" if entries else "If not done yet"
    console.print(Text(f"{one_line(plan.site.name)}, {day_text(found.on, year=True)}", "bold"))
    for text in away_told(plan, found.on, found.days):
        console.print(text)
    for heading, jobs, when, whole in (
        ("Today", found.today, lambda t: "" if t.day == found.on else "every day", True),
        ("Ready, or still to do", found.open, lambda t: f"to {day_text(t.until)}", False),
        (missed, found.lately, lambda t: day_text(t.day), False),
        (f"In the next {found.days} days", found.soon, lambda t: day_text(t.day), False),
    ):
        if jobs:
            console.print(Text(f"\n{heading}", "bold green"))
        elif heading == "Today":
            console.print("\nNothing new today.")
        for task in jobs:
            _print_task(console, task, when(task), whole)
            if ids:
                _print_ids(console, plan, task, whole)
    _print_water(console, as_it_stands(plan, entries), found.on)
    if found.next and not found.soon:
        console.print(f"\nNext: {day_text(found.next.day, year=True)}: {found.next.title}.")
    elif not (found.soon or found.next):
        console.print("\nNothing comes after this: the season's plan ends here.")


def _print_water(console: Console, plan: Plan, on: date) -> None:
    """Print what the crops are likely to ask for in this week; figures keep their units."""
    import re
    import textwrap

    from rich.text import Text

    from sowplan.supply.water.words import week_text

    told = week_text(plan, on)
    if told:
        console.print(Text("\nWater this week", "bold green"))
    kept = re.sub(r"(?<=\d) (?=\d|l\b|US )|(?<=US) (?=gal)", "\u00a0", told)
    for line in textwrap.wrap(kept, console.width - 2, break_on_hyphens=False):
        console.print(Text(f"  {line}".replace("\u00a0", " ")))


def _print_task(console: Console, task: Task, when: str, whole: bool) -> None:
    """Print a task: when, what, and below that how, each wrapped within its own column."""
    import textwrap

    from rich.text import Text

    indent = " " * (2 if whole else _WHEN)
    title = task.title
    if whole and when:
        title = f"{title[:-1]}, {when})" if title.endswith(")") else f"{title} ({when})"
    lines = textwrap.wrap(title, console.width - len(indent), break_on_hyphens=False) or [""]
    first = (indent, "") if whole else (f"  {when}".ljust(_WHEN), "cyan")
    console.print(Text.assemble(first, (lines[0], "bold" if whole else "")))
    for line in lines[1:]:
        console.print(Text(indent + line, "bold" if whole else ""))
    if whole:
        for paragraph in task.details.split("\n"):
            for line in textwrap.wrap(paragraph, console.width - 4, break_on_hyphens=False):
                console.print(Text(f"    {line}"))


def _print_ids(console: Console, plan: Plan, task: Task, whole: bool) -> None:
    """Print what to write behind ``sowplan done`` for a task; nothing of what only passes."""
    from rich.text import Text

    from sowplan.supply.entering import PASSES, to_enter

    if task.kind in PASSES:
        return
    words = to_enter(plan, task)
    pairs = [" ".join(words[n : n + 2]) for n in range(0, len(words), 2)]
    for line in pairs if words[0] == "--only" else words:
        console.print(Text(" " * (4 if whole else _WHEN) + line, "dim"))


def _console() -> Console:
    """Return a console: the terminal's width up to 100, and 80 columns of plain text in a pipe."""
    import shutil
    import sys

    from rich.console import Console

    width = 80
    if sys.stdout.isatty():
        width = max(50, min(100, shutil.get_terminal_size().columns))
    return Console(width=width, highlight=False, markup=False, emoji=False, soft_wrap=False)
