"""The page as a file: whole in itself, safe with any name, small."""

from __future__ import annotations

import json
import re
from dataclasses import replace
from datetime import date, timedelta
from html.parser import HTMLParser
from importlib.resources import files

import pytest

from sowplan.export.page.data import page_data
from sowplan.export.page.page import page_html
from sowplan.export.page.phrases import ENDS, LEADS, PhraseBook, numeral, pieces
from sowplan.export.pictures.standing import stations
from sowplan.export.pictures.words import where_in_place
from sowplan.supply.tasks import tasks
from sowplan.supply.water.words import week_text

VOID = {"meta", "input", "br", "link", "img", "hr"}


class Reader(HTMLParser):
    """Reads a page as a browser's tokeniser would; notes tags, ids, and what is left open."""

    def __init__(self, text):
        super().__init__()
        self.tags, self.ids, self.open, self.said = [], [], [], []
        self.feed(text)

    def handle_starttag(self, tag, attrs):
        self.tags.append((tag, dict(attrs)))
        self.ids += [value for key, value in attrs if key == "id"]
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag, attrs):
        self.tags.append((tag, dict(attrs)))

    def handle_endtag(self, tag):
        assert self.open.pop() == tag

    def handle_data(self, data):
        self.said.append((self.open[-1] if self.open else "", data))


@pytest.fixture(scope="module")
def page(sample_plan):
    return page_html(sample_plan)


def data_of(page):
    return json.loads(re.search(r'id="plan">(.*?)</script>', page, re.S)[1])


def test_the_page_is_well_formed_and_whole_in_itself(page):
    found = Reader(page)
    assert not found.open
    assert len(found.ids) == len(set(found.ids))
    for tag, attributes in found.tags:
        assert tag not in ("link", "img", "iframe", "object")
        assert "src" not in attributes
        href = attributes.get("href", "#")
        assert href.startswith("#") and (href == "#" or href[1:] in found.ids)
    for kind, text in found.said:
        if kind == "style":
            assert "@import" not in text and not re.search(r"url\((?!#)", text)
    assert "default-src 'none'" in page
    assert page.startswith("<!doctype html>") and '<html lang="en">' in page


def test_the_page_is_small_and_the_same_each_time(page, sample_plan):
    assert len(page.encode()) < 400_000
    assert page_html(sample_plan) == page
    assert "{{" not in page


def test_a_hostile_name_is_only_text(sample_plan):
    name = '</script><script>alert(1)</script>{{data}} <b>&amp;" \u2028'
    places = tuple(
        replace(p, name=name if p.name == "Rail" else p.name) for p in sample_plan.places
    )
    plantings = tuple(
        replace(p, place=name if p.place == "Rail" else p.place) for p in sample_plan.plantings
    )
    site = replace(sample_plan.site, name=name)
    page = page_html(
        replace(sample_plan, places=places, plantings=plantings, site=site, notes=(name,))
    )
    found = Reader(page)
    assert [tag for tag, _ in found.tags].count("script") == 2
    assert "b" not in [tag for tag, _ in found.tags]
    assert name in {place["name"] for place in data_of(page)["places"]}


def spelled(code, pieces):
    """Return a text from its pieces' numbers: in a digit or letter each, signs before it."""
    said, lead = "", 0
    for sign in code:
        if sign in ENDS:
            said, lead = said + pieces[lead * len(ENDS) + ENDS.index(sign)], 0
        else:
            lead = lead * len(LEADS) + LEADS.index(sign) + 1
    return plain_spaces(said)


def plain_spaces(text):
    return text.replace("\N{NO-BREAK SPACE}", " ")


def test_the_page_tells_every_task_and_day(page, sample_plan):
    data = data_of(page)
    start = sample_plan.site.start
    todo, ids = tasks(sample_plan), [row[0] for row in data["plantings"]]
    assert len(data["tasks"]) == len(todo)
    for (owner, rest, day, wait, details, *crops), task in zip(data["tasks"], todo, strict=True):
        assert (data["plantings"][owner][0] if owner is not None else "") + rest == task.id
        assert (day, day + wait) == ((task.day - start).days, (task.until - start).days)
        assert spelled(details, data["pieces"]) == task.details
        parts = [(part.crop, part.id) for part in task.parts]
        assert bool(crops) == (len({crop for crop, _ in parts}) > 1)
        told = [
            (sample_plan.crops[n].key, one if isinstance(one, str) else ids[one] + rest)
            for n, *its in (crops[0] if crops else [])
            for one in its
        ]
        assert sorted(told) == (sorted(parts) if crops else [])
    assert data["days"] == len(data["sky"]) == len(sample_plan.sky)
    jobs = [job for task in todo for job in task.jobs]
    on = {job.planting: job.day for job in jobs if job.kind == "clear"}
    for kept, p in zip(data["plantings"], sample_plan.plantings, strict=True):
        days, where, lots = kept[6], kept[8], kept[9]
        cleared = on.get(p.id, p.cleared)  # on the day of the job that does it
        assert (days[0], days[7]) == ((p.sow - start).days, (cleared - start).days)
        assert spelled(where, data["pieces"]) == where_in_place(sample_plan, p)
        assert [(ready, last) for ready, last, *_ in lots] == [
            ((lot.ready - start).days, (lot.last - start).days) for lot in p.lots
        ]


