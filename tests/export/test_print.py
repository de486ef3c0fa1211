"""The sheets: every task and planting on them, inside the paper, in one font, the same bytes."""

from __future__ import annotations

import hashlib
import io
import json
import math
import os
import re
import subprocess
import sys
from dataclasses import replace
from datetime import date, timedelta
from functools import cached_property

import pytest
from pypdf import PdfReader

from sowplan.export.pictures.glance import by_crop
from sowplan.export.pictures.lettering import width
from sowplan.export.pictures.standing import rows_of, standing, stations
from sowplan.export.pictures.words import day_month_year
from sowplan.export.print.beds import beds_pages, beds_shown
from sowplan.export.print.content import key_dates, label, planting_card, shopping
from sowplan.export.print.marks import MM, drawing, marks, tape_figures
from sowplan.export.print.months import (
    LARGER,
    TOGETHER,
    beds_day,
    dealt,
    month_lines,
    months,
    on_sheets,
)
from sowplan.export.print.pdf import (
    MANY_PLANTINGS,
    SHEETS,
    print_pdf,
    print_png,
    season_pages,
    usual_sheets,
)
from sowplan.records.diary import Entry
from sowplan.supply.tasks import tasks
from sowplan.supply.undone import undone

# ISO 216 and ANSI Y14.1 sizes [mm].
SIZES = {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}


def forty(plan, copies=14):
    """Return the sample's beds and plantings over and over: 42 beds, and the rest as it is."""
    places, plantings = list(plan.places), list(plan.plantings)
    for n in range(1, copies):
        for place in plan.places:
            if place.kind == "bed":
                places.append(replace(place, name=f"{place.name} {n + 1}"))
        for p in plan.plantings:
            if p.kind == "bed":
                plantings.append(replace(p, id=f"{p.id}-{n}", place=f"{p.place} {n + 1}"))
    plantings.sort(key=lambda p: (p.sow, p.id))
    return replace(plan, places=tuple(places), plantings=tuple(plantings))


class Sheet:
    """One page: its size, all its words, and its pieces as (words, x, y, size) in points.

    What is drawn takes long to read, seconds where beds are many: only where a test asks for it.
    """

    def __init__(self, page):
        self.page = page
        self.wide, self.high = float(page.mediabox[2]), float(page.mediabox[3])

    @cached_property
    def _read(self):
        pieces = []

        def visit(words, cm, tm, _font, size):
            if words.strip():
                x = tm[4] * cm[0] + tm[5] * cm[2] + cm[4]
                y = tm[4] * cm[1] + tm[5] * cm[3] + cm[5]
                scale = math.hypot(tm[0], tm[1]) * math.hypot(cm[0], cm[1])
                turned = abs(tm[0] * cm[0] + tm[1] * cm[2]) < 0.5 * scale
                pieces.append((words.strip(), x, y, size * scale, turned))

        return self.page.extract_text(visitor_text=visit), pieces

    @property
    def text(self):
        return self._read[0]

    @property
    def pieces(self):
        return self._read[1]

    @cached_property
    def words(self):
        return " ".join(self.text.split())


class Printed:
    def __init__(self, data: bytes):
        self.pdf = PdfReader(io.BytesIO(data))
        self.sheets = [Sheet(page) for page in self.pdf.pages]

    @cached_property
    def squeezed(self):
        return squeezed("".join(sheet.text for sheet in self.sheets))


@pytest.fixture(scope="module", params=["a4", "letter"])
def printed(request, sample_plan):
    return request.param, Printed(print_pdf(sample_plan, request.param))


def stays_inside(sheet):
    for words, x, y, size, turned in sheet.pieces:
        assert 20 < x < sheet.wide - 20 and 15 < y < sheet.high - 15, words
        if not turned and "\n" not in words:
            assert x + width(words, size) * 0.97 < sheet.wide - 20, words


def squeezed(text: str) -> str:
    return re.sub(r"\s+", "", text)


def test_paper_page_numbers_and_date(printed, sample_plan):
    paper, made = printed
    short, long = SIZES[paper]
    for n, sheet in enumerate(made.sheets, start=1):
        size = sorted(side * 25.4 / 72 for side in (sheet.wide, sheet.high))
        assert size == pytest.approx([short, long], abs=0.1)
        assert f"Page {n} of {len(made.sheets)}" in sheet.words
    assert made.pdf.metadata.creation_date.date() == sample_plan.site.start
    assert made.pdf.metadata.title == "Quince Yard, September 2026 to May 2027"
    assert made.pdf.trailer["/Root"]["/Lang"] == "en"


def test_one_font_is_embedded_and_no_other(printed):
    _, made = printed
    names = set()
    for sheet in made.sheets:
        for font in sheet.page["/Resources"].get("/Font", {}).values():
            inner = font.get_object()["/DescendantFonts"][0].get_object()
            names.add(inner["/BaseFont"].split("+")[1])
            assert {"/FontFile2", "/FontFile3"} & inner["/FontDescriptor"].keys()
    assert names == {"SourceSans3-Regular", "SourceSans3-Semibold"}


def test_nothing_stands_outside_the_paper(printed):
    for sheet in printed[1].sheets:
        stays_inside(sheet)


