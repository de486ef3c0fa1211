"""Taking entries of the diary back: what ``sowplan done --undo`` does."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import typer

if TYPE_CHECKING:
    from sowplan.records.diary import Entry
    from sowplan.season.plan import Plan


def take_back_last(
    plan: Plan,
    path: Path,
    known: Sequence[Entry],
    ids: Sequence[str],
    days: tuple[date, date] | None,
    as_json: bool,
) -> None:
    """Take back the last entry, or what was entered of each id or done on some days; say what.

    ``days`` are the first and last of them; what was lost or skipped stays.
    """
    from sowplan.commands.plan_files import page_anew
    from sowplan.commands.problems import stop_on
    from sowplan.problem import Exit, Problem
    from sowplan.records.diary import take_back
    from sowplan.supply.tasks import tasks

    ticks = {task.id: {job.id for job in task.jobs} for task in tasks(plan)}
    back: list[Entry] = []
    problems = []
    for name in ids:
        found = of_id(known, name.split("=")[0], ticks)
        if not found:
            none = "nothing of it stands in the diary."
            problems.append(Problem(str(path), None, "--undo", name, none, Exit.WRONG))
        back += found
    if days is not None:
        jobs = (entry for entry in known if entry.what not in ("lost", "skipped"))
        back += [entry for entry in jobs if days[0] <= entry.day <= days[1]]
    elif not ids:
        back = last_of(known, ticks)
    if not (ids or back):
        none = "there is nothing in the diary to take back."
        problems.append(Problem(str(path), None, "--undo", "", none, Exit.WRONG))
    stop_on(problems)
    back = list(dict.fromkeys(back))
    stop_on(take_back(path, back))
    page_anew(plan, path.parent, [entry for entry in known if entry not in back])
    if as_json:
        import json
        from dataclasses import asdict

        gone = [{k: v for k, v in asdict(e).items() if k != "line"} for e in back]
        told = {"diary": str(path), "taken_back": gone}
        typer.echo(json.dumps(told, default=date.isoformat, ensure_ascii=False, indent=2))
        return
    typer.echo(f"Taken back from {path}:")
    for entry in back:
        typer.echo(f"  {entry}")


def last_of(known: Sequence[Entry], ticks: dict[str, set[str]]) -> list[Entry]:
    """Return the last entry, with those just before it that one tick of the page entered too."""
    if not known:
        return []
    last = known[-1]
    tick = next((jobs for jobs in ticks.values() if last.task in jobs), {last.task})
    found = [last]
    for entry in reversed(known[:-1]):
        if last.task is None or entry.task not in tick or entry.day != last.day:
            break
        found.insert(0, entry)
    return found


def of_id(known: Sequence[Entry], name: str, ticks: dict[str, set[str]]) -> list[Entry]:
    """Return what was entered of a job or a tick of the page; of a sowing the last entry."""
    if ":" in name:
        jobs = ticks.get(name, {name}) | {name}
        return [entry for entry in known if entry.task in jobs]
    return [entry for entry in known if entry.planting == name][-1:]
