"""Paper rulers as a PDF, true to size: a page of it is a page of paper."""

from __future__ import annotations

from sowplan.bed.layout import Layout
from sowplan.bed.marks import Units
from sowplan.export.pictures.lettering import FONTS, legible
from sowplan.export.pictures.ruler import PAPERS_MM, Paper, ruler_pages


def ruler_pdf(layout: Layout, title: str, units: Units = "metric", paper: Paper = "a4") -> bytes:
    """Return the rulers of a layout as a PDF.

    Parameters
    ----------
    layout, title, units, paper
        As for `sowplan.export.pictures.ruler.ruler_pages`.

    Returns
    -------
    bytes
        The same for the same layout; no date of printing in it.
    """
    import typst

    pages = ruler_pages(layout, title, units, paper)
    files = {f"{n}.svg": legible(page).encode() for n, page in enumerate(pages)}
    wide, high = PAPERS_MM[paper]
    sheets = "\n#pagebreak()\n".join(
        f'#image("{name}", width: {wide}mm, height: {high}mm)' for name in files
    )
    files["main.typ"] = (
        f"#set page(width: {wide}mm, height: {high}mm, margin: 0mm)\n"
        f"#set par(spacing: 0mm)\n{sheets}\n"
    ).encode()
    found = typst.compile(
        files, font_paths=[str(FONTS)], ignore_system_fonts=True, timestamp=0, format="pdf"
    )
    return bytes(found)