def test_no_heading_stands_last_on_its_page(printed):
    for sheet in printed[1].sheets:
        body = [piece for piece in sheet.pieces if piece[2] > 40]  # above the footer
        words, _, _, size, _ = min(body, key=lambda piece: piece[2])
        assert size < 15, words
        for words, _, y, _, _ in body:
            if words.startswith("The beds on"):
                assert any(piece[2] < y - 5 for piece in body), "a heading without its beds"


def test_every_task_has_a_line_in_its_month(printed, sample_plan):
    for task in tasks(sample_plan):
        assert squeezed(task.title) in printed[1].squeezed, task.title


def test_every_planting_has_a_card_a_label_and_its_seed(printed, sample_plan):
    text = printed[1].squeezed
    for p in sample_plan.plantings:
        stands = "plant" if sample_plan.crop(p.crop).plants_per_cell == 1 else "clump"
        first = f"{day_month_year(p.planting_out or p.sow)}, {p.plants} {stands}"
        assert squeezed(first) in text
        if p.tray:
            assert squeezed(f"sown {day_month_year(p.sow)}, {p.cells} cell") in text
    for crop in sample_plan.crops:
        assert crop.name in printed[1].sheets[-1].words


def test_the_season_of_a_home_garden_is_one_page(printed, sample_plan):
    paper, made = printed
    first, second = made.sheets[0].words, made.sheets[1].words
    for place in sample_plan.places:
        assert place.name in first
    for when in ("29 October 2026", "22 April 2027", "21 December 2026"):
        assert when in first
    assert second.startswith("September 2026")
    assert len(season_pages(sample_plan, paper).pages) == 1


@pytest.mark.parametrize("paper", SIZES)
def test_the_season_takes_the_pages_it_was_dealt_onto(sample_plan, paper):
    """From few beds to many: no picture is too tall for its page and starts another."""
    glances = set()
    for copies in range(1, 7):
        plan = forty(sample_plan, copies)
        chosen = season_pages(plan, paper)
        made = Printed(print_pdf(plan, paper, ("season",)))
        assert len(made.sheets) == len(chosen.pages) + chosen.glance
        glances.add((chosen.glance, len(chosen.pages) == 1))
    assert glances >= {(False, True), (True, True), (True, False)}


def test_forty_beds_print_whole(sample_plan):
    plan = forty(sample_plan)
    beds = [p.name for p in plan.places if p.kind == "bed"]
    assert len(beds) == 42
    season = Printed(print_pdf(plan, "a4", ("season",)))
    assert len(season.sheets) > 2
    for crop, plantings in by_crop(plan):  # one page for the door, a row a crop
        assert crop.name in season.sheets[0].words
        assert f"{len({p.sowing for p in plantings})} sowing" in season.sheets[0].words
    assert ["Daylength" in sheet.words for sheet in season.sheets] == [
        n == 0 for n in range(len(season.sheets))
    ]  # the sky is the same on all of them; frosts are told again
    assert all("last frost 29 Oct" in sheet.words for sheet in season.sheets)
    for name in beds:
        assert sum(name in sheet.words for sheet in season.sheets) >= 1, name
    assert [name for places in season_pages(plan, "a4").pages for name in places] == [
        place.name for place in plan.places
    ]
    assert [name for places in beds_pages(plan) for name in places] == [
        place.name for place in plan.places
    ]
    autumn = replace(plan, site=replace(plan.site, start=date(2027, 4, 1)))
    months = Printed(print_pdf(autumn, "letter", ("months",)))
    for name in beds:
        assert name in months.squeezed or squeezed(name) in months.squeezed
    for sheet in (*season.sheets, *months.sheets):
        stays_inside(sheet)


def test_a_month_of_many_long_beds_is_a_sheet_of_jobs_and_one_of_beds(sample_plan):
    """Forty of 15 m, as in a market garden: to be printed on both sides of a sheet."""
    bed = next(place for place in sample_plan.places if place.kind == "bed")
    long = [replace(bed, name=f"Field {n}", length_m=15.0) for n in range(1, 41)]
    p = next(p for p in sample_plan.plantings if p.kind == "bed")
    stands = [replace(p, id=f"{p.crop}-{n + 500}", place=one.name) for n, one in enumerate(long)]
    plan = replace(sample_plan, places=tuple(long), plantings=tuple(stands), wants=())
    for paper in SIZES:
        made = Printed(print_pdf(plan, paper, ("months",)))
        busy = [sheet for sheet in made.sheets if "Field 40" in sheet.words]
        assert busy
        for sheet in busy:
            stays_inside(sheet)
            assert all(one.name in sheet.words for one in long)


def told_free(said):
    """Return the names in words like ``"Free: Wall; Field 1-3, 5; Tunnel 2."``."""
    found = set()
    for words in said.removeprefix("Free: ").removesuffix(".").split("; "):
        many = re.fullmatch(r"(.+?) ([\d-]+(?:, [\d-]+)*)", words)
        for span in many[2].split(", ") if many else ():
            first, _, last = span.partition("-")
            found |= {f"{many[1]} {n}" for n in range(int(first), int(last or first) + 1)}
        found |= set() if many else set(re.split(", | and ", words))
    return found


