"""``sowplan revise``: plan the rest of the season again. Here the clock is read."""

from __future__ import annotations

from datetime import date
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from sowplan.commands.problems import finite
from sowplan.commands.stopped import how_stopped, leave_unwritten

if TYPE_CHECKING:
    from collections.abc import Sequence

    from sowplan.problem import Problem
    from sowplan.records.diary import Entry
    from sowplan.season.plan import Plan
    from sowplan.season.revise.changes import Changes
    from sowplan.supply.task import Task

MOST_TOLD = 12
"""Changes told on the screen under one heading; all are in the folder."""


def revise(
    garden: Annotated[Path, typer.Argument(help="The garden file as it now is.", metavar="GARDEN")],
    out: Annotated[
        Path, typer.Option("--out", "-o", help="The plan folder to revise.", metavar="FOLDER")
    ] = Path("plan"),
    today: Annotated[
        str | None,
        typer.Option(metavar="DAY", help="The day to plan from, as 2026-12-05; otherwise today."),
    ] = None,
    effort: Annotated[
        float,
        typer.Option(
            min=0.0,
            callback=finite,
            help="Work to spend on it, as a multiple of the usual; "
            "above 1 whole numbers count, and more never makes the plan worse.",
        ),
    ] = 1.0,
    anew: Annotated[
        bool, typer.Option("--anew", help="Plan all that is to come afresh, whatever that changes.")
    ] = False,
    as_json: Annotated[bool, typer.Option("--json", help="Print the changes as JSON.")] = False,
) -> None:
    """Plan the rest of the season again, moving as little as can be.

    What is sown stands: on the days in your diary (see `sowplan done`), otherwise as planned;
    what was lost is made up for where it can be. A bed more or less, other wants: change the
    garden file, then revise. Sowings and calendar events keep their names.

    Of the sowings to come at most a tenth are changed (of few, two), besides what cannot stay as
    it is. Where that costs much, it says so: --anew plans all that is to come afresh.

    The plan folder is written again, with what changed in changes.txt and the plan as it was in
    before.json. Ctrl-C ends the work with the best plan so far.

    For example:

      sowplan revise garden.toml

      sowplan revise garden.toml --out plan --today 2026-12-05
    """
    import textwrap

    try:
        from sowplan.commands.due import day_meant
        from sowplan.commands.plan_files import diary_and_problems, opened_plan, page_anew
        from sowplan.commands.problems import stop_on
        from sowplan.commands.progress_line import ProgressLine
        from sowplan.export.folder import cannot_write
        from sowplan.records.garden_file import read_garden
        from sowplan.season.revise.again import revise as plan_again
        from sowplan.season.revise.changes import changes_between
        from sowplan.supply.brought import brought_words
        from sowplan.supply.undone import taken_as_done

        with ProgressLine() as line:
            reading = read_garden(garden)
            stop_on(reading.problems)
            assert reading.garden is not None  # there is no problem
            old = opened_plan(out, "--out", garden)
            folder = out if out.is_dir() else out.parent
            day = day_meant(today, old)
            path, entries, problems = diary_and_problems(old, out, day)
            stop_on(problems or cannot_write(folder))
            new, gone, problems = plan_again(
                old,
                reading.garden,
                reading.crops,
                day,
                entries,
                str(path),
                effort,
                line.watch,
                anew,
            )
            stop_on(problems)
            assert new is not None
            changes = changes_between(old, new, max(day, old.site.start), gone, reading.garden)
            assumed = taken_as_done(old, entries, day)
            with line.writing():
                if new is not old:
                    stop_on(_write(old, new, changes, out, assumed, entries))
                else:
                    page_anew(old, folder, entries)
    except KeyboardInterrupt:
        leave_unwritten(out)
    if as_json:
        typer.echo(_json(changes, new), nl=False)
        return
    if new is old:
        typer.echo("All is as planned: nothing changes.")
    else:
        typer.echo("\n".join(_said(changes, old, new, folder, assumed)))
    counted = brought_words(old, [e for e in entries if e.day >= (old.revised or e.day)])
    if counted:
        typer.echo("\n" + textwrap.fill(counted, 80, break_on_hyphens=False))


def _write(
    old: Plan,
    new: Plan,
    changes: Changes,
    out: Path,
    assumed: tuple[Task, ...],
    entries: Sequence[Entry],
) -> list[Problem]:
    """Write the folder of the plan at ``out`` again; the plan as it was is kept just as it lay."""
    from sowplan.export.calendar import calendar, with_ended
    from sowplan.export.changes import changes_text
    from sowplan.export.folder import write_folder
    from sowplan.export.outputs import BEFORE, CHANGES, MARK
    from sowplan.records.diary import diary_path, taken_back

    new = with_ended(new, old, entries)
    folder, file = (out, out / MARK) if out.is_dir() else (out.parent, out)
    back = taken_back(diary_path(folder, new.site.start))
    more = {
        BEFORE: file.read_bytes(),
        CHANGES: changes_text(changes, old, new, assumed).encode("utf-8"),
        "season.ics": partial(calendar, new, diary=entries, taken_back=back),
    }
    return write_folder(new, folder, more=more, entries=entries)


def _said(
    changes: Changes, old: Plan, new: Plan, folder: Path, assumed: tuple[Task, ...]
) -> list[str]:
    """Return what changed, for the screen."""
    import textwrap

    from sowplan.export.changes import headline, sections
    from sowplan.export.outputs import CHANGES

    first, *others = headline(changes, old, new)
    wrapped = textwrap.wrap(first, 80, subsequent_indent="  ", break_on_hyphens=False)
    lines = [typer.style(line, bold=True) for line in wrapped]
    for words in others:
        lines += textwrap.wrap(words, 80, subsequent_indent="  ", break_on_hyphens=False)
    lines += how_stopped(new.quality)
    for heading, items in sections(changes, old, new, assumed):
        lines.append(f"\n{heading}:")
        for item in items[:MOST_TOLD]:
            lines += textwrap.wrap(
                item, 80, initial_indent="  ", subsequent_indent="    ", break_on_hyphens=False
            )
        if len(items) > MOST_TOLD:
            lines.append(f"  … and {len(items) - MOST_TOLD} more, in {folder / CHANGES}")
    if assumed:
        lines.append(
            "  If one was not: enter it with `sowplan done --skipped ID`, and revise again."
        )
    lines.append(f"\nWritten to {folder}. Import season.ics again: the events move with the plan.")
    return lines


def _json(changes: Changes, new: Plan) -> str:
    import json
    from dataclasses import asdict

    told = {
        "today": changes.today,
        "revision": new.revision,
        "coming": changes.coming,
        "changed": changes.many,
        "had_to_change": changes.had_to,
        "added": changes.added,
        "missing_share": new.quality.missing_share,
        "changes": [asdict(change) for change in changes.changes],
    }
    return json.dumps(told, default=date.isoformat, ensure_ascii=False, indent=1) + "\n"
