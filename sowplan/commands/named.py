"""What the words of a command line name in a garden: a crop, a place, a tray; or leave."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any, NoReturn

import typer

from sowplan.problem import Exit, Problem, did_you_mean

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


def crops_named(name: str, known: dict[str, Crop]) -> list[Crop] | Problem:
    """Return the crop of a name, or all that it may be; else a `Problem` with what may be meant."""
    from sowplan.records.crop_table.names import find_crop, matching_keys, suggest_crops

    one = find_crop(name, known)
    if one is not None:
        return [one]
    several = [known[key] for key in matching_keys(name, known)]
    hint = suggest_crops(name, known) or " 'sowplan crops' lists them all."
    return several or Problem("", None, "", "", f"There is no crop '{name}'.{hint}")


def crop_named(name: str, known: dict[str, Crop]) -> Crop | Problem:
    """Return the crop of a name; else a `Problem` with what may be meant."""
    from sowplan.records.crop_table.names import find_crop, suggest_crops

    found = crops_named(name, known)
    if isinstance(found, Problem):
        return found
    if len(found) > 1:
        keys = ", ".join(crop.key for crop in found)
        return Problem("", None, "", "", f"'{name}' may be any of: {keys}. Give one of these.")
    if find_crop(name, known) is None:  # a word of another plant's name
        return Problem("", None, "", "", f"There is no crop '{name}'.{suggest_crops(name, known)}")
    return found[0]


def crop_meant(name: str, known: dict[str, Crop]) -> Crop:
    """Return the crop of a name; leave, with what may be meant, where it is none or not one."""
    from sowplan.commands.problems import stop

    found = crop_named(name, known)
    if isinstance(found, Problem):
        stop([found])
    return found


def thing_named(name: str | None, things: Sequence[Any], kind: str, asked: str) -> Any:
    """Return the place or tray of a name, or of a part of one that no other has; else a `Problem`.

    Parameters
    ----------
    name : str or None
        As typed; without one the only thing there is.
    things : sequence
        What there is, each with a ``name``.
    kind : str
        What they are called: ``"place"``.
    asked : str
        The option or argument it was typed for.
    """
    names = [one.name for one in things]
    there = f" There {'is' if len(names) == 1 else 'are'} {', '.join(names)}." if names else ""
    if name is None:
        if len(things) == 1:
            return things[0]
        return Problem("", None, asked, "", f"Which {kind}?{there}", Exit.USAGE)
    typed = " ".join(name.split())
    same = [one for one in things if one.name.casefold() == typed.casefold()]
    alike = [one for one in things if typed and typed.casefold() in one.name.casefold()]
    if same or len(alike) == 1:
        return (same or alike)[0]
    if alike:
        hint = f" There are {', '.join(one.name for one in alike)}."
    else:
        hint = did_you_mean(typed, names) or there
    return Problem("", None, asked, "", f"There is no {kind} '{typed}'.{hint}")


def thing_meant(name: str | None, things: Sequence[Any], kind: str, asked: str) -> Any:
    """Return the same; leave, with what may be meant, where there is none."""
    from sowplan.commands.problems import stop

    found = thing_named(name, things, kind, asked)
    if isinstance(found, Problem):
        stop([found])
    return found


def place_named(name: str | None, garden: Garden, crop: Crop) -> Any:
    """Return the place of a name, or the first bed, or pots, or a channel that suits it."""
    places = (*garden.beds, *garden.pots, *(garden.channels if crop.channel else ()))
    if name is not None:
        return thing_meant(name, garden.places, "place", "--place")
    if not places:
        leave(f"The garden has no bed or pots for {crop.name.lower()}.")
    return places[0]


def tray_named(name: str | None, garden: Garden) -> Tray | None:
    """Return the tray of a name, or the first with lamps and warmth, or the first, or None."""
    if name is not None:
        return thing_meant(name, garden.trays, "tray", "--tray")
    lit = [t for t in garden.trays if t.ppfd is not None and t.temperature_c is not None]
    return next(iter([*lit, *garden.trays]), None)


def leave(message: str, code: Exit = Exit.WRONG) -> NoReturn:
    """Say what is wrong and leave."""
    typer.echo(message, err=True)
    raise typer.Exit(code)
