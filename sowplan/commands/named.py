"""What the words of a command line name in a garden: a crop, a place, a tray; or leave."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any, NoReturn

import typer

from sowplan.problem import Exit, did_you_mean

if TYPE_CHECKING:
    from sowplan.records.crop import Crop
    from sowplan.records.garden import Garden, Tray


def garden_at(path: Path) -> tuple[dict[str, Crop], Garden]:
    """Read the garden file; print its problems and leave where there are any."""
    from sowplan.commands.problems import stop
    from sowplan.records.garden_file import read_garden

    reading = read_garden(path)
    if reading.garden is None:
        stop(reading.problems)
    return reading.crops, reading.garden


def crop_named(name: str, known: dict[str, Crop]) -> Crop:
    """Return the crop of a name; leave, with what may be meant, where it is none or not one."""
    from sowplan.records.crop_table.names import find_crop, matching_keys, suggest_crops

    one = find_crop(name, known)
    if one is not None:
        return one
    several = matching_keys(name, known)
    if several:
        leave(f"'{name}' may be any of: {', '.join(several)}. Give one of these.")
    hint = suggest_crops(name, known) or " 'sowplan crops' lists them all."
    leave(f"There is no crop '{name}'.{hint}")


def place_named(name: str | None, garden: Garden, crop: Crop) -> Any:
    """Return the place of a name, or the first bed, or pots, or a channel that suits it."""
    places = (*garden.beds, *garden.pots, *(garden.channels if crop.channel else ()))
    if name is None:
        if not places:
            leave(f"The garden has no bed or pots for {crop.name.lower()}.")
        return places[0]
    return _named(name, garden.places, "place")


def tray_named(name: str | None, garden: Garden) -> Tray | None:
    """Return the tray of a name, or the first with lamps and warmth, or the first, or None."""
    if name is not None:
        return _named(name, garden.trays, "tray")
    lit = [t for t in garden.trays if t.ppfd is not None and t.temperature_c is not None]
    return next(iter([*lit, *garden.trays]), None)


def _named(name: str, records: tuple[Any, ...], kind: str) -> Any:
    for one in records:
        if one.name.casefold() == name.casefold():
            return one
    names = [one.name for one in records]
    there = f" There is {', '.join(names)}." if names else ""
    leave(f"The garden has no {kind} '{name}'.{did_you_mean(name, names) or there}")


def leave(message: str, code: Exit = Exit.WRONG) -> NoReturn:
    """Say what is wrong and leave."""
    typer.echo(message, err=True)
    raise typer.Exit(code)
