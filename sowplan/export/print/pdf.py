"""The PDF: the sheets' words and pictures handed to the typesetter, in the shipped font alone."""

from __future__ import annotations

import json
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime
from functools import partial
from pathlib import Path
from typing import Any, Literal

from sowplan.export.pictures.bed_day import beds_key_svg, beds_on_svg, scale_for
from sowplan.export.pictures.glance import by_crop, frame_height, glance_svg
from sowplan.export.pictures.glance import describe as at_a_glance
from sowplan.export.pictures.lettering import FONTS, legible
from sowplan.export.pictures.season import above_rows, describe, lanes_needed, season_svg
from sowplan.export.pictures.standing import on_day
from sowplan.export.print.beds import BEDS_WIDTH, many_places, note_beds
from sowplan.export.print.content import content, in_order
from sowplan.export.print.marks import BESIDE_MM, drawing
from sowplan.export.print.months import months, on_sheets
from sowplan.records.diary import Entry
from sowplan.season.plan import Plan
from sowplan.supply.cleared import as_cleared
from sowplan.supply.told import Told, told_by

SHEETS = ("season", "months", "plantings", "labels", "shopping")
BY_PLANTING = ("plantings", "labels")
MANY_PLANTINGS = 200
"""Of more plantings than these, sheets with a piece for each fill a hundred pages."""
Paper = Literal["a4", "letter"]
PAPERS: dict[Paper, tuple[str, float, float]] = {
    "a4": ("a4", 210.0, 297.0),
    "letter": ("us-letter", 215.9, 279.4),
}
TEMPLATE = Path(__file__).with_name("sheets.typ")

# The season's picture on one page, lying or standing; px of the picture, mm of the page. It is as
# wide as lets its letters be largest: its small ones (11 px) are set in 11 pt down to 5.9 pt, and
# what takes more goes on several pages.
LYING = tuple(float(px) for px in range(780, 1261, 20))
STANDING = tuple(float(px) for px in range(640, 1001, 20))
LARGE_DATES, LARGE_DATES_MM = 1.4, 26.0  # key dates are so much larger where so much is left free
GLANCE_PITCH = 30.0  # px a crop, where its picture by crop is drawn narrower for larger letters
SEASON_FRAME, LANE, PAD, ROW_LEAST = 230.0, 24.0, 10.0, 38.0
HEAD_MM, KEY_DATES_MM, SIDES_MM, TOP_BOTTOM_MM = 14.0, 29.0, 24.0, 25.0
TAPES = {
    "metric": "centimetres, or in metres as the words beside them",
    "imperial": "inches, or in feet and inches as 4′9½″",
}


def usual_sheets(plan: Plan) -> tuple[str, ...]:
    """Return the sheets set where none are asked for: of very many plantings none for each."""
    many = len(plan.plantings) > MANY_PLANTINGS
    return tuple(name for name in SHEETS if not (many and name in BY_PLANTING))


def paper_of(plan: Plan) -> Paper:
    """Return the paper a plan is printed on where nothing else is asked for.

    That of its garden file; else Letter where inches are the measure, and A4.
    """
    usual: Paper = "letter" if plan.site.units == "imperial" else "a4"
    return plan.site.paper if plan.site.paper in PAPERS else usual


def print_pdf(
    plan: Plan,
    paper: Paper | None = None,
    sheets: Sequence[str] | None = None,
    entries: Sequence[Entry] = (),
) -> bytes:
    """Set a plan for printing.

    Parameters
    ----------
    plan : Plan
        A finished season; its start is the document's date.
    paper : {"a4", "letter"}, optional
        Size of the page; else `paper_of` the plan.
    sheets : sequence of str, optional
        Which of `SHEETS`, in the order wanted; else `usual_sheets`.
    entries : sequence of Entry
        The season's diary: what is done by it stands ticked, and of what was lost, skipped or
        cleared nothing is drawn or told that it leaves nothing of. Dates stay the plan's.

    Returns
    -------
    bytes
        A PDF; the same plan and diary give the same bytes.

    Raises
    ------
    ValueError
        For a paper or sheet that does not exist.
    """
    return _typesetting(plan, paper, sheets, entries, format="pdf")()


