"""``sowplan plan``: the main job, from a garden file to the plan folder."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from sowplan.commands.problems import finite
from sowplan.commands.stopped import how_stopped, leave_unwritten

if TYPE_CHECKING:
    from sowplan.season.plan import Plan

WIDTH = 80  # characters of what is said


def plan(
    garden: Annotated[Path, typer.Argument(help="A garden file.", metavar="GARDEN")],
    out: Annotated[
        Path, typer.Option("--out", "-o", help="The plan folder to write.", metavar="FOLDER")
    ] = Path("plan"),
    effort: Annotated[
        float,
        typer.Option(
            min=0.0,
            callback=finite,
            help="Work to spend on it, as a multiple of the usual; "
            "above 1 whole numbers count, and more never makes the plan worse.",
        ),
    ] = 1.0,
    safety: Annotated[
        float,
        typer.Option(
            min=0.5,
            max=0.99,
            callback=finite,
            help="Share of years in which harvests should be there by the planned day; "
            "0.9 plans for a late year.",
        ),
    ] = 0.5,
    fixed_interval: Annotated[
        bool,
        typer.Option(
            "--fixed-interval",
            help="Sow each crop every one, two or three weeks instead, as by the rule of thumb.",
        ),
    ] = False,
    as_json: Annotated[bool, typer.Option("--json", help="Print the plan as JSON.")] = False,
) -> None:
    """Plan a season: what to sow when, how many, and where each batch stands.

    Writes the plan folder: a summary, the phone's calendar, tables and sheets.
    What cannot be met is said with its reason. Ctrl-C ends the work with the
    best plan so far.

    For example:

      sowplan plan garden.toml --out plan

      sowplan plan garden.toml --out plan --effort 5

      sowplan plan garden.toml --out cautious --safety 0.9
    """
    try:
        from sowplan.commands.plan_files import (
            by_diary,
            diary_in_the_way,
            revised_in_the_way,
            unfinished_in_the_way,
        )
        from sowplan.commands.problems import stop_on
        from sowplan.commands.progress_line import ProgressLine
        from sowplan.export.folder import cannot_write, write_folder
        from sowplan.records.garden_file import read_garden
        from sowplan.season.planner import make_plan

        with ProgressLine() as line:
            reading = read_garden(garden)
            stop_on(reading.problems)
            assert reading.garden is not None  # there is no problem
            # What the folder has against it is told before minutes are spent on the plan.
            stop_on(cannot_write(out))
            stop_on(revised_in_the_way(reading.garden, out))
            stop_on(unfinished_in_the_way(reading.garden, out))
            made, problems = make_plan(
                reading.garden,
                reading.crops,
                effort=effort,
                safety=safety,
                fixed_interval=fixed_interval,
                watch=line.watch,
            )
            stop_on(problems)
            assert made is not None
            stop_on(diary_in_the_way(made, out))
            with line.writing():
                entries, more = by_diary(made, out)
                stop_on(write_folder(made, out, more=more, entries=entries))
    except KeyboardInterrupt:
        leave_unwritten(out)
    if as_json:
        from sowplan.season.archive import to_json

        typer.echo(to_json(made), nl=False)
    else:
        typer.echo("\n".join(_said(made, out)))


def _said(made: Plan, out: Path) -> list[str]:
    """Return what the season looks like in a few lines, and what to open next."""
    from sowplan.export.headline import headline
    from sowplan.export.print.pdf import SHEETS, usual_sheets
    from sowplan.quantity import wrapped
    from sowplan.season.in_vain import vain_notes

    short = len(usual_sheets(made)) < len(SHEETS)
    more = f"; with labels: sowplan print {out} --all" if short else ""
    head = typer.style(f"{made.site.name}: {made.site.start} to {made.site.end}", bold=True)
    lines = [head]
    for line in (*headline(made), *vain_notes(made)):
        lines += wrapped(line, WIDTH, "  ", " " * 4)
    lines += ["  " + line for line in how_stopped(made.quality)]
    opens = [
        ("page.html", "this week and the season, for phone and screen"),
        ("print.pdf", f"sheets for the shed door{more}"),
        ("summary.txt", "the season in words"),
        ("season.ics", "for the phone's calendar"),
        ("tasks.csv", "what to do, day by day"),
    ]
    there = [(name, what) for name, what in opens if (out / name).exists()][:4]
    width = max((len(name) for name, _ in there), default=0)
    lines.append(f"Written to {out}. Open next:")
    return lines + [f"  {name:<{width}}  {what}" for name, what in there]