def test_free_places_are_named_where_places_are_many(sample_plan):
    plan = forty(sample_plan)
    day = date(2026, 12, 15)
    shown, said = beds_shown(plan, day)
    for place in plan.places:
        assert (place.name in shown) == bool(standing(plan, place.name, day))
        assert (place.name in shown) != (place.name in told_free(said))
    assert beds_shown(sample_plan, day)[0] == [place.name for place in sample_plan.places]
    # The same where half of a few are free; the last bed's alone stands in December.
    beds = tuple(place for place in sample_plan.places if place.kind == "bed")
    some = tuple(replace(beds[0], name=name) for name in ("One", "Two", "Three", "Four"))
    stands = next(p for p in sample_plan.plantings if p in standing(sample_plan, p.place, day))
    idle = replace(sample_plan, places=some, plantings=(replace(stands, place="Four"),))
    assert beds_shown(idle, day) == (["Four"], "Free: One, Two and Three.")
    two = replace(idle, places=some[2:])
    assert beds_shown(two, day) == (["Three", "Four"], "")
    assert beds_shown(replace(sample_plan, plantings=()), day) == (
        [], "Nothing stands in any place on this day.",
    )  # fmt: skip


def test_a_month_at_whose_middle_all_is_over_shows_the_last_that_stood(sample_plan):
    """What is harvested on the 3rd and cleared on the 6th stands on the map: no empty garden."""
    season = replace(sample_plan.site, start=date(2026, 9, 1), end=date(2026, 12, 5))
    over = [replace(p, cleared=min(p.cleared, date(2026, 12, 4))) for p in sample_plan.plantings]
    plan = replace(sample_plan, site=season, plantings=tuple(over))
    assert beds_day(plan, date(2026, 12, 1)) == date(2026, 12, 3)
    assert beds_day(plan, date(2026, 11, 1)) == date(2026, 11, 15)
    assert beds_shown(plan, date(2026, 12, 3))[0]


def test_what_to_buy_counts_cells_and_what_climbs(sample_plan):
    climbing = tuple(
        replace(c, support="canes" if c.key == "dwarf-bean" else "none") for c in sample_plan.crops
    )
    plan = replace(sample_plan, crops=climbing)
    found = shopping(plan)
    beans = [p for p in plan.plantings if p.crop == "dwarf-bean"]
    (row,) = found["supports"]
    days = [p.sow + timedelta(days=n) for p in beans for n in range((p.cleared - p.sow).days)]
    most = max(
        sum(p.plants for p in beans if (p.planting_out or p.sow) <= day < p.cleared) for day in days
    )
    assert row[1:3] == ["canes", str(most)]
    assert [row[0] for row in found["trays"]] == [tray.name for tray in plan.trays]
    text = Printed(print_pdf(plan, "letter", ("shopping",))).sheets[-1].words
    for words in ("Shopping list", "Trays", "To climb on or be tied to", "canes"):
        assert words in text


def test_sheets_can_be_chosen(sample_plan):
    made = Printed(print_pdf(sample_plan, "a4", ("shopping",)))
    assert len(made.sheets) == 1
    assert "Shopping list" in made.sheets[0].words
    with pytest.raises(ValueError, match="no 'posters'"):
        print_pdf(sample_plan, "a4", ("posters",))
    with pytest.raises(ValueError, match="a4, letter"):
        print_pdf(sample_plan, "a3")


def test_sheets_become_pictures(sample_plan):
    (page,) = print_png(sample_plan, "a4", ("season",), 48.0)
    assert page[:8] == b"\x89PNG\r\n\x1a\n"
    wide, high = (int.from_bytes(page[n : n + 4], "big") for n in (16, 20))
    # Lying or standing, whichever sets the season in larger letters.
    assert sorted((wide, high)) == pytest.approx((210 / 25.4 * 48, 297 / 25.4 * 48), abs=1.01)


def test_a_plan_without_plantings_prints(sample_plan):
    plan = replace(sample_plan, plantings=(), wants=())
    made = Printed(print_pdf(plan))
    assert "Nothing to do but water and look" in made.sheets[1].words


def test_letters_without_a_glyph_become_plain_ones_and_marks_stay_text(sample_plan):
    site = replace(sample_plan.site, name='水 Garden #let x = 1 $y$ *b* "q" \\ @a')
    made = Printed(print_pdf(replace(sample_plan, site=site), "a4", ("season",)))
    assert '□ Garden #let x = 1 $y$ *b* "q" \\ @a' in made.sheets[0].words


