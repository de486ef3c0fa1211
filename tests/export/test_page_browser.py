"""The page in a browser: this week, ticks, beds on a day, keys, phone sizes, WCAG 2.2 AA by axe."""

from __future__ import annotations

import math
import re
import shutil
import unicodedata
from dataclasses import replace
from datetime import date, timedelta
from io import BytesIO
from itertools import combinations

import pytest
from pypdf import PdfReader

from sowplan.export.page.page import page_html
from sowplan.export.pictures.standing import standing, stations
from sowplan.records.diary import entry_for
from sowplan.supply.tasks import tasks

BROWSER = shutil.which("chromium") or shutil.which("chromium-browser")
FLAGS = (
    "--no-sandbox --disable-gpu --disable-quic --no-first-run --disable-background-networking "
    "--disable-component-update --disable-sync"
).split()
DAY = date(2026, 11, 12)  # a Thursday

pytestmark = [
    pytest.mark.skipif(BROWSER is None, reason="no chromium on this machine (Debian: chromium)"),
    pytest.mark.xdist_group("browser"),
]


@pytest.fixture(scope="module")
def browser():
    sync_api = pytest.importorskip("playwright.sync_api", reason="playwright is not installed")
    with sync_api.sync_playwright() as playwright:
        launched = playwright.chromium.launch(executable_path=BROWSER, args=FLAGS)
        yield launched
        launched.close()


@pytest.fixture(scope="module")
def file(sample_plan, tmp_path_factory):
    path = tmp_path_factory.mktemp("page") / "page.html"
    path.write_text(page_html(sample_plan), encoding="utf-8")
    return path.as_uri()


@pytest.fixture(scope="module")
def shared(browser, file):
    """Return a page at desk size on the test's day, and the list of what went wrong."""
    context = context_of(browser, viewport={"width": 1280, "height": 900})
    yield opened(context, file)
    context.close()


def context_of(browser, **options):
    """Return a context half a day ahead of Greenwich, where a day mistaken for UTC's shows."""
    return browser.new_context(timezone_id="Etc/GMT-12", **options)


def plain(said):
    """Return what is said with usual spaces for those that keep a figure with its unit."""
    if isinstance(said, list):
        return [plain(one) for one in said]
    return said.replace("\N{NO-BREAK SPACE}", " ")


def unfold(summary):
    """Click a fold open and wait for what the page puts into it.

    A fold tells that it is open in a task of its own (HTML, 4.11.1), after the click returned.
    """
    summary.evaluate(
        """(one) => one.parentElement.addEventListener(
             "toggle", () => { one.dataset.told = "yes"; }, { once: true })"""
    )
    summary.click()
    summary.page.wait_for_function(
        "(one) => one.dataset.told", arg=summary.element_handle(), timeout=10_000
    )


def opened(context, file, day=DAY):
    page = context.new_page()
    page.wrong, page.asked = [], []
    page.on("console", lambda message: page.wrong.append(message.text))
    page.on("pageerror", lambda error: page.wrong.append(str(error)))
    page.on("request", lambda request: page.asked.append(request.url))
    page.clock.set_fixed_time(f"{day.isoformat()}T00:30:00+12:00")
    page.goto(file)
    return page


def go_to(page, day):
    page.locator("#day").fill(day.isoformat())
    page.locator("#day").dispatch_event("change")


def test_it_opens_from_a_file_without_network_or_complaint(shared, file):
    assert shared.asked == [file]
    assert shared.wrong == []


def test_this_week_is_shown_by_the_browsers_own_date(shared, sample_plan):
    go_to(shared, DAY)
    assert plain(shared.locator("#week-title").inner_text()) == "This week, 9 to 15 Nov"
    monday, sunday = date(2026, 11, 9), date(2026, 11, 15)
    due = {t.title for t in tasks(sample_plan) if t.day <= sunday and t.until >= monday}
    assert set(plain(shared.locator("#tasks label").all_inner_texts())) == due
    shared.locator("#week-on").click()
    assert plain(shared.locator("#week-title").inner_text()) == "Next week, 16 to 22 Nov"
    shared.locator("#today").click()
    assert shared.locator("#day").input_value() == DAY.isoformat()


