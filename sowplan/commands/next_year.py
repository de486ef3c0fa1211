"""``sowplan new --after``: next year's garden file out of this year's, its plan and its diary."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path
from typing import TYPE_CHECKING

import typer

_LONG = timedelta(days=200)
"""Of what is wanted once in a time as long the days tell nothing."""

if TYPE_CHECKING:
    from sowplan.problem import Problem
    from sowplan.records.crop import Crop
    from sowplan.records.garden import Garden, Season, Want
    from sowplan.season.carried import Carried
    from sowplan.season.plan import Plan
    from sowplan.season.sooner import LeftOut


def next_year(
    file: Path, after: Path, plan: Path, start: date | None = None
) -> tuple[str, list[str]]:
    """Return the text of next year's garden file, and what to say about it; or leave.

    Parameters
    ----------
    file : Path
        The file it will be.
    after : Path
        This year's garden file.
    plan : Path
        The plan folder made from it.
    start : date, optional
        First day of the new season; otherwise the first after the old one.
    """
    from sowplan.commands.problems import stop, stop_on
    from sowplan.export.folder import is_plan_folder
    from sowplan.records.diary import diary_path, read_diary
    from sowplan.records.garden_file import read_garden
    from sowplan.records.garden_file.next_season import next_season
    from sowplan.records.garden_file.next_year import next_text
    from sowplan.records.text_file import read_text
    from sowplan.season.carried import carried
    from sowplan.season.revise.happened import happened_to

    if is_plan_folder(after) or after.suffix == ".json":
        raise typer.BadParameter(
            "This is the plan: name the garden file after --after, and the plan after --plan.",
            param_hint="--after",
        )
    reading = read_garden(after)
    garden, (text, unread) = reading.garden, read_text(after, "garden file")
    made = _opened(plan, after, reading.problems)
    path = diary_path(plan if plan.is_dir() else plan.parent, made.site.start)
    entries, problems = read_diary(path)
    if garden is None or text is None:  # what is wrong with the diary is told all the same
        _, more = happened_to(entries, made, str(path), date.max)
        stop([*(reading.problems or unread), *problems, *more])
    _refuse_start(start, garden.season)
    handed, more = carried(made, garden, reading.crops, entries, str(path), start)
    stop_on([*problems, *more])
    assert handed is not None  # there is no problem
    new, over = next_text(
        text, garden, reading.crops, handed.sowings, handed.past, handed.still, handed.resting,
        (after.parent, file.parent), start,
    )  # fmt: skip
    season = next_season(garden.season, start)
    said = _said(garden, season, reading.crops, handed, bool(over))
    said[1:1] = _too_late(garden, season, reading.crops, handed, made.safety)
    return new, said


def _opened(plan: Path, after: Path, problems: Sequence[Problem]) -> Plan:
    """Return the plan of a folder; where there is none, leave, with the garden file's problems."""
    from sowplan.commands.plan_files import opened_plan
    from sowplan.commands.problems import show

    try:
        return opened_plan(plan, "--plan", after)
    except typer.Exit:
        show(problems)
        raise


def _too_late(
    garden: Garden, season: Season, crops: dict[str, Crop], handed: Carried, safety: float
) -> list[str]:
    """Return what a season leaves out by beginning when it does, and when to begin instead."""
    from sowplan.records.years import DAY
    from sowplan.season.sooner import left_out
    from sowplan.season.words import listed

    wants = _wants_of(garden, season, handed)
    found = left_out(
        garden, crops, season, wants, handed.sowings, garden.season.start + DAY, safety
    )
    if not found:
        return []
    told = listed([_left_out_words(one, crops[one.crop]) for one in found])
    sow = min(one.sow for one in found)
    it = "it" if len(found) == 1 else "them"
    small = ", or only small," if any(one.small for one in found) else ""
    return [
        f"What is wanted early in it cannot be had{small} where nothing is sown before: {told}. "
        f"With --start {sow} the new plan takes over on that day and sows for {it} in time. Or "
        f"sow {it} yourself by then, and add {it} as a [[sowing]]."
    ]


def _left_out_words(one: LeftOut, crop: Crop) -> str:
    """Return ``"Garlic 1 to 31 January (to be planted by 28 August; later it stays small)"``."""
    from sowplan.season.words import in_list, sown_word
    from sowplan.supply.wording import day_text, days_text

    days = f" {days_text(one.first, one.last)}" if one.last - one.first < _LONG else ""
    by = day_text(one.sow, weekday=False)
    small = "; later it stays small" if one.small else ""
    return f"{in_list(crop.name)}{days} (to be {sown_word(crop)} by {by}{small})"


def _wants_of(garden: Garden, season: Season, handed: Carried) -> list[Want]:
    """Return what is wanted in a season after another, with what is left of that one's wants."""
    from sowplan.records.garden_file.next_season import moved_days

    found = []
    for want in garden.wants:
        first, last = moved_days(want, garden.season, season)
        found.append(replace(want, start=first, end=last))
    for one in handed.still:
        found.append(replace(garden.wants[one.want], start=one.start, end=one.end))
    return found


def _refuse_start(start: date | None, season: Season) -> None:
    """Leave where a season cannot take over from another on a day."""
    from sowplan.records.garden_file.next_season import next_season

    latest = next_season(season).start
    if start is not None and not season.start < start <= latest:
        message = f"The new season begins after {season.start} and by {latest}: found {start}."
        raise typer.BadParameter(message, param_hint="--start")


def _said(
    garden: Garden, season: Season, crops: Mapping[str, Crop], handed: Carried, over: bool
) -> list[str]:
    """Return what was taken over and what to look at, a sentence or two each."""
    from sowplan.season.words import listed
    from sowplan.supply.wording import day_text

    start, end = (day_text(day, weekday=False, year=True) for day in (season.start, season.end))
    lines = [f"The season is {start} to {end}, and what you want is moved on with it."]
    if season.start <= garden.season.end:
        lines.append(f"From {start} on it takes the place of the plan before: follow the new one.")
    standing: dict[str, int] = {}
    for one in handed.sowings:
        standing[one.crop] = standing.get(one.crop, 0) + one.plants
    told = listed([f"{many} {crops[key].name}" for key, many in standing.items()])
    nothing = "By the plan nothing stands on its first day. What does: add it as a [[sowing]]."
    lines.append(f"On its first day there stand {told}." if told else nothing)
    if handed.past:
        lines.append("What stood in the beds last is in it, for the rotation.")
    for family, names in handed.resting.items():
        lines.append(
            f"Every bed like those that {listed(names)} stood in rests from {family}: the end of "
            "the file shows how to let it rest less."
        )
    if garden.season.away:
        lines.append("Last season's days away are in it as a remark: put in next year's.")
    if over:
        lines.append("Sowings of your own that are over are in it as remarks, moved on.")
    lines += [f"Left out: {why}" for why in handed.left_out]
    return lines
