"""``sowplan fit``: how many plants of a crop a bed takes, and where each one stands."""

from __future__ import annotations

import json
from dataclasses import replace
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from sowplan.commands.screen import SCREEN
from sowplan.problem import Exit
from sowplan.quantity import wrapped

if TYPE_CHECKING:
    from sowplan.bed.layout import Layout
    from sowplan.commands.fit.between import Found
    from sowplan.commands.fit.question import Question


class Paper(StrEnum):
    """Sizes of paper."""

    a4 = "a4"
    letter = "letter"


def fit(
    crop: Annotated[str, typer.Argument(help="A crop, by any of its names.")],
    size: Annotated[
        list[str] | None,
        typer.Argument(help="The bed's inner sides, as for --bed.", metavar="[BED]"),
    ] = None,
    bed: Annotated[
        str | None, typer.Option(help='Its inner sides, "2.4 m x 1.2 m"; a tub, "60 cm round".')
    ] = None,
    garden: Annotated[
        Path | None, typer.Option("--garden", "-g", help="A garden file, instead of --bed.")
    ] = None,
    place: Annotated[
        str | None, typer.Option(help="A bed, channel, pots or tray of the garden file.")
    ] = None,
    spacing: Annotated[
        str | None, typer.Option(help="Between plants, in all directions; else the crop's own.")
    ] = None,
    row_spacing: Annotated[
        str | None, typer.Option(help="Between rows, where it differs from --spacing.")
    ] = None,
    edge: Annotated[
        str | None,
        typer.Option(help="From the sides to the outermost stems; else half a spacing. 0: on it."),
    ] = None,
    keep_out: Annotated[
        list[str] | None,
        typer.Option(help='In the way: "20 cm round at 15 cm, 15 cm". May be repeated.'),
    ] = None,
    cut: Annotated[
        str | None, typer.Option(help='An L: the corner left out, "1.2 m x 60 cm".')
    ] = None,
    rounded: Annotated[
        str | None, typer.Option(help='Rounded corners of a radius, or "ends".')
    ] = None,
    number: Annotated[
        int | None, typer.Option(min=1, help="How much of the bed, or of a tray, so many take.")
    ] = None,
    with_: Annotated[
        list[str] | None,
        typer.Option("--with", help='A further crop in the bed, "radish 60". May be repeated.'),
    ] = None,
    between: Annotated[
        str | None,
        typer.Option(help='A quick crop between its plants, gone in time; "any" lists them.'),
    ] = None,
    on: Annotated[
        str | None,
        typer.Option(metavar="DAY", help="With --between: the day it goes into the garden's bed."),
    ] = None,
    trellis: Annotated[
        bool | None,
        typer.Option(help="In one line along the poleward side; what climbs a trellis does so."),
    ] = None,
    squares: Annotated[
        bool, typer.Option("--squares", help="In whole 30 cm squares of 1, 4, 9 or 16 plants.")
    ] = False,
    compare: Annotated[
        bool, typer.Option("--compare", help="Other spacings, and a bed a little larger.")
    ] = False,
    picture: Annotated[
        Path | None, typer.Option(help="Draw the plan, to FILE.svg or FILE.png.")
    ] = None,
    ruler: Annotated[
        Path | None,
        typer.Option(help="Paper rulers with the marks, true to size, to FILE.pdf or .svg."),
    ] = None,
    paper: Annotated[
        Paper | None,
        typer.Option(
            help="Size of the rulers' paper; else as the garden file has it, or Letter for feet "
            "and inches, and A4.",
            show_default=False,
        ),
    ] = None,
    as_json: Annotated[bool, typer.Option("--json", help="Print JSON.")] = False,
) -> None:
    """Say how many plants of a crop a bed takes, and where each one stands.

    Counts square rows, offset rows along and across the bed, rows drawn out to fill it, and for
    small beds layouts found by search; says which holds most, how to set it out, and the number
    that no layout can exceed.

    For example:

      sowplan fit butterhead "2.4 m x 1.2 m"

      sowplan fit butterhead "8 ft x 4 ft" --spacing "10 in" --compare

      sowplan fit spinach "1.8 m x 90 cm" --keep-out "20 cm round at 15 cm, 15 cm"

      sowplan fit kale --garden garden.toml --place "Wall box" --picture wall-box.svg

      sowplan fit tomato "3 m x 1.2 m" --number 3 --with "butterhead 12" --with radish

      sowplan fit "summer cabbage" "3 m x 1.2 m" --between radish

      sowplan fit kale -g garden.toml --place "Long bed" --between any --on 2026-10-10
    """
    from sowplan.commands.fit.question import Options, read_question
    from sowplan.commands.fit.told import told

    asked = read_question(
        Options(
            crop=crop,
            bed=" ".join(size) if size and bed is None else bed,  # quoted or not
            twice=bool(size) and bed is not None,
            garden=garden,
            place=place,
            spacing=spacing,
            row_spacing=row_spacing,
            edge=edge,
            keep_out=tuple(keep_out or ()),
            cut=cut,
            rounded=rounded,
            with_=tuple(with_ or ()),
            squares=squares,
            number=number,
            between=between,
            on=on,
            trellis=trellis,
            picture=picture,
            ruler=ruler,
        )
    )
    if asked.slots is not None:
        _say_slots(asked, as_json)
        return
    if asked.others:
        _several(asked, number, picture, as_json)
        return
    layout = asked.layout()
    strip = asked.strip(number) if number else None
    extra = _extra(asked, layout, strip, compare)
    found = _between(asked, layout, extra)
    _draw(asked, layout, found, picture, ruler, asked.paper if paper is None else paper.value)
    if as_json:
        from sowplan.commands.fit.words import as_json as plain

        values = plain(layout, asked.crop.key, asked.units, extra)
        typer.echo(json.dumps(values, ensure_ascii=False))
    else:
        for line in told(asked, layout, strip, number, compare, found):
            for part in _broken(line):
                typer.echo(part)
        for written in (picture, ruler):
            if written is not None:
                typer.echo(f"Written: {written}")
    if layout.plants == 0 or not any(one.plants for one in found or ()) and asked.between:
        raise typer.Exit(Exit.IMPOSSIBLE)