def test_the_same_bytes_whatever_the_machine_says(sample_plan, tmp_path):
    from sowplan.season.archive import to_json

    (tmp_path / "plan.json").write_text(to_json(sample_plan), encoding="utf-8")
    code = (
        "import sys,hashlib;from pathlib import Path;from sowplan.season.archive import read_plan\n"
        "from sowplan.export.print.pdf import print_pdf\n"
        "from sowplan.export.page.page import page_html\n"
        "from sowplan.export.pictures.season import season_svg\n"
        "plan=read_plan(Path(sys.argv[1]))[0]\n"
        "for made in (print_pdf(plan),page_html(plan).encode(),season_svg(plan).encode()):\n"
        "    print(hashlib.sha256(made).hexdigest())\n"
    )
    odd = {"TZ": "Pacific/Chatham", "LC_ALL": "tr_TR.UTF-8", "PYTHONHASHSEED": "7",
           "SOURCE_DATE_EPOCH": "1000000000"}  # fmt: skip
    done = subprocess.run(
        [sys.executable, "-c", code, str(tmp_path / "plan.json")],
        env=os.environ | odd, capture_output=True, text=True, check=True,
    )  # fmt: skip
    from sowplan.export.page.page import page_html
    from sowplan.export.pictures.season import season_svg

    here = (
        print_pdf(sample_plan),
        page_html(sample_plan).encode(),
        season_svg(sample_plan).encode(),
    )
    assert done.stdout.split() == [hashlib.sha256(made).hexdigest() for made in here]


# ---- the parts


def test_a_drawing_measures_true_at_its_scale(sample_plan):
    """On paper, 96 px are an inch: dots stand the real distance apart, divided by the scale."""
    for p in sample_plan.plantings:
        if p.kind != "bed":
            continue
        picture, scale, wide_mm = drawing(sample_plan, p)
        path = re.search(r'd="((?:M[\d.]+ [\d.]+h0)+)"', picture)[1]
        dots = [tuple(map(float, d.split())) for d in re.findall(r"M([\d.]+ [\d.]+)h0", path)]
        real = stations(sample_plan, p)
        assert len(dots) == len(real) == p.plants
        for (x1, y1), (x2, y2) in zip(dots[1:], real[1:], strict=True):
            dx = (x1 - dots[0][0]) / MM / 1000 * scale
            dy = (y1 - dots[0][1]) / MM / 1000 * scale
            assert (dx, dy) == pytest.approx((x2 - real[0][0], y2 - real[0][1]), abs=0.0006)
        assert wide_mm <= 90


def test_the_tape_of_a_drawing_reads_as_the_words_beside_it():
    # by hand: an inch is 2.54 cm; 1.46 m are 57.48 in, to the half inch 57½: 4 ft 9½ in
    assert tape_figures([0.19, 0.9, 1.46], "imperial") == ["7½", "35½", "4′9½″"]
    assert tape_figures([0.3048 * 6], "imperial") == ["6′"]
    assert tape_figures([0.184, 0.43], "metric") == ["18", "43"]
    assert tape_figures([2.9, 14.35], "metric") == ["2.9", "14.35"]
    assert tape_figures([], "metric") == []


def test_marks_are_measured_from_the_beds_corner(sample_plan):
    # Long bed: 5 cm bare edge; nine butterheads in rows of three, 25 cm apart from 0 on
    p = next(p for p in sample_plan.plantings if p.id == "lettuce-butterhead-1")
    xs = [x for x, _ in rows_of(sample_plan, p)]
    assert xs == pytest.approx([0.05 + 0.125, 0.05 + 0.375, 0.05 + 0.625])
    said = dict(marks(sample_plan, p))
    assert said["Rows at"] == "18, 43 and 68\N{NO-BREAK SPACE}cm"
    rail = next(p for p in sample_plan.plantings if p.place == "Rail")
    assert marks(sample_plan, rail) == []  # its holes are told where it stands


def test_many_even_rows_are_told_by_their_step(sample_plan):
    # 52 carrots: 13 a row, 5 cm apart, the first half a spacing inside the 5 cm edge
    p = next(p for p in sample_plan.plantings if p.id == "carrot-2")
    said = " ".join(dict(marks(sample_plan, p))["Plants at"].split())
    assert said == "8 cm, then every 5 cm to 68 cm: 13 a row"


def test_a_part_row_is_told_apart(sample_plan):
    p = next(p for p in sample_plan.plantings if p.place == "Wall bed" and p.plants == 5)
    rows = rows_of(sample_plan, p)
    assert [len(ys) for _, ys in rows] == [2, 2, 1]
    assert [words for words, _ in marks(sample_plan, p)] == [
        "Rows at", "Plants in rows 1, 2 at", "Plants in row 3 at",
    ]  # fmt: skip


def test_columns_hold_every_task_once_and_end_level(sample_plan):
    todo = tasks(sample_plan)
    mine = [t for t in todo if date(2026, 11, 1) <= t.day < date(2026, 12, 1)]
    for column_mm in (60.0, 120.0, 240.0):
        for scale in (1.0, 1.4):
            lines = month_lines(sample_plan, mine)
            pages = dealt(lines, column_mm, scale)
            found = [line["title"] for columns in pages for column in columns for line in column]
            assert found == [line["title"] for line in lines]
            assert all(column[0]["day"] for columns in pages for column in columns if column)


def few_jobs(plan):
    """Return a plan of three beds and a dozen jobs: two plantings, from October on."""
    places = tuple(place for place in plan.places if place.kind == "bed")
    names = [place.name for place in places]
    mine = [p for p in plan.plantings if p.place in names and p.sow >= date(2026, 10, 1)][:2]
    return replace(plan, places=places, plantings=tuple(mine), wants=())


