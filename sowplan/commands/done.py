"""``sowplan done``: enter what happened into the season's diary."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

if TYPE_CHECKING:
    from sowplan.commands.done_words import Reader
    from sowplan.problem import Problem
    from sowplan.records.diary import Entry
    from sowplan.season.plan import Plan


def done(
    ids: Annotated[
        list[str] | None,
        typer.Argument(
            help="Jobs done, each as ID or ID=DAY; the page writes this line for you.",
            metavar="ID[=DAY]...",
        ),
    ] = None,
    harvested: Annotated[
        list[str] | None,
        typer.Option(
            "--harvested",
            metavar="ID=AMOUNT",
            help="So much came of a harvest or a sowing, in the crop's own unit; repeatable.",
        ),
    ] = None,
    lost: Annotated[
        list[str] | None,
        typer.Option(
            "--lost", metavar="ID=NUMBER", help="So many plants of a sowing were lost; repeatable."
        ),
    ] = None,
    skipped: Annotated[
        list[str] | None,
        typer.Option(
            "--skipped", metavar="ID", help="A planned sowing was not sown, and will not be."
        ),
    ] = None,
    only: Annotated[
        list[str] | None,
        typer.Option(
            "--only",
            metavar="ID[=DAY]",
            help="This job alone, not the like ones of its day that its id also stands for.",
        ),
    ] = None,
    on: Annotated[
        str | None,
        typer.Option(metavar="DAY", help="The day, where none is named; otherwise today."),
    ] = None,
    every: Annotated[
        bool,
        typer.Option("--all", help="All that `sowplan due` has for the day, each job of it."),
    ] = False,
    since: Annotated[
        str | None,
        typer.Option(
            metavar="DAY",
            help="With --all: also what was to be done from that day on, each on its own day.",
        ),
    ] = None,
    undo: Annotated[
        bool,
        typer.Option(
            "--undo",
            help="Take back the last entry, what was entered of each ID, or --all of a day.",
        ),
    ] = False,
    folder: Annotated[Path, typer.Option("--in", metavar="FOLDER", help="The plan folder.")] = Path(
        "plan"
    ),
    as_json: Annotated[bool, typer.Option("--json", help="Print JSON.")] = False,
) -> None:
    """Enter what happened: what was done and when, what was lost, what was not sown.

    Tick the jobs on the page, copy the line it makes, and run it here. It goes into the diary in
    the plan folder, a plain text you may also write yourself. The same line twice does no harm.

    Then `sowplan due` leaves out what is done, and `sowplan revise` plans on from there.

    For example:

      sowplan done lettuce-butterhead-3:sow=2026-11-07 radish-2:thin=2026-11-08

      sowplan done kale-1:plant-out --on yesterday

      sowplan done --all

      sowplan done --all --since 2026-11-02

      sowplan done --harvested rocket:harvest-29=2

      sowplan done --lost lettuce-butterhead-3=4

      sowplan done --skipped spinach-2 --in courtyard-plan

      sowplan done --undo
    """
    import textwrap

    from sowplan.commands.done_words import Reader
    from sowplan.commands.plan_files import diary_and_problems, opened_plan, page_anew
    from sowplan.commands.problems import stop_on
    from sowplan.commands.today import day_meant
    from sowplan.commands.undo import take_back_last
    from sowplan.records.diary import add_to_diary, read_diary
    from sowplan.supply.brought import brought_words

    others = bool(only or harvested or lost or skipped or (ids if every else on))
    _stop_on_contrary_words(undo, others, every, since)
    if not (ids or only or harvested or lost or skipped or every or undo):
        raise typer.BadParameter(
            "Say what was done, such as kale-1:sow; `sowplan due --ids` shows the jobs, the page "
            "ticks them.",
            param_hint="ID",
        )
    plan = opened_plan(folder, "--in")
    today, last = day_meant(None, plan), day_meant(on, plan)
    first = day_meant(since, plan, "--since") if since else None
    path, known, problems = diary_and_problems(plan, folder)
    # What can be read may be taken back, whatever is wrong with it.
    stop_on(read_diary(path)[1] and problems if undo else problems)
    if undo:
        days = (first or last, last) if every else None
        take_back_last(plan, path, known, ids or (), days, as_json)
        return
    reader = Reader(plan, known, last, today)
    for text in ids or ():
        reader.job(text)
    for text in only or ():
        reader.job(text, alone=True)
    for text in harvested or ():
        reader.harvest(text)
    if every:
        reader.every(first)
    for text in lost or ():
        reader.loss(text)
    for text in skipped or ():
        reader.skip(text)
    stop_on(reader.problems)
    new = list(dict.fromkeys(reader.entries))
    old = {entry.told for entry in known}
    new, again = [e for e in new if e.told not in old], [e for e in new if e.told in old]
    stop_on(_contrary(plan, path, known, new, today))
    if new:
        stop_on(add_to_diary(path, [(e, reader.remark(e)) for e in new], _heading(plan)))
        page_anew(plan, path.parent, [*known, *new])
    _say(path, new, [*reader.again, *again], reader, as_json)
    if every and not (new or as_json):
        typer.echo("Of these days there is nothing left to enter.")
    for line in reader.early(new):
        typer.echo(line, err=True)
    words = brought_words(plan, new)
    if words and not as_json:
        typer.echo("\n".join(textwrap.wrap(words, 80, break_on_hyphens=False)))


def _stop_on_contrary_words(undo: bool, others: bool, every: bool, since: str | None) -> None:
    """Leave where options are given that do not go together."""
    if undo and others:
        raise typer.BadParameter("Nothing but IDs, or --all, goes with it.", param_hint="--undo")
    if since is not None and not every:
        raise typer.BadParameter("This goes with --all.", param_hint="--since")


def _contrary(
    plan: Plan, path: Path, known: Sequence[Entry], new: Sequence[Entry], today: date
) -> list[Problem]:
    """Return what `sowplan revise` would refuse of the diary with the new entries in it."""
    from sowplan.season.revise.happened import happened_to

    _, before = happened_to(known, plan, str(path), today)
    _, after = happened_to([*known, *new], plan, str(path), today)
    return [problem for problem in after if problem not in before]


def _heading(plan: Plan) -> list[str]:
    """Return what a new diary begins with."""
    from sowplan.supply.wording import day_text, one_line

    first = day_text(plan.site.start, weekday=False, year=True)
    return [
        f"What happened in {one_line(plan.site.name)}, season from {first}.",
        "`sowplan done` writes here, and so may you: a day, what happened, to which sowing.",
        "sown, bought, planted, harvested, cleared, lost (with a number), skipped, or done and a "
        "job.",
        "What follows a # is for you alone.",
    ]


def _say(path: Path, new: list[Entry], again: list[Entry], reader: Reader, as_json: bool) -> None:
    if as_json:
        import json
        from dataclasses import asdict

        def plain(entries: list[Entry]) -> list[dict]:
            return [{k: v for k, v in asdict(e).items() if k != "line"} for e in entries]

        told = {"diary": str(path), "entered": plain(new), "known": plain(again)}
        typer.echo(json.dumps(told, default=date.isoformat, ensure_ascii=False, indent=2))
        return
    for heading, entries in ((f"Entered in {path}:", new), ("Entered before:", again)):
        if entries:
            typer.echo(heading)
        for entry in entries:
            remark = reader.remark(entry)
            typer.echo(f"  {entry}" + (f"  ({remark})" if remark else ""))
    if any(entry.what in ("lost", "skipped") for entry in new):
        typer.echo("`sowplan revise` plans on from here, moving as little as can be.")