def _broken(line: str) -> list[str]:
    """Return a sentence in lines as wide as the screen; tables and marks stay as they are."""
    indent = line[: len(line) - len(line.lstrip())]
    table = "  " in line.strip() or line[:1] in ("→", "*")
    if table or len(line) <= SCREEN:
        return [line]
    return wrapped(line.strip(), SCREEN, indent, indent * 2)


def _between(asked: Question, layout: Layout, extra: dict[str, Any]) -> list[Found] | None:
    """Return the catch crops asked for between the plants, None where none were."""
    if asked.between is None or layout.plants == 0:
        return None
    from sowplan.commands.fit import between

    found = between.look(asked, layout)
    extra["between"] = between.as_json(found)
    return found


def _draw(
    asked: Question,
    layout: Layout,
    found: list[Found] | None,
    picture: Path | None,
    ruler: Path | None,
    paper: str,
) -> None:
    """Write what pictures were asked for."""
    if picture is not None:
        from sowplan.commands.fit.picture import layout_picture
        from sowplan.commands.fit.told import bed_words
        from sowplan.commands.picture_files import write_picture

        how = {"bearing_deg": asked.bearing_deg, "units": asked.units}
        if asked.trellis:
            how["trellis"] = asked.side
        bed, outline = bed_words(asked), asked.shape.outline
        things = asked.keep_outs
        if found and found[0].plants:
            how["found"] = found[0]
        drawn = layout_picture(layout, asked.crop, asked.title, bed, outline, things, **how)
        write_picture(picture, drawn)
    if ruler is not None:
        from sowplan.commands.fit.picture import write_ruler

        write_ruler(ruler, layout, asked.title, asked.units, paper)