def test_where_there_is_no_frost_and_no_short_day_that_is_told_in_short(sample_plan):
    """By hand: 12 h of daylight all year, as at the equator."""
    note = "no frost expected at this risk; estimated from monthly means"
    site = replace(sample_plan.site, last_frost=None, first_frost=None, frost_note=note)
    sky = tuple(replace(day, daylength_h=12.02) for day in sample_plan.sky)
    plan = replace(sample_plan, site=site, sky=sky)
    dates = dict(key_dates(plan))
    assert dates["Frost"] == "No frost expected at this risk"
    assert dates["Daylength, all season"] == "12 h"
    assert {month["sky"][0] for month in months(plan)} == {"Day 12 h"}


def test_months_of_few_jobs_share_a_sheet_in_large_type(sample_plan):
    plan = few_jobs(sample_plan)
    made = Printed(print_pdf(plan, "a4", ("months",)))
    titles = [month["title"] for month in months(plan)]
    assert 2 * len(made.sheets) <= len(titles)
    headings = [words for sheet in made.sheets for words, *_, size, _ in sheet.pieces if size > 19]
    assert squeezed("".join(headings)) == squeezed("".join(titles))
    for sheet in made.sheets:
        stays_inside(sheet)
    for task in tasks(plan):
        assert squeezed(task.title) in made.squeezed
        assert any(
            size > 9.5 * TOGETHER - 0.1 and words.startswith(task.title.split()[0])
            for sheet in made.sheets
            for words, _, _, size, _ in sheet.pieces
        )


def test_a_sheet_of_months_holds_no_more_than_its_page(sample_plan):
    """What is set in larger type, or shares a sheet, never runs over onto another page."""
    for plan in (sample_plan, few_jobs(sample_plan)):
        for paper, (wide, high) in SIZES.items():
            asked = [month | {"beds": [], "free": ""} for month in months(plan)]
            sheets = on_sheets(asked, wide, high)
            assert [m["title"] for sheet in sheets for m in sheet["months"]] == [
                month["title"] for month in asked
            ]
            whole = Printed(print_pdf(plan, paper, ("months",)))
            heads = [
                [month["title"] for month in asked if month["title"] in sheet.words]
                for sheet in whole.sheets
            ]
            assert all(heads), "a page that begins with no month"


def test_a_busy_months_words_are_hardly_smaller_than_usual(sample_plan):
    busy = max(months(sample_plan), key=lambda month: len(month["lines"]))
    busy |= {"lines": 8 * busy["lines"], "beds": [], "free": ""}
    (sheet,) = on_sheets([busy], *SIZES["a4"])
    assert 0.9 <= sheet["scale"] <= 1.0 and len(sheet["months"][0]["pages"]) > 1


def test_beds_that_fill_a_page_and_more_begin_below_the_jobs_where_that_spares_a_page(sample_plan):
    month = min(months(sample_plan), key=lambda month: len(month["lines"]))
    wide, high = SIZES["a4"]
    two = [
        {"file": f"{n}.svg", "alt": "", "places": [name], "high_mm": dict.fromkeys(LARGER, 200.0)}
        for n, name in enumerate("ab")
    ]
    asked = []

    def deal(below_mm, page_mm, by):
        asked.append(below_mm)
        first, rest = (["a"], ["b"]) if below_mm > 40.0 else ([], ["a", "b"])
        return [{"file": f"{n}.svg", "alt": "", "places": p} for n, p in enumerate((first, rest))]

    month |= {"beds": two, "free": "", "deal": deal}
    (sheet,) = on_sheets([month], wide, high)
    (set_,) = sheet["months"]
    assert [one["places"] for one in set_["beds"]] == [["a"], ["b"]]
    assert 40.0 < max(asked) < high and "deal" not in set_
    full = month | {"lines": 30 * month["lines"]}  # whatever is left below: nothing, or room for a
    (set_,) = on_sheets([full], wide, high)[0]["months"]
    assert sorted(name for one in set_["beds"] for name in one["places"]) == ["a", "b"]
    assert all(one["places"] for one in set_["beds"])


def test_a_number_stands_on_one_line_with_what_it_counts(sample_plan):
    ends = [
        line.rstrip()
        for sheet in Printed(print_pdf(sample_plan, "a4", ("months",))).sheets
        for line in sheet.text.splitlines()
    ]
    plan = replace(sample_plan, site=replace(sample_plan.site, units="imperial"))
    for month in (*months(sample_plan), *months(plan)):
        for line in month["lines"]:
            assert not re.search(r"\d (?:bunch|cm|m\b|in\b|ft|cells?|kg|g\b|of\b)", line["title"])
            assert " ".join(line["title"].split()) in {
                t.title for t in (*tasks(sample_plan), *tasks(plan))
            }
    assert not [end for end in ends if re.search(r"(?:Harvest|, and|Plant out|,) \d+$", end)]


def test_a_week_is_ruled_off_on_the_gardeners_day(sample_plan):
    todo = tasks(sample_plan)[:40]
    for week_start in (0, 6):
        plan = replace(sample_plan, site=replace(sample_plan.site, week_start=week_start))
        for line, task, before in zip(
            month_lines(plan, todo)[1:], todo[1:], todo[:-1], strict=True
        ):
            crossed = any(
                (before.day + timedelta(days=n)).weekday() == week_start
                for n in range(1, (task.day - before.day).days + 1)
            )
            assert line["week"] == crossed


