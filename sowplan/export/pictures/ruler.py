"""Paper rulers: a row's marks at their true size, to cut out, join and lay along the bed.

Sized in millimetres on pages of A4 or Letter lying down; print at 100 %, not "fit to page". A
check line of 10 cm (4 in) on every page shows whether the printer kept the size.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Literal

from sowplan.bed.layout import Layout
from sowplan.bed.marks import Units, kinds, mark, mark_text, setting_out
from sowplan.export.pictures import svg
from sowplan.export.pictures.style import LIGHT, Palette
from sowplan.quantity import INCH_MM

PAPERS_MM = {"a4": (297.0, 210.0), "letter": (279.4, 215.9)}
"""Pages lying down (ISO 216; ANSI Y14.1)."""
Paper = Literal["a4", "letter"]
LEFT_MM, TOP_MM = 15.0, 34.0
PIECE_MM = 260.0
HIGH_MM, GAP_MM = 24.0, 9.0
PIECES_A_PAGE = 5
MOST_KINDS = 6
ACROSS = "From row to row"


def rulers(layout: Layout) -> list[tuple[str, tuple[float, ...]]]:
    """Return the rulers a layout needs: a name and its marks [m] for each kind of row."""
    if layout.plants == 0:
        return []
    out = setting_out(layout.positions, layout.along)
    return [*kinds(out)[:MOST_KINDS], (ACROSS, tuple(row.at_m for row in out.rows))]


def piece_mm(paper: Paper = "a4", units: Units = "metric") -> float:
    """Return the length of a piece [mm]: whole centimetres or inches, so that joints are easy."""
    step = INCH_MM if units == "imperial" else 10.0
    return step * math.floor((PAPERS_MM[paper][0] - 2 * LEFT_MM) / step + 1e-9)


def pieces(length_m: float, piece: float = PIECE_MM) -> list[tuple[float, float]]:
    """Return start and end [mm] of each piece of a ruler."""
    whole = int(-(-length_m * 1000 // piece))
    return [(k * piece, min((k + 1) * piece, length_m * 1000)) for k in range(max(whole, 1))]


def ruler_pages(
    layout: Layout,
    title: str,
    units: Units = "metric",
    paper: Paper = "a4",
    colours: Palette = LIGHT,
) -> list[str]:
    """Return all rulers of a layout as pages, each an SVG in which one unit is a millimetre.

    Parameters
    ----------
    layout : Layout
        The plants; rows must be few enough to be worth a ruler (the first six kinds are drawn).
    title : str
        What is planted where.
    units : "metric" or "imperial"
        Of the figures at the marks.
    paper : "a4" or "letter"
        Size of the pages.
    colours : Palette
        Colours of the picture.
    """
    drawn, size = _drawn(layout, units, paper, colours), PAPERS_MM[paper]
    pages = [drawn[k : k + PIECES_A_PAGE] for k in range(0, max(len(drawn), 1), PIECES_A_PAGE)]
    return [
        _document(
            [_page_head(title, n, len(pages), units, paper, colours), *pieces_of],
            f"{title}, page {n + 1}",
            len(pieces_of),
            size,
            colours,
            bare=True,
        )
        for n, pieces_of in enumerate(pages)
    ]


def ruler_svg(
    layout: Layout,
    title: str,
    units: Units = "metric",
    colours: Palette = LIGHT,
    paper: Paper = "a4",
) -> str:
    """Return all rulers of a layout as one SVG, page under page, one unit a millimetre.

    Parameters are those of `ruler_pages`.
    """
    drawn, (wide, high) = _drawn(layout, units, paper, colours), PAPERS_MM[paper]
    parts, pages = [], max(1, -(-len(drawn) // PIECES_A_PAGE))
    for page in range(pages):
        head = _page_head(title, page, pages, units, paper, colours)
        here = drawn[page * PIECES_A_PAGE : (page + 1) * PIECES_A_PAGE]
        move = f"translate(0 {svg.number(page * high)})" if page else None
        parts.append(svg.group([head, *here], transform=move))
    return _document(parts, title, len(drawn), (wide, pages * high), colours)


def _document(
    parts: list[str],
    title: str,
    count: int,
    size: tuple[float, float],
    colours: Palette,
    bare: bool = False,
) -> str:
    """Return a picture in which one unit is a millimetre."""
    wide, high = size
    told = f"{count} pieces of paper ruler, true to size when printed at 100 %."
    picture = svg.document(
        wide, high, f"Rulers: {title}", told, parts, colours, name="ruler", bare=bare
    )
    plain = f'width="{svg.number(wide)}" height="{svg.number(high)}"'
    true = f'width="{svg.number(wide)}mm" height="{svg.number(high)}mm"'
    return picture.replace(plain, true, 1)


def _drawn(layout: Layout, units: Units, paper: Paper, colours: Palette) -> list[str]:
    """Return every piece of every ruler, at its place on its page."""
    drawn: list[str] = []
    out = setting_out(layout.positions, layout.along) if layout.plants else None
    long = piece_mm(paper, units)
    for name, marks in rulers(layout):
        along = out is not None and (out.along != (name == ACROSS))
        side = layout.length_m if along else layout.width_m
        for start, end in pieces(side, long):
            top = TOP_MM + len(drawn) % PIECES_A_PAGE * (HIGH_MM + GAP_MM)
            drawn.append(_piece(name, marks, (start, end, long), top, units, colours))
    return drawn


def _page_head(
    title: str, page: int, pages: int, units: Units, paper: Paper, colours: Palette
) -> str:
    check = 101.6 if units == "imperial" else 100.0
    said = "4 in" if units == "imperial" else "10 cm"
    right = LEFT_MM + piece_mm(paper, units)
    left, ink = right - check, {"stroke": colours.ink, "stroke_width": 0.4}
    how = f"Print at 100 %. Page {page + 1} of {pages}. Cut out, join in order."
    return "".join(
        (
            svg.text(LEFT_MM, 16, title, 5.5, font_weight=600),
            svg.text(LEFT_MM, 24, how, 3.6, fill=colours.quiet),
            svg.line(left, 20, right, 20, **ink),
            svg.line(left, 18, left, 22, **ink),
            svg.line(right, 18, right, 22, **ink),
            svg.text(right - check / 2, 26, f"check: {said}", 3.4, text_anchor="middle"),
        )
    )


def _piece(
    name: str,
    marks: Sequence[float],
    span: tuple[float, float, float],
    top: float,
    units: Units,
    colours: Palette,
) -> str:
    """Return one piece of ruler: from, to, and how long pieces are [mm]."""
    start, end, long = span
    thin = {"stroke": colours.edge, "stroke_width": 0.25}
    parts = [svg.rect(LEFT_MM, top, end - start, HIGH_MM, fill="none", **thin)]
    step = INCH_MM if units == "imperial" else 10.0
    tick = -(-start // step) * step
    while tick <= end + 1e-6:
        x = LEFT_MM + tick - start
        parts.append(svg.line(x, top + HIGH_MM, x, top + HIGH_MM - 2.5, **thin))
        tick += step
    for m in marks:
        at = m * 1000
        if start - 1e-6 <= at < end or (abs(at - end) < 1e-6 and end < start + long):
            x = LEFT_MM + at - start
            parts.append(svg.line(x, top, x, top + 13, stroke=colours.ink, stroke_width=0.5))
            parts.append(
                svg.path([(x - 1.8, top), (x + 1.8, top), (x, top + 3.6)], True, fill=colours.ink)
            )
            parts.append(
                svg.text(x, top + 18, mark(m, units), 4.2, text_anchor="middle", font_weight=600)
            )
    first, last = (mark_text(v / 1000, units) for v in (start, end))
    words = f"{name}, {first} to {last}"
    parts.append(svg.text(LEFT_MM, top - 1.6, words, 3.4, fill=colours.quiet))
    return "".join(parts)