def _several(asked: Question, number: int | None, picture: Path | None, as_json: bool) -> None:
    """Lay several crops out in the bed, and say how."""
    from sowplan.bed.blocks import arrange
    from sowplan.commands.fit import blocks
    from sowplan.commands.fit.told import bed_words

    needs = [replace(blocks.need_of(asked.crop, number), **asked.own_spacing), *asked.others]
    way = None if asked.latitude is not None else True
    found = arrange(
        asked.shape.length_m,
        asked.shape.width_m,
        needs,
        bearing_deg=0.0 if asked.bearing_deg is None else asked.bearing_deg,
        latitude=asked.latitude or 0.0,
        margin_m=asked.margin_m,
        along_length=way,
    )
    if as_json:
        values = {"crop": asked.crop.key, **blocks.as_json(found)}
        typer.echo(json.dumps(values, ensure_ascii=False))
    else:
        pole = "The tallest stand at the far end: let that be the one away from the midday sun."
        if asked.latitude is not None:
            pole = "The tallest stand on the side away from the midday sun."
        bed = bed_words(asked)
        for line in blocks.told(found, asked.known, bed, asked.units, pole):
            typer.echo(line)
    if picture is not None:
        from sowplan.commands.fit.picture import blocks_picture
        from sowplan.commands.picture_files import write_picture

        how = {"bearing_deg": asked.bearing_deg, "units": asked.units}
        bed = (asked.shape.length_m, asked.shape.width_m, bed_words(asked))
        drawn = blocks_picture(found, asked.known, asked.place or "Bed", bed, **how)
        write_picture(picture, drawn)
        if not as_json:
            typer.echo(f"Written: {picture}")
    if found.missing_m > 1e-9:
        raise typer.Exit(Exit.IMPOSSIBLE)


def _extra(asked: Question, layout: Layout, strip: Any, compare: bool) -> dict[str, Any]:
    """Return what was asked beyond the layout, as plain values."""
    extra: dict[str, Any] = {}
    if strip is not None:
        extra["strip"] = {
            "plants": strip.plants,
            "rows": strip.rows,
            "per_row": list(strip.per_row),
            "along": strip.along,
            "pitch_m": strip.pitch_m,
            "length_m": strip.length_m,
        }
    lean = asked.leaning() if layout.plants == 0 else None
    if lean is not None:
        from sowplan.commands.fit.words import as_json as plain

        keys = ("plants", "pattern", "edge_m", "positions")
        values = plain(lean, asked.crop.key, asked.units, {})
        extra["leaning_out"] = {key: values[key] for key in keys}
    if compare:
        from sowplan.bed.compare import at_spacings
        from sowplan.commands.fit.told import how

        rules = asked.rules | {"outline": asked.shape.outline}
        inches = asked.units == "imperial"
        choices = at_spacings(*asked.sides, inches=inches, how=how(asked), **rules)
        extra["comparison"] = [
            {
                "spacing_m": c.spacing_m,
                "row_spacing_m": c.row_spacing_m,
                "plants": c.layout.plants,
                "pattern": c.layout.pattern,
                "area_each_m2": c.area_each_m2,
            }
            for c in choices
        ]
    return extra


def _say_slots(asked: Question, as_json: bool) -> None:
    """Say how many plants a channel, a set of pots or a tray takes."""
    from sowplan.commands.fit.places import slots_sentence
    from sowplan.commands.fit.words import in_sentence

    slots = asked.slots or {}
    if as_json:
        typer.echo(json.dumps({"crop": asked.crop.key, **slots}, ensure_ascii=False))
    else:
        typer.echo(slots_sentence(slots, in_sentence(asked.crop.name), asked.crop, asked.units))
    if slots["plants"] == 0:
        raise typer.Exit(Exit.IMPOSSIBLE)