def test_the_sheets_are_named_once():
    assert SHEETS == ("season", "months", "plantings", "labels", "shopping")


def test_polar_day_and_night_are_spans(sample_plan):
    sky = tuple(
        replace(d, daylength_h=24.0 if 20 <= n < 60 else 0.0 if 150 <= n < 200 else 12.0)
        for n, d in enumerate(sample_plan.sky)
    )
    said = dict(key_dates(replace(sample_plan, sky=sky)))
    assert said["The sun does not set"] == "21 September 2026 to 30 Oct"
    assert said["The sun does not rise"] == "29 January 2027 to 19 Mar"
    assert "Longest day" not in said


def test_a_polar_night_over_both_ends_of_a_season_is_two_spans(sample_plan):
    last = len(sample_plan.sky) - 1
    sky = tuple(
        replace(d, daylength_h=0.0 if n < 10 or n == last else 12.0)
        for n, d in enumerate(sample_plan.sky)
    )
    said = [when for words, when in key_dates(replace(sample_plan, sky=sky)) if "rise" in words]
    assert said == ["1 September 2026 to 10 Sep", "31 May 2027"]


def test_days_that_hardly_differ_in_length_have_no_longest(sample_plan):
    # at the equator daylength stays within some minutes of 12.1 h (Astronomical Almanac)
    sky = tuple(
        replace(d, daylength_h=12.1 + 0.01 * (n % 3)) for n, d in enumerate(sample_plan.sky)
    )
    said = dict(key_dates(replace(sample_plan, sky=sky)))
    assert said["Daylength, all season"] == "12.1 h"
    assert not {"Longest day", "Shortest day"} & said.keys()


def test_key_dates_tell_frosts_in_the_order_of_time(sample_plan):
    site = replace(sample_plan.site, last_frost=date(2027, 5, 3), first_frost=date(2026, 10, 20))
    said = [words for words, _ in key_dates(replace(sample_plan, site=site))][:2]
    assert [words.split(" (")[0] for words in said] == ["First frost", "Last frost"]


def test_what_stood_before_the_season_is_no_first_sowing(sample_plan):
    first = min(p.sow for p in sample_plan.plantings)
    before = replace(sample_plan.plantings[0], id="old-1", sow=first - timedelta(days=120))
    older = replace(sample_plan, plantings=(*sample_plan.plantings, before))
    assert before.sow < sample_plan.site.start <= first
    assert dict(key_dates(older))["First sowing"] == day_month_year(first)
    bears = replace(before, harvest_start=sample_plan.site.start - timedelta(days=30))
    older = replace(sample_plan, plantings=(*sample_plan.plantings, bears))
    begins = day_month_year(sample_plan.site.start)  # it is in harvest on the season's first day
    assert dict(key_dates(older))["First harvest, likely"] == begins


def test_what_is_set_and_not_sown_is_planted_on_its_card_and_label(planted_plan):
    (p,) = (p for p in planted_plan.plantings if p.id == "radish-1")
    card, first = planting_card(planted_plan, p), label(planted_plan, p)["first"]
    assert card["when"].startswith("Plant ") and card["plants"].endswith(f"{p.seeds} cloves")
    assert first.startswith("planted ")
    usual = planting_card(planted_plan, planted_plan.plantings[0])
    assert "clove" not in usual["plants"]


def test_a_first_or_last_month_of_hardly_any_task_shares_its_neighbours_sheet(sample_plan):
    alone = list(months(sample_plan))
    first = min(task.day for task in tasks(sample_plan))
    early = replace(  # one planting begun in the July before
        sample_plan, site=replace(sample_plan.site, start=date(2026, 7, 20)),
        plantings=tuple(
            replace(p, sow=date(2026, 7, 25)) if p.sow == first else p
            for p in sample_plan.plantings
        ),
    )  # fmt: skip
    found = list(months(early))
    few = [t for t in tasks(early) if t.day < date(2026, 8, 1)]
    assert 0 < len(few) <= 2
    assert found[0]["title"] == "July and August 2026"
    assert found[0]["beds_on"] == "15 August 2026"
    told = [" ".join(line["title"].split()) for line in found[0]["lines"]]
    assert told[: len(few)] == [task.title for task in few]
    assert [one["title"] for one in found[2:]] == [one["title"] for one in alone[1:]]


def test_a_month_of_one_idle_day_has_no_sheet(sample_plan):
    site = replace(sample_plan.site, end=date(2027, 6, 1))
    titles = [sheet["title"] for sheet in months(replace(sample_plan, site=site, plantings=()))]
    assert titles[-1] == "May 2027"


def run(*words):
    from typer.testing import CliRunner

    from sowplan.cli import app

    return CliRunner().invoke(app, [str(word) for word in words])