@pytest.mark.parametrize("end", [date(2027, 5, 31), date(2027, 8, 31), date(2027, 9, 30)])
def test_a_season_of_up_to_thirteen_months_is_seen_whole_at_desk_size(
    browser, sample_plan, tmp_path, end
):
    assert sample_plan.site.start == date(2026, 9, 1)
    path = tmp_path / "page.html"
    longer = replace(sample_plan, site=replace(sample_plan.site, end=end))
    path.write_text(page_html(longer), encoding="utf-8")
    context = context_of(browser, viewport={"width": 1280, "height": 900})
    box = opened(context, path.as_uri()).locator("#scroll")
    assert box.evaluate("(one) => one.scrollWidth <= one.clientWidth")
    context.close()


def test_the_beds_of_any_day_are_the_plans(shared, sample_plan):
    for day in (date(2026, 10, 20), date(2026, 12, 31), date(2027, 3, 1)):
        go_to(shared, day)
        blocks = shared.locator("#places .place")
        for n, place in enumerate(sample_plan.places):
            there = standing(sample_plan, place.name, day)
            said = plain(blocks.nth(n).locator("li").all_inner_texts())
            assert sorted(re.match(r".+?, \d+", text)[0] for text in said) == sorted(
                f"{sample_plan.crop(p.crop).name}, {p.plants}" for p in there
            )
            if place.kind == "bed":
                d = (
                    blocks.nth(n)
                    .locator("path")
                    .evaluate_all("all => all.map(one => one.getAttribute('d')).join('')")
                )
                assert d.count("h0") == sum(p.plants for p in there)


@pytest.mark.parametrize(("count", "wide_m"), [(12, 0.03), (6, 0.09), (2, 0.3)])
def test_numbers_on_narrow_strips_stand_apart_and_inside(
    browser, sample_plan, tmp_path, count, wide_m
):
    """Strips at the end of a bed: circles of radius 11 in a picture of 320, each on its strip.

    Where a dozen would hide one another they stand beside their strips, in their order.
    """
    bed = sample_plan.place("Long bed")
    one = next(p for p in sample_plan.plantings if p.place == "Long bed")
    day = one.planting_out or one.sow
    free = bed.length_m - 2 * bed.edge_m
    narrow = tuple(
        replace(
            one, id=f"narrow-{n}", strip_start_m=free - wide_m * (count - n),
            strip_length_m=wide_m, rows=1, plants=1, row_lead_m=wide_m / 2,
        )
        for n in range(count)
    )  # fmt: skip
    path = tmp_path / "page.html"
    path.write_text(page_html(replace(sample_plan, plantings=narrow)), encoding="utf-8")
    context = context_of(browser)
    page = opened(context, path.as_uri(), day)
    block = page.locator(".place", has=page.locator("h3", has_text="Long bed"))
    at = block.locator("circle").evaluate_all(
        "all => all.map((c) => ['cx', 'cy'].map((name) => Number(c.getAttribute(name))))"
    )
    assert len(at) == count
    assert all(math.dist(a, b) >= 22 for a, b in combinations(at, 2))
    assert all(11 <= x <= 309 and 11 <= y <= 320 * bed.width_m / bed.length_m - 11 for x, y in at)
    assert [x for x, _ in at] == sorted(x for x, _ in at)
    if count < 12:
        px = 320 / bed.length_m
        for (x, _), p in zip(at, narrow, strict=True):
            begin = (bed.edge_m + p.strip_start_m) * px
            assert begin <= x <= begin + wide_m * px
    context.close()