def test_what_is_fit_before_anybody_wants_it_says_from_when_it_is_wanted(sample_plan):
    """By hand: of a crop wanted only from ten days after its first lot is fit, that lot waits."""
    p = next(p for p in sample_plan.plantings if len(p.lots) > 1)
    begins = p.lots[0].ready + timedelta(days=10)
    wants = tuple(w for w in sample_plan.wants if w.crop != p.crop)
    one = next(w for w in sample_plan.wants if w.crop == p.crop)
    later = replace(one, start=begins, end=sample_plan.site.end)
    plan = replace(sample_plan, wants=(*wants, later))
    (kept,) = (row for row in data_of(page_html(plan))["plantings"] if row[0] == p.id)
    day = (begins - plan.site.start).days
    told = [[day] if lot.ready < begins else [] for lot in p.lots]
    assert [lot[3:] for lot in kept[9]] == told and told[0] == [day]


def test_the_page_tells_the_water_of_each_week(page, sample_plan):
    site, data = sample_plan.site, data_of(page)
    assert sum(bool(code) for code in data["water"]) > 10
    for n, code in enumerate(data["water"]):
        monday = site.start - timedelta(days=site.start.weekday()) + timedelta(days=7 * n)
        day = max(monday, site.start)
        assert spelled(code, data["pieces"]) == week_text(sample_plan, day)
    assert monday <= site.end < monday + timedelta(days=7) and site.week_start == 0


def test_every_job_is_listed_for_readers_without_scripts(page, sample_plan):
    todo = tasks(sample_plan)
    said = [plain_spaces(text) for kind, text in Reader(page).said if kind == "dd"]
    assert said == [task.title for task in todo]
    days = [text for kind, text in Reader(page).said if kind == "dt"]
    assert len(days) == len({task.day for task in todo})


def test_numerals_are_told_apart_and_short():
    made = [numeral(n) for n in range(60_000)]
    assert len(set(made)) == len(made)
    assert [len(made[n]) for n in (0, 61, 62, 62 + 27 * 62 - 1, 62 + 27 * 62)] == [1, 1, 2, 2, 3]
    assert all(one[-1] in ENDS and not set(one[:-1]) & set(ENDS) for one in made)
    assert not set('<>&"\\') & set(ENDS + LEADS)


def test_phrases_come_back_as_they_were():
    texts = [
        "",
        "Mon 3 May: 12½ in.\nUp about Tue 14 March.",
        "Mayor's plot 007, Marchmont",
        "水 1",
    ]
    book = PhraseBook(texts)
    assert [spelled(book.coded(text), book.pieces) for text in texts] == texts
    assert pieces("Mayor, 3 May") == ["Mayor, ", "3", " ", "May"]


def test_the_rows_of_the_data_give_each_plants_place(sample_plan):
    for kept, p in zip(
        json.loads(page_data(sample_plan, 3.0))["plantings"], sample_plan.plantings, strict=True
    ):
        if p.kind != "bed":
            assert kept[7] == list(p.slots)
            continue
        rows, at, _, lead, pitch, ys = kept[7]
        edge, found = sample_plan.place(p.place).edge_m, []
        for row in range(rows):
            first, step, count = ys[min(row % 2, len(ys) - 1)]
            x = edge + at + lead + row * pitch
            found += [(x, first + n * step) for n in range(count)]
        assert found[: p.plants] == [
            pytest.approx(place, abs=0.001) for place in stations(sample_plan, p)
        ]


def test_frosts_are_told_in_the_order_of_time(sample_plan):
    site = replace(
        sample_plan.site, last_frost=date(2027, 5, 3), first_frost=date(2026, 10, 20), frost_note=""
    )
    page = page_html(replace(sample_plan, site=site))
    assert "First frost 20 October 2026, last frost 3 May 2027, at " in plain_spaces(page)


def test_templates_travel_with_the_package():
    folder = files("sowplan.export.page")
    assert all(
        (folder / name).is_file() for name in ("page.html", "page.css", "page.js", "beds.js")
    )
    assert (files("sowplan.export.print") / "sheets.typ").is_file()
    assert (files("sowplan.export") / "fonts" / "OFL.txt").is_file()


@pytest.mark.parametrize("change", ["empty", "no sky", "imperial", "frost-free"])
def test_odd_plans_make_a_page(sample_plan, change):
    plan = {
        "empty": replace(sample_plan, plantings=(), wants=(), trays=(), notes=()),
        "no sky": replace(sample_plan, sky=()),
        "imperial": replace(sample_plan, site=replace(sample_plan.site, units="imperial")),
        "frost-free": replace(
            sample_plan,
            site=replace(
                sample_plan.site, last_frost=None, first_frost=None, frost_note="no frost expected"
            ),
        ),
    }[change]
    page = page_html(plan)
    assert not Reader(page).open
    if change == "imperial":
        assert "7 ft 10½ in" in page and data_of(page)["degree"] == "°F"
    if change == "frost-free":
        assert "No frost expected." in page


# BIPM, The International System of Units (9th edition, 2019), section 5.4.3: a space always
# separates the number and the unit; ISO 80000-1:2022 asks that they are not parted at a line's end.
PARTED = re.compile(r"[0-9½] (?:%|°[CF]|(?:m²|cm|mm|m|kg|g|lb|oz|l|h|ft|US gal)\b)")


def test_no_line_of_the_page_ends_between_a_figure_and_its_unit(page, sample_plan):
    imperial = page_html(
        replace(sample_plan, site=replace(sample_plan.site, units="imperial", frost_note=""))
    )
    for text in (page, imperial):
        data = data_of(text)
        one_line = ("script", "style", "text", "title", "desc")  # these are never broken
        told = [words for kind, words in Reader(text).said if kind not in one_line]
        told += [place["size"] for place in data["places"]]
        # Of coded texts the pieces: "280", then "\u00a0g".
        units = [
            piece for piece in data["pieces"] if re.match(r" (?:%|°|(?:cm|m|g|kg|l)\b)", piece)
        ]
        assert not units
        for words in told:
            assert not PARTED.search(words), words
        assert any("\N{NO-BREAK SPACE}" in words for words in told)