def to_be_set(plan: Plan, entries: Sequence[Entry] = ()) -> Callable[[], bytes]:
    """Word and draw the usual sheets, for `print_pdf`; the function given back sets them.

    It calls the typesetter and nothing else, and may be called beside other work.
    """
    return _typesetting(plan, None, None, entries, format="pdf")


def print_png(
    plan: Plan,
    paper: Paper | None = None,
    sheets: Sequence[str] | None = None,
    ppi: float = 96.0,
) -> list[bytes]:
    """Set a plan as `print_pdf` does, each page a PNG of ``ppi`` pixels an inch."""
    pages = _typesetting(plan, paper, sheets, (), format="png", ppi=ppi)()
    return pages if isinstance(pages, list) else [pages]


def _typesetting(
    plan: Plan,
    paper: Paper | None,
    sheets: Sequence[str] | None,
    entries: Sequence[Entry],
    **form: object,
) -> Callable[[], Any]:
    """Return what hands words and pictures to the typesetter."""
    paper = paper or paper_of(plan)
    sheets = usual_sheets(plan) if sheets is None else sheets
    if paper not in PAPERS:
        raise ValueError(f"paper is one of {', '.join(PAPERS)}, not {paper!r}")
    unknown = [name for name in sheets if name not in SHEETS]
    if unknown:
        raise ValueError(f"sheets are {', '.join(SHEETS)}; there is no {unknown[0]!r}")
    import typst

    by_month, told = months(plan, entries), told_by(plan, entries)
    said = content(told.plan, sheets, by_month)
    pictures = _pictures(as_cleared(told.plan), said, paper, _cleared(told))
    files = {name: legible(svg).encode() for name, svg in pictures.items()}
    files["plan.json"] = json.dumps(said, ensure_ascii=False, sort_keys=True).encode()
    files["main.typ"] = TEMPLATE.read_bytes()
    start = plan.site.start
    return partial(
        typst.compile,
        files,
        font_paths=[str(FONTS)],
        ignore_system_fonts=True,
        sys_inputs={"paper": PAPERS[paper][0]},
        timestamp=int(datetime(start.year, start.month, start.day, tzinfo=UTC).timestamp()),
        **form,
    )


def _cleared(told: Told) -> Plan:
    """Return a plan as the diary has it, each place free from the day on which it was cleared."""
    plan = as_cleared(told.plan)
    plantings = [
        replace(p, cleared=min(p.cleared, told.over.get(p.id, p.cleared))) for p in plan.plantings
    ]
    return replace(plan, plantings=tuple(plantings)) if told.over else plan


def _pictures(plan: Plan, said: dict, paper: Paper, on_days: Plan) -> dict[str, str]:
    """Draw what the sheets show; note each picture's file name where it belongs.

    ``on_days`` is the plan by which beds are drawn on a day.
    """
    files: dict[str, str] = {}
    said["tape"] = TAPES[plan.site.units]
    said["season_pictures"] = []
    if "season" in said["sheets"]:
        chosen = season_pages(plan, paper)
        said["season_lying"] = chosen.lying
        large = chosen.spare_mm >= LARGE_DATES_MM
        said["dates_scale"] = LARGE_DATES if large else 1.0
        said["dates_columns"] = 3 if large and not chosen.lying else 4
        if chosen.glance:
            files["glance.svg"] = _glance(plan, paper)
            said["season_pictures"].append(
                {"file": "glance.svg", "alt": legible(at_a_glance(plan))}
            )
        for n, places in enumerate(chosen.pages, start=1):
            name = f"season-{n}.svg"
            files[name] = season_svg(
                plan, width=chosen.width, places=places, title=False, bare=True,
                sky=not chosen.glance,
            )  # fmt: skip
            said["season_pictures"].append(
                {"file": name, "alt": legible(describe(plan, places))}
            )  # fmt: skip
    for month in said["months"]:
        note_beds(on_days, month, *PAPERS[paper][1:])
    covers = tuple(dict.fromkeys(p.cover for p in plan.plantings if p.cover != "none"))
    files["beds-key.svg"] = beds_key_svg(covers=covers)
    key = ["growing", "harvest", "room in its rows", "number of plants"]
    said["beds_key"] = "Key: " + ", ".join([*key, *(f"{cover} over it" for cover in covers)])
    said["months"] = on_sheets(said["months"], *PAPERS[paper][1:])
    for sheet in said["months"]:
        for month in sheet["months"]:
            day = date.fromisoformat(month.pop("beds_day"))
            today = on_day(on_days, day)
            for one in month["beds"]:
                px_per_m = scale_for(plan, BEDS_WIDTH) * one.pop("large")
                files[one["file"]] = beds_on_svg(
                    today, day, one.pop("places"), width=BEDS_WIDTH, px_per_m=px_per_m, bare=True,
                    tight=many_places(plan),
                )  # fmt: skip
    for n, (card, planting) in enumerate(zip(said["plantings"], in_order(plan), strict=False)):
        card["drawing"] = card["scale"] = ""
        if planting.kind == "bed" and planting.rows > 1:  # of one row its words say all
            card["drawing"] = f"planting-{n}.svg"
            files[card["drawing"]], scale, wide = drawing(plan, planting)
            card["scale"], card["beside"] = f"1:{scale}", wide <= BESIDE_MM
    return files