def test_rows_with_room_left_are_filled_as_far_as_their_plants(browser, sample_plan, tmp_path):
    """Each bed planting with a third of its plants fewer: the shape holds those, not the others."""
    whole = {p.id: p for p in sample_plan.plantings if p.kind == "bed" and p.plants > 5}
    fewer = tuple(replace(p, plants=p.plants - p.plants // 3) for p in whole.values())
    path = tmp_path / "page.html"
    path.write_text(page_html(replace(sample_plan, plantings=fewer)), encoding="utf-8")
    context = context_of(browser)
    page = opened(context, path.as_uri(), DAY)
    there = [p for p in fewer if (p.planting_out or p.sow) <= DAY < p.cleared]
    beds = {p.place: sample_plan.place(p.place) for p in there}
    inside = """([all, spots]) => spots.map(([x, y]) => {
        const point = all[0].ownerSVGElement.createSVGPoint();
        [point.x, point.y] = [x, y];
        return all.some((one) => one.isPointInFill(point));
    })"""
    for name, bed in beds.items():
        svg = page.locator(".place", has=page.locator("h3", has_text=name)).locator("svg")
        shapes = svg.locator("g > path[fill]:not([fill=none])").element_handles()
        scale = 320 / bed.length_m
        for p in (p for p in there if p.place == name):
            spots = [(x * scale, y * scale) for x, y in stations(sample_plan, whole[p.id])]
            assert page.evaluate(inside, [shapes, spots]) == [
                n < p.plants for n in range(whole[p.id].plants)
            ]
    assert len(there) >= 4
    context.close()


def test_the_slider_goes_by_keys_and_says_its_day(shared):
    go_to(shared, DAY)
    slider = shared.locator("#slider")
    slider.focus()
    slider.press("ArrowRight")
    assert plain(slider.get_attribute("aria-valuetext")) == "Fri 13 November 2026"
    assert plain(shared.locator("#beds-day").inner_text()) == "Fri 13 November 2026"
    assert shared.locator("#day").input_value() == "2026-11-13"


def test_harvests_to_come_are_the_plans(shared, sample_plan):
    go_to(shared, DAY)
    until = DAY + timedelta(days=28)
    lots = [
        lot
        for p in sample_plan.plantings
        for lot in p.lots
        if lot.last >= DAY and lot.ready <= until
    ]
    assert shared.locator("#coming .lot, #later .lot").count() == len(lots)
    soon = [lot for lot in lots if lot.ready <= DAY + timedelta(days=14)]
    assert shared.locator("#coming .lot").count() == len(soon)


def test_a_crop_is_told_once_among_the_harvests_to_come(shared, sample_plan):
    go_to(shared, DAY)
    until = DAY + timedelta(days=14)
    names = {
        sample_plan.crop(p.crop).name
        for p in sample_plan.plantings
        if any(lot.last >= DAY and lot.ready <= until for lot in p.lots)
    }
    told = plain(shared.locator("#coming > li > b").all_inner_texts())
    assert len(told) == len(names) and set(told) == names


def test_of_many_crops_a_phone_shows_the_nearest_and_folds_the_rest(browser, sample_plan, tmp_path):
    lot = {"ready": DAY, "last": DAY + timedelta(days=3)}
    ready = tuple(replace(p, lots=(replace(p.lots[0], **lot),)) for p in sample_plan.plantings)
    names = {sample_plan.crop(p.crop).name for p in ready}
    file = tmp_path / "page.html"
    file.write_text(page_html(replace(sample_plan, plantings=ready)), encoding="utf-8")
    context = context_of(browser, viewport={"width": 390, "height": 844})
    page = opened(context, file.as_uri())
    first, rest = page.locator("#coming > li > b"), page.locator("#rest > ul > li > b")
    assert 0 < first.count() < len(names) and rest.first.is_hidden()
    said = plain(page.locator("#rest > summary").inner_text())
    assert said == f"{len(names) - first.count()} more crops"
    unfold(page.locator("#rest > summary"))
    assert {*first.all_inner_texts(), *rest.all_inner_texts()} == names
    page.set_viewport_size({"width": 1280, "height": 900})
    assert first.count() == len(names) and page.locator("#rest").is_hidden()
    assert page.wrong == []
    context.close()


def test_what_goes_out_together_is_one_line_among_the_trays(shared, sample_plan):
    day = date(2026, 10, 15)  # of the hand-built season: basil and lettuce on both shelves
    go_to(shared, day)
    lines = plain(shared.locator("#trays li").all_inner_texts())
    mine = [p for p in sample_plan.plantings if p.tray and p.sow <= day < p.planting_out]
    assert len(lines) == len({(p.tray, p.crop, p.planting_out, p.emergence > day) for p in mine})
    cells = sum(int(re.search(r"(\d+) cells?,", line)[1]) for line in lines)
    assert cells == sum(p.cells for p in mine)


def test_the_table_says_every_planting_in_words(shared, sample_plan):
    unfold(shared.locator("#plantings .scripted summary"))
    rows = plain(shared.locator("#all tbody tr").all_inner_texts())
    p = min(sample_plan.plantings, key=lambda p: (p.planting_out or p.sow, p.id))
    assert len(rows) == len(sample_plan.plantings)
    assert rows[0].split("\t")[:3] == [sample_plan.crop(p.crop).name, str(p.plants), p.place]


def test_a_tick_by_key_stays_and_comes_back_as_a_line(browser, file, sample_plan):
    context = context_of(browser, viewport={"width": 390, "height": 844})
    page = opened(context, file)
    assert page.locator("#carry").is_hidden()
    box = page.locator("#tasks input").first
    box.focus()
    box.press("Space")
    first = plain(page.locator("#tasks label").first.inner_text())
    task = next(t for t in tasks(sample_plan) if t.title == first and t.until >= date(2026, 11, 9))
    assert page.locator("#line").input_value() == f"sowplan done {task.id}={DAY.isoformat()}"
    assert first in plain(page.locator("#said").inner_text())
    page.reload()
    assert page.locator("#tasks input").first.is_checked()
    page.locator("#copy").click()
    # The clipboard answers in its own time.
    page.locator("#said", has_text="copied").wait_for(state="attached", timeout=10_000)
    page.once("dialog", lambda dialog: dialog.accept())
    page.locator("#forget").click()
    assert not page.locator("#tasks input").first.is_checked()
    assert page.locator("#carry").is_hidden()
    assert page.wrong == []
    context.close()


def test_a_job_of_several_crops_is_ticked_crop_by_crop_and_dated(browser, file, sample_plan):
    """What comes back is told part by part, the part that lends the job its id with --only."""
    job = next(
        t for t in tasks(sample_plan) if len({part.crop for part in t.parts}) > 1 and t.until < DAY
    )
    context = context_of(browser, viewport={"width": 390, "height": 844})
    page = opened(context, file)
    go_to(page, job.day)
    line = page.locator("#tasks > .date > ul > li", has=page.get_by_text(job.title, exact=True))
    whole = line.locator("input[type=checkbox]").first
    unfold(line.locator("summary"))
    names = list(dict.fromkeys(sample_plan.crop(part.crop).name for part in job.parts))
    assert plain(line.locator(".parts label").all_inner_texts()) == names
    first = line.locator(".parts li").first
    first.locator("input[type=checkbox]").check()
    mine = [part.id for part in job.parts if sample_plan.crop(part.crop).name == names[0]]
    said = {("--only " if one == job.id else "") + f"{one}={DAY.isoformat()}" for one in mine}
    told = page.locator("#line").input_value().removeprefix("sowplan done ")
    assert set(re.split(r" (?=--only)|(?<=\d) (?!--only)", told)) == said
    assert not whole.is_checked() and whole.evaluate("(box) => box.indeterminate")
    assert [
        box.evaluate("(box) => [box.checked, box.indeterminate]")
        for box in line.locator(".parts input[type=checkbox]").all()
    ] == [[True, False]] + [[False, False]] * (len(names) - 1)
    for box in line.locator(".parts input[type=checkbox]").all():
        box.check()
    assert whole.is_checked()
    assert page.locator("#line").input_value() == f"sowplan done {job.id}={DAY.isoformat()}"
    when = line.locator(".on").first.locator("input")
    when.fill(job.day.isoformat())
    assert page.locator("#line").input_value() == f"sowplan done {job.id}={job.day.isoformat()}"
    when.fill((DAY + timedelta(days=3)).isoformat())  # what lies ahead is not done yet
    assert when.input_value() == job.day.isoformat()
    first.locator("input[type=checkbox]").uncheck()
    assert not whole.is_checked()
    assert mine[0] not in page.locator("#line").input_value()
    assert page.wrong == []
    context.close()


def test_what_the_diary_has_done_is_shown_so_and_not_carried_back(browser, sample_plan, tmp_path):
    """Whole jobs and single crops of them; what stands open elsewhere is open still."""
    monday = DAY - timedelta(days=DAY.weekday())
    waits = [t for t in tasks(sample_plan) if t.day < monday <= t.until]
    several = next(
        t for t in tasks(sample_plan) if len({part.crop for part in t.parts}) > 1 and t.until < DAY
    )
    crop = sample_plan.crop(several.parts[0].crop).name
    mine = [part for part in several.parts if sample_plan.crop(part.crop).name == crop]
    over = waits[0]
    done = [entry_for(job.id, monday) for job in (*over.jobs, *mine)]
    path = tmp_path / "page.html"
    path.write_text(page_html(sample_plan, done), encoding="utf-8")
    context = context_of(browser, viewport={"width": 390, "height": 844})
    page = opened(context, path.as_uri())
    titles = plain(page.locator("#tasks label").all_inner_texts())
    assert over.title not in titles and {t.title for t in waits[1:]} <= set(titles)
    go_to(page, over.day)
    line = page.locator("#tasks > .date > ul > li", has=page.get_by_text(over.title, exact=True))
    box = line.locator("input[type=checkbox]").first
    assert box.is_checked() and box.is_disabled()
    told = f"in the diary, {monday.day} {monday:%b}"
    assert told in plain(line.locator(".on").first.inner_text())
    go_to(page, several.day)
    line = page.locator("#tasks > .date > ul > li", has=page.get_by_text(several.title, exact=True))
    whole = line.locator("input[type=checkbox]").first
    assert whole.is_enabled() and whole.evaluate("(box) => box.indeterminate")
    unfold(line.locator("summary"))
    boxes = line.locator(".parts input[type=checkbox]")
    assert boxes.first.is_checked() and boxes.first.is_disabled()
    assert page.locator("#carry").is_hidden()
    whole.check()  # of the rest only
    back = page.locator("#line").input_value()
    for part in several.parts:
        assert (f"{part.id}={DAY}" in back) == (part not in mine)
    assert page.wrong == []
    context.close()


@pytest.mark.parametrize(
    ("day", "shown", "said"),
    [
        (date(2026, 3, 1), "2026-09-01", "begins on Tue 1 September 2026"),
        (date(2030, 1, 1), "2027-05-31", "ended on Mon 31 May 2027"),
    ],
)
def test_outside_the_season_its_nearest_week_is_shown(browser, file, day, shown, said):
    context = context_of(browser)
    page = opened(context, file, day)
    assert page.locator("#day").input_value() == shown
    assert said in plain(page.locator("#outside").inner_text())
    context.close()


@pytest.mark.parametrize(("width", "scheme"), [(320, "dark"), (1280, "light")])
def test_axe_finds_nothing_and_nothing_is_cut_off(browser, file, width, scheme):
    """Rules of WCAG 2.0 to 2.2, A and AA, as axe-core checks them; reflow at 320 px is 1.4.10."""
    axe = pytest.importorskip("axe_playwright_python.sync_playwright").Axe()
    context = context_of(
        browser,
        viewport={"width": width, "height": 720},
        color_scheme=scheme,
        reduced_motion="reduce",
    )
    page = opened(context, file)
    page.locator("#tasks input").first.check()
    for folded in page.locator("#tasks summary, #plantings summary, #harvest summary").all():
        if folded.is_visible():
            unfold(folded)
    rules = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
    found = axe.run(page, options={"runOnly": rules}).response
    assert [(one["id"], one["nodes"][0]["html"]) for one in found["violations"]] == []
    assert len(found["passes"]) > 20
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    small = page.evaluate(
        """[...document.querySelectorAll('button, input, summary')].filter((one) => {
             const box = one.getBoundingClientRect();
             return box.width && (box.width < 24 || box.height < 24);
           }).map((one) => one.outerHTML)"""
    )
    assert small == []  # 2.5.8 target size
    assert page.evaluate("getComputedStyle(document.documentElement).scrollBehavior") == "auto"
    context.close()


def test_a_phone_shows_first_what_is_needed_and_jumps_open_the_rest(browser, file, sample_plan):
    context = context_of(browser, viewport={"width": 390, "height": 844})
    busy = next(t.day for t in tasks(sample_plan) if t.day > DAY)
    page = opened(context, file, busy)
    assert page.locator("#tasks input").first.bounding_box()["y"] < 844 / 2
    heads = plain(page.locator("#tasks h3").all_inner_texts())
    assert heads[0].startswith("Today, ") and sum("Today" in head for head in heads) == 1
    go_to(page, DAY)
    assert page.locator("#scroll").is_hidden() and page.locator(".wants").is_hidden()
    # What draws the beds' hatches is in no fold, which would take it away.
    assert page.locator("#h-harvest").evaluate("(one) => one.closest('details') === null")
    blocks = page.locator("#places > .place")
    for n, place in enumerate(sample_plan.places):
        here = {sample_plan.crop(p.crop).name for p in standing(sample_plan, place.name, DAY)}
        said = plain(blocks.nth(n).locator("summary, p").inner_text())
        assert all(name in said.replace("\u00a0", " ") for name in here or {"Free"})
    # What is open stays open on another day.
    unfold(blocks.first.locator("summary"))
    go_to(page, DAY + timedelta(days=1))
    assert blocks.first.locator("ol").is_visible()
    page.locator("nav a", has_text="Season").click()
    assert page.locator("#scroll").is_visible()
    page.locator("nav a", has_text="Harvest").click()
    assert page.locator(".wants").is_visible()
    assert page.locator("#harvest-title").bounding_box()["y"] >= 0
    assert page.wrong == []
    context.close()


def test_many_beds_are_folded_by_their_name(browser, sample_plan, tmp_path):
    bed = sample_plan.place("Long bed")
    fields = tuple(replace(bed, name=f"Field {n}") for n in range(1, 15))
    path = tmp_path / "page.html"
    path.write_text(page_html(replace(sample_plan, places=(*sample_plan.places, *fields))), "utf-8")
    context = context_of(browser)
    page = opened(context, path.as_uri())
    folds = page.locator("#places > .group > summary")
    assert "Field, 14 beds" in plain(folds.all_inner_texts())
    assert page.locator("#places .place").count() == 0
    unfold(folds.last)
    assert page.locator("#places .place:visible").count() == 14
    page.locator("#week-on").click()
    assert page.locator("#places .place:visible").count() == 14
    assert page.wrong == []
    context.close()


def test_without_scripts_jobs_season_and_harvest_are_there(browser, file, sample_plan):
    """As a phone's viewer of files shows it."""
    context = browser.new_context(java_script_enabled=False, viewport={"width": 390, "height": 844})
    page = context.new_page()
    page.goto(file)
    assert page.locator("#every dd").first.is_visible()
    assert page.locator("#every dd").count() == len(tasks(sample_plan))
    assert page.locator("#scroll svg").is_visible() and page.locator(".wants").is_visible()
    for selector in (".controls", "#beds", "#coming", "#late"):
        assert page.locator(selector).first.is_hidden()
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
    context.close()


def test_on_paper_the_controls_are_gone(browser, file):
    context = context_of(browser, color_scheme="dark")
    page = opened(context, file)
    page.emulate_media(media="print", color_scheme="dark")
    for selector in ("nav", ".controls", "#slider", "#late", "#next"):
        assert page.locator(selector).first.is_hidden()
    assert page.locator("#tasks").is_visible()
    sizes = page.evaluate(
        "[...document.querySelectorAll('.timeline svg')].map((one) => one.getBoundingClientRect())"
        ".map((box) => [box.height, box.right])"
    )
    (names_high, _), (chart_high, right) = sizes
    assert names_high == pytest.approx(chart_high, rel=0.01)  # rows stay beside their names
    assert right <= page.evaluate("document.documentElement.clientWidth")
    paper = page.evaluate("getComputedStyle(document.body).backgroundColor")
    assert paper == "rgb(255, 255, 255)"
    context.close()


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_printed_from_a_browser_no_sheet_is_empty_and_the_season_keeps_its_heading(
    browser, file, paper
):
    """Pages read by a PDF reader of its own (pypdf); sizes by ISO 216 and ANSI Y14.1 [mm]."""
    context = context_of(browser)
    page = opened(context, file)
    edges = dict.fromkeys(("top", "bottom", "left", "right"), "12mm")
    sheets = PdfReader(BytesIO(page.pdf(format=paper, margin=edges))).pages
    context.close()
    wide, high = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}[paper]
    for sheet in sheets:
        size = float(sheet.mediabox[2]), float(sheet.mediabox[3])
        assert size == pytest.approx((wide / 25.4 * 72, high / 25.4 * 72), abs=1.5)
    said = (unicodedata.normalize("NFKC", sheet.extract_text()) for sheet in sheets)  # no ligatures
    words = [re.sub(r"\s+", " ", one) for one in said]
    assert all(len(said) > 60 for said in words)
    (season,) = (said for said in words if "The season" in said)
    assert "first harvest, early to late" in season and "Day and night" in season
    # A fold that is closed tells nothing on paper.
    assert not any("How this is known" in said or "goes short" in said for said in words)


def test_a_hostile_garden_runs_nothing(browser, sample_plan, tmp_path):
    name = '</script><img src=x onerror="window.bad=1"><script>window.bad=1</script>'
    plan = replace(
        sample_plan,
        site=replace(sample_plan.site, name=name),
        places=tuple(
            replace(p, name=name if p.name == "Rail" else p.name) for p in sample_plan.places
        ),
        plantings=tuple(
            replace(p, place=name if p.place == "Rail" else p.place) for p in sample_plan.plantings
        ),
    )
    path = tmp_path / "page.html"
    path.write_text(page_html(plan), encoding="utf-8")
    context = context_of(browser)
    page = opened(context, path.as_uri())
    assert page.evaluate("window.bad") is None
    assert plain(page.locator("h1").inner_text()) == name
    assert page.locator("#places img").count() == 0
    assert page.wrong == []
    context.close()
