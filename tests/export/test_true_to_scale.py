"""What is printed, measured: points of the PDF turned into millimetres of paper."""

from __future__ import annotations

import io

import numpy as np
import pytest
from pypdf import PdfReader
from scipy.spatial import cKDTree

from sowplan.bed.fit import fit
from sowplan.bed.marks import setting_out
from sowplan.export.pictures.ruler import ACROSS, PAPERS_MM, piece_mm, ruler_pages, rulers
from sowplan.export.pictures.standing import stations
from sowplan.export.print.marks import drawing
from sowplan.export.print.pdf import print_pdf
from sowplan.export.print.rulers import ruler_pdf

MM = 25.4 / 72  # a point of a PDF is 1/72 in (ISO 32000)


def segments(page):
    """Return the straight strokes of a page as (x0, y0, x1, y1) [mm], y upward."""
    found, at = [], [None]

    def on_page(point, cm):
        x, y = float(point[0]), float(point[1])
        return (cm[0] * x + cm[2] * y + cm[4]) * MM, (cm[1] * x + cm[3] * y + cm[5]) * MM

    def before(operator, operands, cm, _):
        if operator == b"m":
            at[0] = on_page(operands, cm)
        elif operator == b"l" and at[0] is not None:
            end = on_page(operands, cm)
            found.append((*at[0], *end))
            at[0] = end

    page.extract_text(visitor_operand_before=before)
    return np.array(found)


@pytest.mark.parametrize("paper", ["a4", "letter"])
@pytest.mark.parametrize(
    "units, side, check", [("metric", 0.3, 100.0), ("imperial", 0.3048, 101.6)]
)
def test_a_printed_ruler_measures_true(paper, units, side, check):
    layout = fit(8 * side, 4 * side, side)
    pdf = PdfReader(io.BytesIO(ruler_pdf(layout, "Lettuce", units, paper)))
    wide, high = PAPERS_MM[paper]
    long, marks = piece_mm(paper, units), []
    for page in pdf.pages:
        assert float(page.mediabox.width) * MM == pytest.approx(wide, abs=0.05)
        assert float(page.mediabox.height) * MM == pytest.approx(high, abs=0.05)
        lines = segments(page)
        level = np.abs(lines[:, 1] - lines[:, 3]) < 0.01
        lengths = np.abs(lines[level, 2] - lines[level, 0])
        assert np.abs(lengths - check).min() < 0.02  # the line to check the printer with
        upright = (np.abs(lines[:, 0] - lines[:, 2]) < 0.01) & (
            np.abs(np.abs(lines[:, 1] - lines[:, 3]) - 13.0) < 0.01
        )
        down = np.maximum(lines[upright, 1], lines[upright, 3])
        order = np.lexsort((lines[upright, 0], -np.round(down, 1)))
        marks.append([(high - down[k], lines[upright, 0][k] - 15.0) for k in order])
    # The marks of each piece, one piece under the other, joined to rulers again.
    rows = setting_out(layout.positions, layout.along).rows
    expected = {name: [1000 * m for m in ms] for name, ms in rulers(layout)}
    assert set(expected) == {"Every row", ACROSS} and len(rows) == 4
    pieces = [round((top - 34.0) / 33.0) + 5 * n for n, page in enumerate(marks) for top, _ in page]
    at = [x for page in marks for _, x in page]
    first = int(np.ceil(8 * side * 1000 / long - 1e-9))  # pieces of the longer ruler
    joined = [x + (k if k < first else k - first) * long for k, x in zip(pieces, at, strict=True)]
    want = expected["Every row"] + expected[ACROSS]
    assert np.abs(np.array(joined) - np.array(want)).max() < 0.1


def test_each_page_of_rulers_is_one_of_the_pdf():
    layout = fit(3.0, 1.2, 0.25)
    for paper in PAPERS_MM:
        pdf = PdfReader(io.BytesIO(ruler_pdf(layout, "Lettuce", paper=paper)))
        assert len(pdf.pages) == len(ruler_pages(layout, "Lettuce", paper=paper))


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_a_planting_sheet_measures_true_on_paper(sample_plan, paper):
    pdf = PdfReader(io.BytesIO(print_pdf(sample_plan, paper, ["plantings"])))
    dots = []
    for number, page in enumerate(pdf.pages):
        lines = segments(page)
        still = np.abs(lines[:, :2] - lines[:, 2:]).max(axis=1) < 1e-3
        dots.append(np.column_stack([lines[still, :2], np.full(still.sum(), 1e4 * number)]))
    tree = cKDTree(np.concatenate(dots))
    measured = 0
    for p in sample_plan.plantings:
        if p.kind != "bed" or p.plants < 3 or "h0" not in drawing(sample_plan, p)[0]:
            continue
        _, scale, _ = drawing(sample_plan, p)
        places = np.array(stations(sample_plan, p)) * [1000 / scale, -1000 / scale]
        offsets = np.column_stack([places - places[0], np.zeros(len(places))])
        # Somewhere on the sheets the plants stand as far apart as in the bed, by the scale.
        starts = tree.data[:, None, :] + offsets[None, :, :]
        away = tree.query(starts.reshape(-1, 3))[0].reshape(len(tree.data), -1).max(axis=1)
        assert away.min() < 0.15, (p.id, scale, away.min())
        measured += 1
    assert measured >= 5
