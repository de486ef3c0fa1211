"""``sowplan print``: the sheets of a plan for the shed door, without planning."""

from __future__ import annotations

from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer


class Paper(StrEnum):
    """Sizes of paper."""

    a4 = "a4"
    letter = "letter"


class Sheet(StrEnum):
    """Kinds of sheet."""

    season = "season"
    months = "months"
    plantings = "plantings"
    labels = "labels"
    shopping = "shopping"


class Drawn(StrEnum):
    """Pictures of a season."""

    season = "season"
    harvest = "harvest"
    beds = "beds"
    trays = "trays"
    water = "water"


def print_(
    plan: Annotated[Path, typer.Argument(help="A plan folder.", metavar="PLAN_FOLDER")],
    paper: Annotated[
        Paper | None,
        typer.Option(help="Size of the paper; else as the garden file has it.", show_default=False),
    ] = None,
    sheet: Annotated[
        list[Sheet] | None,
        typer.Option(help="Only this kind of sheet; may be given more than once."),
    ] = None,
    every: Annotated[
        bool,
        typer.Option("--all", help="Planting sheets and labels too, however many there are."),
    ] = False,
    out: Annotated[
        Path | None,
        typer.Option(help="File to write; - prints it. Otherwise print.pdf in the plan folder."),
    ] = None,
    picture: Annotated[
        Drawn | None,
        typer.Option(
            help="Write this picture instead; as PNG, or as --out ends in .svg or .png. "
            "Of many beds it comes in several PNGs."
        ),
    ] = None,
    dark: Annotated[
        bool, typer.Option("--dark", help="Draw the picture light on dark, for a screen at night.")
    ] = False,
    png: Annotated[bool, typer.Option("--png", help="The same as --picture season.")] = False,
    as_json: Annotated[
        bool, typer.Option("--json", help="Print what was written as JSON.")
    ] = False,
) -> None:
    """Write a plan's sheets as a PDF.

    The season on one page for the shed door, the months with boxes to
    tick and maps of the beds, planting sheets to scale, labels for rows and
    trays, and the shopping list. What the diary says is done stands ticked, and what was lost or
    not sown is left out. Of a market garden's hundreds of plantings, planting sheets and
    labels are set only where they are asked for.

    For example:

      sowplan print plan

      sowplan print plan --paper letter

      sowplan print plan --sheet season --sheet months --out door.pdf

      sowplan print plan --picture harvest --dark --out harvest.png
    """
    from sowplan.commands.plan_files import diary_of, opened_plan, write_file

    if png or picture is not None:
        _picture(plan, picture or Drawn.season, dark, out, as_json)
        return
    from sowplan.commands.waiting import Waiting
    from sowplan.export.print.pdf import SHEETS, paper_of, print_pdf, usual_sheets

    opened = opened_plan(plan)
    entries = diary_of(opened, plan)
    asked = {one.value for one in sheet or ()} or (SHEETS if every else usual_sheets(opened))
    chosen = [name for name in SHEETS if name in asked]
    with Waiting("Setting the sheets"):
        size = paper.value if paper else paper_of(opened)
        data = print_pdf(opened, size, chosen, entries)
    if out is not None and str(out) == "-":
        typer.get_binary_stream("stdout").write(data)
        return
    target = out or (plan if plan.is_dir() else plan.parent) / "print.pdf"
    write_file(target, data)
    if as_json:
        import json

        said = {"file": str(target), "paper": size, "sheets": chosen}
        typer.echo(json.dumps(said, ensure_ascii=False))
    else:
        typer.echo(f"{target}: {', '.join(chosen)}, on {size.capitalize()}.")
        if not sheet and len(chosen) < len(SHEETS):
            left = " and ".join(name for name in SHEETS if name not in chosen)
            typer.echo(f"Left out, for {len(opened.plantings)} plantings: {left}. --all sets them.")


def _picture(plan: Path, name: Drawn, dark: bool, out: Path | None, as_json: bool) -> None:
    """Write one picture of the season: PNG, or SVG where the file is to be one.

    Of many beds the PNGs are several, ``beds-1.png`` and so on; printed it is one all the same.
    """
    import json

    from sowplan.commands.plan_files import opened_plan, write_file
    from sowplan.commands.problems import stop_on
    from sowplan.export.outputs import drawer
    from sowplan.export.pictures.png import can_rasterise, enlarged
    from sowplan.export.pictures.there import picture_files, pictures_there
    from sowplan.problem import Exit, Problem

    shade = "-dark" if dark else ""
    folder = plan if plan.is_dir() else plan.parent
    target = out or folder / f"{name.value}{shade}.png"
    printed = str(target) == "-"
    as_svg = target.suffix.casefold() == ".svg"
    if not (printed or as_svg or target.suffix.casefold() == ".png"):
        raise typer.BadParameter(f"'{target}' ends in neither .svg nor .png.", param_hint="--out")
    if not as_svg and not can_rasterise():
        what = "a PNG needs the library resvg-py: pip install resvg-py. An .svg needs nothing."
        stop_on([Problem(str(target), None, "", "", what, Exit.UNWRITABLE)])
    opened = opened_plan(plan)
    if printed or as_svg:
        drawn = drawer(f"{name.value}.svg")(opened, dark=dark)
        data = drawn.encode() if as_svg else enlarged(drawn)
        if printed:
            typer.get_binary_stream("stdout").write(data)
            return
        files = {target: data}
    else:
        made = picture_files(opened, name.value, dark, target.stem)
        files = {target.with_name(file): data for file, data in made.items()}
    for file, data in files.items():
        write_file(file, data)
    if out is None:  # parts of an earlier plan that had more beds
        for file, drawn in pictures_there(folder).items():
            if drawn == (name.value, dark) and folder / file not in files:
                (folder / file).unlink(missing_ok=True)
    if as_json:
        told = [str(file) for file in files]
        typer.echo(json.dumps({"file": told[0]} | ({"files": told} if len(told) > 1 else {})))
    else:
        typer.echo("\n".join(map(str, files)))
