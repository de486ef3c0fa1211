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
    seeds = "seeds"


def print_(
    plan: Annotated[Path, typer.Argument(help="A plan folder.", metavar="PLAN_FOLDER")],
    paper: Annotated[Paper, typer.Option(help="Size of the paper.")] = Paper.a4,
    sheet: Annotated[
        list[Sheet] | None,
        typer.Option(help="Only this kind of sheet; may be given more than once."),
    ] = None,
    out: Annotated[
        Path | None,
        typer.Option(help="File to write; - prints it. Otherwise print.pdf in the plan folder."),
    ] = None,
    as_json: Annotated[
        bool, typer.Option("--json", help="Print what was written as JSON.")
    ] = False,
) -> None:
    """Write a plan's sheets as a PDF.

    The season on one page for the shed door, a sheet a month with boxes to tick and maps of the
    beds, planting sheets to scale, labels for rows and trays, and the seed list.

    For example:

      sowplan print plan

      sowplan print plan --paper letter

      sowplan print plan --sheet season --sheet months --out door.pdf
    """
    from sowplan.commands.plan_files import opened_plan, write_file
    from sowplan.export.print.pdf import SHEETS, print_pdf

    chosen = [name for name in SHEETS if not sheet or name in {one.value for one in sheet}]
    data = print_pdf(opened_plan(plan), paper.value, chosen)
    if out is not None and str(out) == "-":
        typer.get_binary_stream("stdout").write(data)
        return
    target = out or (plan if plan.is_dir() else plan.parent) / "print.pdf"
    write_file(target, data)
    if as_json:
        import json

        said = {"file": str(target), "paper": paper.value, "sheets": chosen}
        typer.echo(json.dumps(said, ensure_ascii=False))
    else:
        typer.echo(f"{target}: {', '.join(chosen)}, on {paper.value.replace('letter', 'Letter')}.")
