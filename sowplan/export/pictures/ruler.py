"""Paper rulers: a row's marks at their true size, to cut out, join and lay along the bed.

Sized in millimetres on A4 pages lying down; print at 100 %, not "fit to page". A check line
of 10 cm on every page shows whether the printer kept the size.
"""

from __future__ import annotations

from collections.abc import Sequence

from sowplan.bed.layout import Layout
from sowplan.bed.marks import Units, kinds, mark, mark_text, setting_out
from sowplan.export.pictures import svg
from sowplan.export.pictures.style import LIGHT, Palette

PAGE_MM = (297.0, 210.0)
PIECE_MM = 260.0
"""A whole number of centimetres, so that joints are easy to check."""
LEFT_MM, TOP_MM = 15.0, 34.0
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


def pieces(length_m: float) -> list[tuple[float, float]]:
    """Return start and end [mm] of each piece of a ruler."""
    whole = int(-(-length_m * 1000 // PIECE_MM))
    return [(k * PIECE_MM, min((k + 1) * PIECE_MM, length_m * 1000)) for k in range(max(whole, 1))]


def ruler_svg(layout: Layout, title: str, units: Units = "metric", colours: Palette = LIGHT) -> str:
    """Return all rulers of a layout as one SVG, page under page, one unit a millimetre.

    Parameters
    ----------
    layout : Layout
        The plants; rows must be few enough to be worth a ruler (the first six kinds are drawn).
    title : str
        What is planted where.
    units : "metric" or "imperial"
        Of the figures at the marks.
    colours : Palette
        Colours of the picture.
    """
    drawn: list[str] = []
    out = setting_out(layout.positions, layout.along) if layout.plants else None
    for name, marks in rulers(layout):
        along = out is not None and (out.along != (name == ACROSS))
        side = layout.length_m if along else layout.width_m
        for start, end in pieces(side):
            page, place = divmod(len(drawn), PIECES_A_PAGE)
            top = page * PAGE_MM[1] + TOP_MM + place * (HIGH_MM + GAP_MM)
            drawn.append(_piece(name, marks, start, end, top, units, colours))
    pages = max(1, -(-len(drawn) // PIECES_A_PAGE))
    heads = [_page_head(title, page, pages, units, colours) for page in range(pages)]
    high = pages * PAGE_MM[1]
    picture = svg.document(
        PAGE_MM[0],
        high,
        f"Rulers: {title}",
        f"{len(drawn)} pieces of paper ruler, true to size when printed at 100 %.",
        [*heads, *drawn],
        colours,
        name="ruler",
    )
    size = f'width="{svg.number(PAGE_MM[0])}" height="{svg.number(high)}"'
    true = f'width="{svg.number(PAGE_MM[0])}mm" height="{svg.number(high)}mm"'
    return picture.replace(size, true, 1)


def _page_head(title: str, page: int, pages: int, units: Units, colours: Palette) -> str:
    y = page * PAGE_MM[1]
    check = 101.6 if units == "imperial" else 100.0
    said = "4 in" if units == "imperial" else "10 cm"
    right = LEFT_MM + PIECE_MM
    return "".join(
        (
            svg.text(LEFT_MM, y + 16, title, 5.5, font_weight=600),
            svg.text(
                LEFT_MM,
                y + 24,
                f"Print at 100 %. Page {page + 1} of {pages}. Cut out, join in order.",
                3.6,
                fill=colours.quiet,
            ),
            svg.line(right - check, y + 20, right, y + 20, stroke=colours.ink, stroke_width=0.4),
            svg.line(
                right - check, y + 18, right - check, y + 22, stroke=colours.ink, stroke_width=0.4
            ),
            svg.line(right, y + 18, right, y + 22, stroke=colours.ink, stroke_width=0.4),
            svg.text(right - check / 2, y + 26, f"check: {said}", 3.4, text_anchor="middle"),
        )
    )


def _piece(
    name: str,
    marks: Sequence[float],
    start: float,
    end: float,
    top: float,
    units: Units,
    colours: Palette,
) -> str:
    """Return one piece of ruler from ``start`` to ``end`` [mm] of its row."""
    thin = {"stroke": colours.edge, "stroke_width": 0.25}
    parts = [svg.rect(LEFT_MM, top, end - start, HIGH_MM, fill="none", **thin)]
    step = 25.4 if units == "imperial" else 10.0
    tick = -(-start // step) * step
    while tick <= end + 1e-6:
        x = LEFT_MM + tick - start
        parts.append(svg.line(x, top + HIGH_MM, x, top + HIGH_MM - 2.5, **thin))
        tick += step
    for m in marks:
        at = m * 1000
        if start - 1e-6 <= at < end or (abs(at - end) < 1e-6 and end < start + PIECE_MM):
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
