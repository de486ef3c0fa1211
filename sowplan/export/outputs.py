"""What a plan folder holds, and what makes it.

To add an output, add one line to `OUTPUTS`: its name in the folder and the function, as
``"module:function"``, that makes it of a plan. The module is imported when the output is made.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from importlib import import_module
from importlib.util import find_spec
from typing import TYPE_CHECKING, Any, NamedTuple

from sowplan.records.diary import Entry
from sowplan.season.plan import Plan

if TYPE_CHECKING:
    from sowplan.export.pictures.frame import Picture

MARK = "plan.json"
"""The file by which a folder is known to be a plan folder."""
BEFORE, CHANGES = "before.json", "changes.txt"
"""The plan as it was before it was last revised, and what that changed; in revised folders only."""


class Output(NamedTuple):
    """One file of the plan folder; left out where the optional library it needs is missing."""

    name: str
    maker: str  # "module:function", from a plan to str or bytes
    needs: str = ""
    by_diary: bool = False  # whether the maker takes a season's diary besides
    beside: bool = False  # whether it gives a function instead, to be called beside the others
    as_cleared: bool = False  # whether it shows until when plantings stand: by the jobs


OUTPUTS: tuple[Output, ...] = (
    Output(MARK, "sowplan.season.archive:to_json"),
    Output("summary.txt", "sowplan.export.summary:summary"),
    Output("season.ics", "sowplan.export.calendar:calendar"),
    Output("plantings.csv", "sowplan.export.tables:plantings_csv"),
    Output("tasks.csv", "sowplan.export.tables:tasks_csv"),
    Output("harvests.csv", "sowplan.export.tables:harvests_csv"),
    Output("wants.csv", "sowplan.export.tables:wants_csv"),
    Output("seeds.csv", "sowplan.export.tables:seeds_csv"),
    Output("water.csv", "sowplan.export.tables:water_csv"),
    Output("season.svg", "sowplan.export.pictures.season:season_svg", as_cleared=True),
    Output("harvest.svg", "sowplan.export.pictures.harvest:harvest_svg"),
    Output("beds.svg", "sowplan.export.pictures.beds:beds_svg", as_cleared=True),
    Output("trays.svg", "sowplan.export.pictures.trays:trays_svg"),
    Output("water.svg", "sowplan.export.pictures.water:water_svg"),
    Output("page.html", "sowplan.export.page.page:page_html", by_diary=True),
    Output("print.pdf", "sowplan.export.print.pdf:to_be_set", by_diary=True, beside=True),
    Output("season.xlsx", "sowplan.export.workbook:workbook", needs="xlsxwriter"),
)


def render(
    plan: Plan,
    outputs: Iterable[Output] = OUTPUTS,
    entries: Sequence[Entry] = (),
    more: Mapping[str, Callable[[], bytes]] | None = None,
) -> dict[str, bytes]:
    """Return every output of a plan by its name in the folder, and what ``more`` makes.

    Nothing is written. The typesetter, which is not ours, works on a second processor while the
    rest is made.
    """
    from concurrent.futures import ThreadPoolExecutor

    chosen = [one for one in outputs if not one.needs or find_spec(one.needs) is not None]
    with ThreadPoolExecutor(max_workers=1) as pool:
        beside = {one.name: pool.submit(_made(one, plan, entries)) for one in chosen if one.beside}
        here = {one.name: _made(one, plan, entries) for one in chosen if not one.beside}
        others = {name: make() for name, make in (more or {}).items()}
        made = {
            one.name: beside[one.name].result() if one.beside else here[one.name] for one in chosen
        }
    return {
        name: one.encode("utf-8") if isinstance(one, str) else one for name, one in made.items()
    } | others


def _made(output: Output, plan: Plan, entries: Sequence[Entry]) -> Any:
    maker = _maker(output)
    if output.as_cleared:
        from sowplan.supply.cleared import as_cleared

        plan = as_cleared(plan)
    return maker(plan, entries=entries) if output.by_diary else maker(plan)


def drawer(name: str) -> Picture:
    """Return the function that draws one of the folder's pictures, by the picture's file name."""
    output = next(output for output in OUTPUTS if output.name == name)
    draw = _maker(output)
    if not output.as_cleared:
        return draw
    from sowplan.supply.cleared import as_cleared

    return lambda plan, **how: draw(as_cleared(plan), **how)


def _maker(output: Output) -> Callable[..., Any]:
    module, function = output.maker.split(":")
    return getattr(import_module(module), function)
