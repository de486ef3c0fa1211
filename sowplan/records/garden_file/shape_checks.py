"""What must hold between a bed's sides, what stands in it, and the shape it is given."""

from __future__ import annotations

from collections.abc import Iterator
from types import SimpleNamespace

from sowplan.problem import Exit, Problem
from sowplan.quantity import QuantityError, format_length
from sowplan.records import built
from sowplan.records.garden import InTheWay
from sowplan.records.garden_file.rows import Row, Rows


def check_shape(row: Row, rows: Rows) -> Iterator[Problem]:
    """Things inside the bed, a corner smaller than it, and some of it free across its width."""
    length, width, edge = row.get("length"), row.get("width"), row.get("edge", 0.0)
    if length is None or width is None or 2 * edge >= min(length, width):
        return
    top = rows.one("")
    units = top.get("units", "metric") if top else "metric"
    cut, radius, right = (), 0.0, True
    if "cut" in row.given and "rounded" in row.given:
        yield row.problem("rounded", "Give cut or rounded, not both.")
        return
    try:
        cut = built.cut(row.get("cut"), length, width) if row.get("cut") else ()
    except QuantityError as error:
        right = False
        yield row.problem("cut", error.message)
    try:
        round_ = row.get("rounded")
        radius = built.rounded(round_, length, width, units) if round_ else 0.0
    except QuantityError as error:
        right = False
        yield row.problem("rounded", error.message)
    things: tuple[InTheWay, ...] = row.get("keep_out", ())
    sides = f"{format_length(length, units)} × {format_length(width, units)}"
    for number, thing in enumerate(things, 1):
        which = thing.label or f"number {number}"
        far_x, far_y = thing.x_m + thing.length_m, thing.y_m + thing.width_m
        if min(far_x, far_y) <= 1e-9 or thing.x_m >= length - 1e-9 or thing.y_m >= width - 1e-9:
            right = False
            message = f"This lies outside the bed, which is {sides}."
            yield row.problem("keep_out", message, which)
    if not right:
        return
    bed = SimpleNamespace(
        length_m=length, width_m=width, edge_m=edge, keep_outs=things, cut_m=cut, rounded_m=radius
    )
    taken = sum(end - start for start, end, _ in built.closed_slices(bed))
    if taken >= length - 2 * edge - 1e-6:
        key = next(key for key in ("keep_out", "cut", "rounded") if key in row.given)
        message = (
            "This leaves no part of the bed free across its whole width, where a season could be "
            "planned. Write two narrower [[bed]]s instead, or what of it is free as one."
        )
        yield row.problem(key, message, exit=Exit.IMPOSSIBLE)
