"""``sowplan page``: the page of a plan for phone and screen, without planning."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer


def page(
    plan: Annotated[Path, typer.Argument(help="A plan folder.", metavar="PLAN_FOLDER")],
    out: Annotated[
        Path | None,
        typer.Option(help="File to write; - prints it. Otherwise page.html in the plan folder."),
    ] = None,
    as_json: Annotated[
        bool, typer.Option("--json", help="Print what was written as JSON.")
    ] = False,
) -> None:
    """Write a plan as one page for phone and screen (HTML; works without a network).

    This week's tasks to tick, with what the diary has done, the season, the beds on any day, the
    harvests to come and what is missing. Send the file to a phone and open it there.

    For example:

      sowplan page plan

      sowplan page plan --out garden.html
    """
    from sowplan.commands.plan_files import PAGE, diary_of, opened_plan, write_file
    from sowplan.export.page.page import page_html

    opened = opened_plan(plan)
    data = page_html(opened, diary_of(opened, plan)).encode()
    if out is not None and str(out) == "-":
        typer.get_binary_stream("stdout").write(data)
        return
    target = out or (plan if plan.is_dir() else plan.parent) / PAGE
    write_file(target, data)
    if as_json:
        import json

        typer.echo(json.dumps({"file": str(target), "bytes": len(data)}, ensure_ascii=False))
    else:
        typer.echo(f"{target}: open it in any browser, or send it to a phone.")
