"""``sowplan crops``: look a crop up, list them, or show the columns of the table."""

from __future__ import annotations

import json
import math
import re
import sys
import textwrap
from dataclasses import asdict
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Literal

import typer

from sowplan.problem import Problem

if TYPE_CHECKING:
    from sowplan.records.crop import Crop

_OWN_TABLE = """\
A table of your own needs only the columns you fill, in any order:
  change a crop      its key, and the cells that differ; blank keeps what is there
  empty a figure     -
  add a crop         a new key, and 'like' with the key of a crop it resembles
  add a whole crop   a new key and every needed column

    key,like,name,spacing_cm,maturity_days
    radish,,,5,
    red-butterhead,lettuce-butterhead,Red butterhead,22,45

See it with: sowplan crops --with FILE"""


def crops(
    name: Annotated[str | None, typer.Argument(help="A crop, by any of its names.")] = None,
    group: Annotated[
        str | None,
        typer.Option(help="Only this group: leaf, root, legume, allium, brassica, fruiting, herb."),
    ] = None,
    own: Annotated[
        Path | None, typer.Option("--with", help="Your own crop table, laid over the shipped one.")
    ] = None,
    columns: Annotated[
        bool, typer.Option("--columns", help="Show the columns of the crop table.")
    ] = False,
    units: Annotated[Literal["metric", "imperial"], typer.Option(help="Units to show.")] = "metric",
    as_json: Annotated[bool, typer.Option("--json", help="Print JSON.")] = False,
) -> None:
    """Look a crop up: spacing, days, harvest, weather, and where the figures come from.

    Without a name it lists the crops. With a word that fits several, it lists those.

    For example:

      sowplan crops

      sowplan crops zucchini --units imperial

      sowplan crops lettuce

      sowplan crops --group herb --with my-crops.csv

      sowplan crops --columns
    """
    if columns:
        _show_columns(as_json)
        return
    known = _read(own)
    found = _chosen(name, _of_group(group, known))
    single = name is not None and len(found) == 1
    if as_json:
        rows = [_plain(crop) for crop in found]
        _echo(json.dumps(rows[0] if single else rows, ensure_ascii=False, indent=2))
    elif single:
        _show_card(found[0], known, units)
    else:
        _show_list(found, units, own)


def _echo(text: str, bold: bool = False) -> None:
    typer.echo(typer.style(text, bold=True) if bold else text)


def _read(own: Path | None) -> dict[str, Crop]:
    from sowplan.commands.problems import stop_on
    from sowplan.records.crop_table import read_crops

    known, problems = read_crops(own)
    stop_on(problems)
    return known


def _of_group(group: str | None, known: dict[str, Crop]) -> dict[str, Crop]:
    if group is None:
        return known
    from sowplan.problem import did_you_mean

    groups = {crop.group for crop in known.values()}
    if group.casefold() not in groups:
        there = ", ".join(sorted(groups))
        message = f"There is no group '{group}'; there are {there}.{did_you_mean(group, groups)}"
        raise typer.BadParameter(message, param_hint="--group")
    return {key: crop for key, crop in known.items() if crop.group == group.casefold()}


def _chosen(name: str | None, known: dict[str, Crop]) -> list[Crop]:
    from sowplan.commands.named import crops_named
    from sowplan.commands.problems import stop

    if name is None:
        return list(known.values())
    found = crops_named(name, known)
    if isinstance(found, Problem):
        stop([found])
    return found


def _plain(crop: Crop) -> dict[str, object]:
    """Return the crop as JSON can hold it: days without end become null."""
    values = asdict(crop)
    values["emergence_table_days"] = [
        None if math.isinf(days) else days for days in crop.emergence_table_days
    ]
    return values


def _show_card(crop: Crop, known: dict[str, Crop], units: Literal["metric", "imperial"]) -> None:
    from sowplan.commands.crop_card import card
    from sowplan.records.crop_table import sources

    title, rest = card(crop, sources(), units, _width()).split("\n", 1)
    _echo(title, bold=True)
    _echo(rest)
    alike = [key for key in _namesakes(crop, known) if key != crop.key]
    if alike:
        more = f" and {len(alike) - 6} more" if len(alike) > 6 else ""
        _echo("")
        text = f"See also: {', '.join(alike[:6])}{more}"
        for line in textwrap.wrap(text, _width(), break_on_hyphens=False):
            _echo(line)


def _namesakes(crop: Crop, known: dict[str, Crop]) -> list[str]:
    """Return the keys of crops whose names share the last word of this one's."""
    word = crop.name.casefold().split()[-1]
    names = {key: f"{key} {other.name}".casefold() for key, other in known.items()}
    return [key for key, name in names.items() if word in re.split(r"[\s-]+", name)]


def _show_list(found: list[Crop], units: Literal["metric", "imperial"], own: Path | None) -> None:
    from sowplan.commands.crop_card import listing, listing_head

    _echo(listing_head())
    for heading, line in listing(found, units):
        _echo(f"\n{heading}" if heading else line, bold=bool(heading))
    if own is not None:
        _echo(f"\n* added or changed by {own}")
    _echo(f"\n{len(found)} crops. 'sowplan crops NAME' shows one of them whole.")


def _show_columns(as_json: bool) -> None:
    from sowplan.records.crop_table.columns import columns

    if as_json:
        rows = [asdict(column) for column in columns()]
        _echo(json.dumps(rows, ensure_ascii=False, indent=2))
        return
    from sowplan.commands.crop_card import schema

    _echo(schema(columns(), _width()))
    _echo(f"\n{_OWN_TABLE}")


def _width() -> int:
    """Return the width to wrap at: the terminal's up to 100, and 80 in a pipe or file."""
    if not sys.stdout.isatty():
        return 80
    import shutil

    return max(50, min(100, shutil.get_terminal_size().columns))