@dataclass(frozen=True)
class SeasonPages:
    """How the season's picture goes on paper: its width [px] and each page's places.

    ``glance``: they follow on a page that shows the season by crop, and its sky. ``spare_mm`` is
    left free on a single page.
    """

    lying: bool
    width: float
    pages: list[list[str]]
    glance: bool = False
    spare_mm: float = 0.0


def season_pages(plan: Plan, paper: Paper) -> SeasonPages:
    """Choose how the season goes on paper: one page wherever it can be read on one."""
    _, short, long = PAPERS[paper]
    shapes = [(True, width, long, short) for width in LYING]
    shapes += [(False, width, short, long) for width in STANDING]
    for lying, width, across, down in sorted(shapes, key=lambda one: one[1] / (one[2] - SIDES_MM)):
        free = _free(across, down, width)
        if len(plan.places) * ROW_LEAST > free:
            continue
        need = _heights(plan, width)
        spare = free - sum(need.values())
        if spare >= 0:
            spare_mm = spare * (across - SIDES_MM) / width
            return SeasonPages(lying, width, [list(need)], spare_mm=spare_mm)
    dealt = {width: _dealt(plan, width, short, long) for width in STANDING}
    width = min(STANDING, key=lambda width: (len(dealt[width]), width))
    return SeasonPages(False, width, dealt[width], glance=True)


def _glance(plan: Plan, paper: Paper) -> str:
    """Return the picture by crop that fills a standing page above the key dates."""
    _, across, down = PAPERS[paper]
    rows = len(by_crop(plan))

    def room(width: float) -> float:
        return _free(across, down, width) + SEASON_FRAME

    roomy = (w for w in STANDING if frame_height() + rows * GLANCE_PITCH <= room(w))
    width = next(roomy, STANDING[-1])
    return glance_svg(plan, width, room(width))


def _dealt(plan: Plan, width: float, across: float, down: float) -> list[list[str]]:
    """Deal places onto standing pages; the key dates and the sky are on a page before them."""
    free = _free(across, down, width) + KEY_DATES_MM / ((across - SIDES_MM) / width)
    free += above_rows() - above_rows(sky=False)
    pages: list[list[str]] = [[]]
    used = 0.0
    for name, height in _heights(plan, width).items():
        if pages[-1] and used + height > free:
            pages.append([])
            used = 0.0
        pages[-1].append(name)
        used += height
    return pages


def _heights(plan: Plan, width: float) -> dict[str, float]:
    """Return each place's height [px] in a picture of a width."""
    lanes = lanes_needed(plan, width)
    return {name: max(count * LANE + PAD, ROW_LEAST) for name, count in lanes.items()}


def _free(across: float, down: float, width: float) -> float:
    """Return the height left for places [px] on a page of a size [mm]."""
    px_mm = (across - SIDES_MM) / width
    return (down - TOP_BOTTOM_MM - HEAD_MM - KEY_DATES_MM) / px_mm - SEASON_FRAME