def test_the_commands_write_print_and_page_again(sample_plan, tmp_path):
    from sowplan.season.archive import to_json

    (tmp_path / "plan.json").write_text(to_json(sample_plan), encoding="utf-8")
    done = run("print", tmp_path, "--paper", "letter", "--sheet", "shopping", "--json")
    assert done.exit_code == 0, done.output
    said = json.loads(done.stdout)
    assert said["sheets"] == ["shopping"] and said["paper"] == "letter"
    assert (tmp_path / "print.pdf").read_bytes() == print_pdf(sample_plan, "letter", ("shopping",))
    assert run("page", tmp_path, "--out", tmp_path / "garden.html").exit_code == 0
    assert (tmp_path / "garden.html").read_text(encoding="utf-8").startswith("<!doctype html>")
    assert run("page", tmp_path, "--out", "-").stdout_bytes.startswith(b"<!doctype html>")


def in_midseason(plan):
    """Return a diary: what was sown by mid-October, one lost whole, one in part, one never sown."""
    by = date(2026, 10, 15)
    sown = [Entry(p.sow, "sown", p.id) for p in plan.plantings if p.sow < by]
    coming = [p for p in plan.plantings if p.sow >= by and not p.in_vain]
    whole, part = [p for p in plan.plantings if p.sow < by and p.plants > 2 and p.kind == "bed"][:2]
    entries = (
        *sown,
        Entry(by, "lost", whole.id, whole.plants),
        Entry(by, "lost", part.id, 2),
        Entry(by, "skipped", coming[0].id),
    )
    return entries, whole, part, coming[0]


def test_by_the_diary_what_is_done_is_ticked_and_what_is_gone_is_not_told(sample_plan):
    entries, whole, part, skipped = in_midseason(sample_plan)
    lines = [line for month in months(sample_plan, entries) for line in month["lines"]]
    known = {entry.task for entry in entries if entry.task}
    ticked = [" ".join(line["title"].split()) for line in lines if line["done"]]
    whole_done = [t.title for t in tasks(sample_plan) if {job.id for job in t.jobs} <= known]
    assert ticked and set(whole_done) <= set(ticked)
    still = [" ".join(line["title"].split()) for line in lines if not line["done"]]
    left = undone(sample_plan, entries)
    assert sorted(still) == sorted(task.title for task in left)
    assert not any(line["done"] for month in months(sample_plan) for line in month["lines"])
    harvests = [t for t in left if t.kind == "harvest" and any(p == whole.id for p, _ in t.takes)]
    assert not harvests
    made = Printed(print_pdf(sample_plan, "a4", ("plantings", "labels"), entries))
    for p in sample_plan.plantings:
        there = p.id not in (whole.id, skipped.id)
        assert any(p.id in sheet.words.split() for sheet in made.sheets) == there, p.id
    beds = print_pdf(sample_plan, "a4", ("months",), entries)
    name = sample_plan.crop(part.crop).name
    assert f"{name} {part.plants - 2}" in " ".join(s.words for s in Printed(beds).sheets)
    assert print_pdf(sample_plan, "a4", ("months",), entries) == beds


def test_the_sheets_are_printed_by_the_diary(sample_plan, tmp_path):
    from sowplan.records.diary import add_to_diary, diary_path
    from sowplan.season.archive import to_json

    entries, *_ = in_midseason(sample_plan)
    (tmp_path / "plan.json").write_text(to_json(sample_plan), encoding="utf-8")
    assert (
        add_to_diary(diary_path(tmp_path, sample_plan.site.start), [(e, "") for e in entries]) == []
    )
    assert run("print", tmp_path, "--paper", "a4", "--sheet", "months").exit_code == 0
    made = (tmp_path / "print.pdf").read_bytes()
    assert made == print_pdf(sample_plan, "a4", ("months",), entries)
    assert made != print_pdf(sample_plan, "a4", ("months",))


def test_a_plan_made_again_beside_a_diary_goes_by_it_in_page_sheets_and_calendar(
    sample_plan, tmp_path
):
    from sowplan.commands.plan_files import by_diary
    from sowplan.export.calendar import calendar
    from sowplan.export.folder import write_folder
    from sowplan.export.page.page import page_html
    from sowplan.records.diary import add_to_diary, diary_path

    assert by_diary(sample_plan, tmp_path) == ((), {})
    entries, *_ = in_midseason(sample_plan)
    path = diary_path(tmp_path, sample_plan.site.start)
    assert add_to_diary(path, [(e, "") for e in entries]) == []
    by_it, more = by_diary(sample_plan, tmp_path)
    assert write_folder(sample_plan, tmp_path / "plan", more=more, entries=by_it) == []
    for name, made in {
        "page.html": page_html(sample_plan, entries).encode(),
        "print.pdf": print_pdf(sample_plan, entries=entries),
        "season.ics": calendar(sample_plan, diary=entries),
    }.items():
        assert (tmp_path / "plan" / name).read_bytes() == made, name


def test_the_seasons_picture_for_a_screen(sample_plan, tmp_path):
    from sowplan.season.archive import to_json

    pytest.importorskip("resvg_py")
    (tmp_path / "plan.json").write_text(to_json(sample_plan), encoding="utf-8")
    done = run("print", tmp_path, "--png")
    assert done.exit_code == 0, done.output
    assert (tmp_path / "season.png").read_bytes().startswith(b"\x89PNG\r\n")  # RFC 2083, 3.1
    assert not (tmp_path / "print.pdf").exists()


