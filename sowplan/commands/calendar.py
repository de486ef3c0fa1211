"""``sowplan calendar``: the calendar of a plan again, without planning."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer


def calendar(
    plan: Annotated[Path, typer.Argument(help="A plan folder.", metavar="PLAN_FOLDER")],
    out: Annotated[
        Path | None,
        typer.Option(help="File to write; - prints it. Otherwise season.ics in the plan folder."),
    ] = None,
    before: Annotated[
        Path | None,
        typer.Option(
            help="An earlier plan folder whose calendar was imported already: "
            "its events that are no more are marked cancelled. Of a revised plan, by itself, the "
            "plan before."
        ),
    ] = None,
    ring_harvests: Annotated[
        bool,
        typer.Option("--ring-harvests", help="Ring before days with nothing but a harvest too."),
    ] = False,
    as_json: Annotated[
        bool, typer.Option("--json", help="Print what was written as JSON.")
    ] = False,
) -> None:
    """Write a plan's calendar for the phone (iCalendar, .ics).

    Each event is a whole day and does not count as busy. The evening before a day with work the
    phone rings once and names all of it; for harvests alone it does not ring.

    Importing a later calendar of the same season moves the events that are there. By the diary,
    what is done is told as done and rings no more, and what was lost or not sown is cancelled.

    For example:

      sowplan calendar plan

      sowplan calendar plan --out garden.ics

      sowplan calendar plan-november --before plan-september --out garden.ics
    """
    from sowplan.commands.plan_files import diary_and_problems, opened_plan, write_file
    from sowplan.commands.problems import stop_on
    from sowplan.export.calendar import calendar as make_calendar
    from sowplan.export.outputs import BEFORE
    from sowplan.records.diary import taken_back

    opened = opened_plan(plan)
    if before is None and opened.revision and (plan / BEFORE).exists():
        before = plan / BEFORE
    old = opened_plan(before) if before else None
    diary, entries, problems = diary_and_problems(opened, plan)
    stop_on(problems)
    data = make_calendar(opened, old, ring_harvests, entries, taken_back(diary))
    if out is not None and str(out) == "-":
        typer.get_binary_stream("stdout").write(data)
        return
    target = out or (plan if plan.is_dir() else plan.parent) / "season.ics"
    write_file(target, data)
    events = data.count(b"BEGIN:VEVENT")
    if as_json:
        import json

        typer.echo(json.dumps({"file": str(target), "events": events}, ensure_ascii=False))
    else:
        typer.echo(f"{target}: {events} events. Open it on the phone, or import it.")
