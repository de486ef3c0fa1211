"""The PDF: the sheets' words and pictures handed to the typesetter, in the shipped font alone."""

from __future__ import annotations

import json
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime
from functools import partial
from pathlib import Path
from typing import Any, Literal

from sowplan.export.pictures.bed_day import arrange, beds_key_svg, beds_on_svg, below_on, scale_for
from sowplan.export.pictures.glance import by_crop, frame_height, glance_svg
from sowplan.export.pictures.glance import describe as at_a_glance
from sowplan.export.pictures.lettering import FONTS, legible
from sowplan.export.pictures.season import above_rows, describe, lanes_needed, season_svg
from sowplan.export.pictures.standing import on_day, standing
from sowplan.export.print.content import content, in_order
from sowplan.export.print.marks import BESIDE_MM, drawing
from sowplan.export.print.months import (
    BEDS_HEAD_MM,
    LARGER,
    MARGINS_MM,
    beds_day,
    months,
    on_sheets,
)
from sowplan.records.diary import Entry
from sowplan.season.plan import Plan, PlanPlace
from sowplan.supply.told import Told, told_by
from sowplan.supply.wording import join_words

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
BEDS_WIDTH, BEDS_TALLEST = 720.0, 820.0
MANY_PLACES, FEW_FREE = 12, 3


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
    pictures = _pictures(told.plan, said, paper, _cleared(told))
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
    plantings = [
        replace(p, cleared=min(p.cleared, told.over.get(p.id, p.cleared)))
        for p in told.plan.plantings
    ]
    return replace(told.plan, plantings=tuple(plantings)) if told.over else told.plan


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
        _note_beds(on_days, month, *PAPERS[paper][1:])
    files["beds-key.svg"] = beds_key_svg()
    said["months"] = on_sheets(said["months"], *PAPERS[paper][1:])
    for sheet in said["months"]:
        for month in sheet["months"]:
            day = date.fromisoformat(month.pop("beds_day"))
            today = on_day(on_days, day)
            for one in month["beds"]:
                px_per_m = scale_for(plan, BEDS_WIDTH) * one.pop("large")
                files[one["file"]] = beds_on_svg(
                    today, day, one.pop("places"), width=BEDS_WIDTH, px_per_m=px_per_m, bare=True,
                    tight=_many(plan),
                )  # fmt: skip
    for n, (card, planting) in enumerate(zip(said["plantings"], in_order(plan), strict=False)):
        card["drawing"] = card["scale"] = ""
        if planting.kind == "bed" and planting.rows > 1:  # of one row its words say all
            card["drawing"] = f"planting-{n}.svg"
            files[card["drawing"]], scale, wide = drawing(plan, planting)
            card["scale"], card["beside"] = f"1:{scale}", wide <= BESIDE_MM
    return files


def _note_beds(plan: Plan, month: dict, across_mm: float, down_mm: float) -> None:
    """Note which places a month's sheet shows, in which pictures, and how tall these would be."""
    first = date.fromisoformat(month["month"])
    day = beds_day(plan, first)
    plan = on_day(plan, day)
    month |= {"beds_day": day.isoformat(), "beds": [], "free": ""}
    if first > plan.site.end:
        return
    shown, month["free"] = beds_shown(plan, day)
    mm, px_per_m = (across_mm - MARGINS_MM) / BEDS_WIDTH, scale_for(plan, BEDS_WIDTH)
    tallest = (down_mm - MARGINS_MM - BEDS_HEAD_MM) / mm
    for n, names in enumerate(beds_pages(plan, shown, tallest, day), start=1):
        places = [plan.place(name) for name in names]
        high_mm = {by: _beds_high(plan, day, places, px_per_m * by) * mm for by in LARGER}
        alt = f"Where each planting stands, part {n}"
        file = f"beds-{first.isoformat()}-{n}.svg"
        month["beds"].append({"file": file, "alt": alt, "places": names, "high_mm": high_mm})


def _many(plan: Plan) -> bool:
    """Tell whether places are so many that their pictures stand close to one another."""
    return len(plan.places) > MANY_PLACES


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


def beds_shown(plan: Plan, day: date) -> tuple[list[str], str]:
    """Return the places a month's sheet draws, and words for those that stand free.

    Where places are many, or half of them free, the free ones are only named; where all are free
    none is drawn.
    """
    names = [place.name for place in plan.places]
    free = [name for name in names if not standing(plan, name, day)]
    if len(free) == len(names):
        return [], "Nothing stands in any place on this day."
    idle = len(free) >= FEW_FREE and 2 * len(free) >= len(names)
    if not free or not (idle or _many(plan)):
        return names, ""
    return [name for name in names if name not in free], f"Free: {join_words(free)}."


def beds_pages(
    plan: Plan,
    shown: Sequence[str] | None = None,
    tallest: float = BEDS_TALLEST,
    day: date | None = None,
) -> list[list[str]]:
    """Return the places shown (all otherwise) in groups whose pictures are at most so tall [px].

    ``day`` is the day drawn; without one, no place has more than its frame. Beds are drawn a little
    smaller than usual where that brings all of them into one picture.
    """
    scale = scale_for(plan, BEDS_WIDTH)
    chosen = plan.places if shown is None else [plan.place(name) for name in shown]
    if any(_beds_high(plan, day, chosen, scale * by) <= tallest for by in LARGER if by <= 1):
        return [[place.name for place in chosen]] if chosen else []
    below = below_on(plan, day, chosen, BEDS_WIDTH, scale) if day else {}
    pages: list[list[PlanPlace]] = [[]]
    for place in chosen:
        high = arrange([*pages[-1], place], BEDS_WIDTH, scale, below, _many(plan))[1]
        if pages[-1] and high > tallest:
            pages.append([])
        pages[-1].append(place)
    return [[place.name for place in page] for page in pages if page]


def _beds_high(plan: Plan, day: date | None, places: Sequence[PlanPlace], px_per_m: float) -> float:
    """Return how tall a picture of places on a day is [px]."""
    below = below_on(plan, day, places, BEDS_WIDTH, px_per_m) if day else {}
    return arrange(places, BEDS_WIDTH, px_per_m, below, _many(plan))[1]