def png_height(data):
    """Return how many pixels high a PNG is, by its header (RFC 2083, 3.2 and 4.1.1)."""
    assert data.startswith(b"\x89PNG\r\n\x1a\n") and data[12:16] == b"IHDR"
    return int.from_bytes(data[20:24])


@pytest.mark.parametrize("name", ["beds", "season"])
def test_the_pictures_of_a_hundred_long_beds_come_in_several_that_can_be_read(
    sample_plan, tmp_path, name
):
    """Each as tall as a screen or two (common practice, no source), every place on one of them."""
    from sowplan.export.pictures.parts import picture_parts
    from sowplan.season.archive import to_json

    many = forty(sample_plan, 34)
    places = tuple(replace(p, length_m=15.0) if p.kind == "bed" else p for p in many.places)
    plan = replace(many, places=places)
    assert sum(place.kind == "bed" for place in places) == 102
    parts = picture_parts(plan, name)
    assert len(parts) > 3 and len(picture_parts(sample_plan, name)) == 1
    for n, part in enumerate(parts, start=1):
        assert float(re.search(r'height="([\d.]+)"', part)[1]) < 2600
        assert f", {n} of {len(parts)}<" in part
        assert part.count(">November<") == (2 if name == "season" else 1)  # above, and below
        assert min(map(float, re.findall(r'font-size="([\d.]+)"', part))) >= 6
    for place in places:
        assert sum(f">{place.name}<" in part for part in parts) == 1, place.name
    (tmp_path / "plan.json").write_text(to_json(plan), encoding="utf-8")
    done = run("print", tmp_path, "--picture", name, "--json")
    files = [str(tmp_path / f"{name}-{n}.png") for n in range(1, len(parts) + 1)]
    assert json.loads(done.stdout) == {"file": files[0], "files": files}
    assert sorted(map(str, tmp_path.glob("*.png"))) == sorted(files)
    whole = run("print", tmp_path, "--picture", name, "--out", "-").stdout_bytes
    heights = [png_height((tmp_path / file).read_bytes()) for file in files]
    assert png_height(whole) > max(heights)  # printed it is one, with every place


def test_every_picture_of_the_folder_comes_light_and_dark(sample_plan, tmp_path):
    from sowplan.commands.print import Drawn
    from sowplan.export.outputs import OUTPUTS
    from sowplan.season.archive import to_json

    assert {f"{one.value}.svg" for one in Drawn} == {
        output.name for output in OUTPUTS if output.name.endswith(".svg")
    }
    (tmp_path / "plan.json").write_text(to_json(sample_plan), encoding="utf-8")
    for one in Drawn:
        for options, paper in (((), "#fcfbf7"), (("--dark",), "#13191b")):
            file = tmp_path / f"{one.value}{len(options)}.svg"
            done = run("print", tmp_path, "--picture", one.value, "--out", file, *options)
            assert done.exit_code == 0, done.output
            assert f'fill="{paper}"/>' in file.read_text(encoding="utf-8")
    done = run("print", tmp_path, "--picture", "trays", "--dark", "--json")
    assert json.loads(done.stdout) == {"file": str(tmp_path / "trays-dark.png")}
    assert (tmp_path / "trays-dark.png").read_bytes().startswith(b"\x89PNG\r\n")
    wrong = run("print", tmp_path, "--picture", "trays", "--out", tmp_path / "trays.gif")
    assert wrong.exit_code == 2 and not (tmp_path / "trays.gif").exists()


def test_the_commands_say_what_is_wrong_and_write_nothing(tmp_path):
    for command in ("print", "page"):
        done = run(command, tmp_path)
        assert done.exit_code == 3 and "plan.json" in done.stderr
        assert done.stdout == "" and list(tmp_path.iterdir()) == []
    assert run("print", tmp_path, "--paper", "a5").exit_code == 2


def test_of_hundreds_of_plantings_no_sheet_for_each_unless_asked(
    sample_plan, tmp_path, monkeypatch
):
    from sowplan.export.print import pdf
    from sowplan.season.archive import to_json

    assert usual_sheets(sample_plan) == SHEETS
    first = next(p for p in sample_plan.plantings if not p.tray)
    many = [replace(first, id=f"{first.crop}-{900 + n}") for n in range(MANY_PLANTINGS)]
    plan = replace(sample_plan, plantings=(*sample_plan.plantings, *many))
    assert usual_sheets(plan) == ("season", "months", "shopping")
    (tmp_path / "plan.json").write_text(to_json(plan), encoding="utf-8")
    set_ = []
    monkeypatch.setattr(pdf, "print_pdf", lambda *given: set_.append(given[2]) or b"x")
    told = run("print", tmp_path)
    assert told.exit_code == 0 and set_[-1] == ["season", "months", "shopping"]
    assert f"for {len(plan.plantings)} plantings: plantings and labels. --all" in told.output
    for more in (["--all"], ["--sheet", "labels"]):
        assert "Left out" not in run("print", tmp_path, *more).output
    assert set_[-2:] == [list(SHEETS), ["labels"]]
