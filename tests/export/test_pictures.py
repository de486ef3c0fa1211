"""The pictures: sound SVG, true to the plan's dates and sums, nothing over anything else."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from collections import defaultdict
from dataclasses import replace
from datetime import date, timedelta
from itertools import pairwise
from pathlib import Path

import pytest

from sowplan.export.pictures import svg
from sowplan.export.pictures.bed_day import beds_on_svg
from sowplan.export.pictures.bed_names import apart, side_by_side
from sowplan.export.pictures.beds import beds_svg, panels
from sowplan.export.pictures.glance import by_crop, glance_svg, joined
from sowplan.export.pictures.harvest import harvest_svg
from sowplan.export.pictures.lanes import bar, lanes
from sowplan.export.pictures.lettering import FILES, legible, shorten, width
from sowplan.export.pictures.png import can_rasterise, to_png
from sowplan.export.pictures.scale import Scale, weeks
from sowplan.export.pictures.season import lanes_needed, season_parts, season_svg, told
from sowplan.export.pictures.spans import SLIVER_DAYS, own_weeks
from sowplan.export.pictures.standing import ground_of, standing, stations
from sowplan.export.pictures.style import LIGHT
from sowplan.export.pictures.tally import cells_by_week, leftovers, tallies
from sowplan.export.pictures.trays import trays_svg
from sowplan.export.pictures.words import season_name
from sowplan.season.plan import WantPeriod
from sowplan.supply.picks import spare
from sowplan.supply.wording import length_text

ROOT = Path(__file__).resolve().parents[2]
PICTURES = (season_svg, harvest_svg, trays_svg, beds_svg)
NS = "{http://www.w3.org/2000/svg}"


def empty(plan):
    return replace(plan, plantings=(), wants=())


def polar(plan):
    """Give a plan the sky of 70° N: days of 0 and of 24 hours, frost always possible."""
    sky = tuple(
        replace(d, daylength_h=24.0 if n % 200 < 60 else 0.0, tmin_c=-22.0, tmax_c=-3.0,
                frost_chance=1.0)
        for n, d in enumerate(plan.sky)
    )  # fmt: skip
    return replace(plan, sky=sky, site=replace(plan.site, last_frost=None, first_frost=None))


def tropical(plan):
    sky = tuple(replace(d, daylength_h=12.1, frost_chance=0.0) for d in plan.sky)
    site = replace(plan.site, last_frost=None, first_frost=None, frost_note="no frost expected")
    return replace(plan, sky=sky, site=site)


def two_years(plan):
    return replace(plan, site=replace(plan.site, end=date(2028, 8, 31)))


def bare(plan):
    return replace(plan, sky=(), places=(), trays=(), plantings=(), wants=(), crops=())


def imperial(plan):
    return replace(plan, site=replace(plan.site, units="imperial"))


@pytest.mark.parametrize("change", [None, empty, polar, tropical, two_years, bare, imperial])
@pytest.mark.parametrize("draw", PICTURES)
def test_each_picture_is_sound_titled_and_the_same_each_time(sample_plan, draw, change):
    plan = change(sample_plan) if change else sample_plan
    made = draw(plan)
    root = ET.fromstring(made)
    title, described = root.find(f"{NS}title"), root.find(f"{NS}desc")
    assert title.text and described.text
    assert root.get("aria-labelledby").split() == [title.get("id"), described.get("id")]
    assert made == draw(plan)
    assert "nan" not in re.sub(r">[^<]*<", "><", made) and "inf" not in re.findall(r'"inf"', made)
    _inside(root)


def _inside(root):
    """Every rectangle and text begins within the picture."""
    _, _, wide, high = map(float, root.get("viewBox").split())
    for shape in root.iter(f"{NS}rect"):
        x, y = float(shape.get("x")), float(shape.get("y"))
        if x >= 0 and y >= 0:  # those of moved groups are told from their middle
            assert x + float(shape.get("width")) <= wide + 0.02
            assert y + float(shape.get("height")) <= high + 0.02


def test_dark_pictures_use_dark_paper(sample_plan):
    assert 'fill="#13191b"' in season_svg(sample_plan, dark=True)
    assert 'fill="#13191b"' not in season_svg(sample_plan)


def test_a_hostile_name_is_only_text(sample_plan):
    name = 'Bed <script>alert("1")</script> & "Co" \x00\x0b'
    places = tuple(
        replace(p, name=name if p.name == "Long bed" else p.name) for p in sample_plan.places
    )
    plantings = tuple(
        replace(p, place=name if p.place == "Long bed" else p.place) for p in sample_plan.plantings
    )
    plan = replace(sample_plan, places=places, plantings=plantings)
    for draw in PICTURES:
        assert ET.fromstring(draw(plan)).find(f".//{NS}script") is None


# ---- numbers and letters


@pytest.mark.parametrize(
    ("value", "text"), [(0, "0"), (-0.001, "0"), (3.0, "3"), (2.5, "2.5"), (1 / 3, "0.33")]
)
def test_numbers_have_one_form(value, text):
    assert svg.number(value) == text


def test_text_runs_as_wide_as_the_typesetter_sets_it():
    import typst

    words = "Butterhead lettuce 12, 80–140 cm × 3"
    source = (
        '#set text(font: "Source Sans 3", size: 100pt, kerning: false, ligatures: false)\n'
        f"#context [#metadata(measure([{words}]).width.pt()) <w>]"
    )
    found = typst.query(
        source.encode(), "<w>", field="value", one=True,
        font_paths=[str(FILES[False].parent)], ignore_system_fonts=True,
    )  # fmt: skip
    assert width(words, 100.0) == pytest.approx(float(found), rel=0.002)


def test_a_shortened_text_fits_its_room():
    words = "Dwarf French bean of the old kind"
    for room in range(10, 260, 10):
        assert width(shorten(words, room), 12.5) <= room
    assert shorten(words, 1000) == words


def test_every_letter_of_the_examples_and_the_crop_table_is_in_the_font():
    from fontTools.ttLib import TTFont

    has = {weight: set(TTFont(file).getBestCmap()) for weight, file in FILES.items()}
    files = [*ROOT.glob("examples/*/*.toml"), *ROOT.glob("crops/*.csv")]
    assert len(files) >= 6
    for file in files:
        letters = {ord(c) for c in file.read_text(encoding="utf-8")} - {10, 13, 9, 0xFEFF}
        for weight, known in has.items():
            assert not {chr(c) for c in letters - known}, (file.name, weight)


def test_letters_the_font_lacks_become_plain_ones():
    assert legible("Ḷettuce Кресс café") == "Ḷettuce Кресс café"
    assert legible("ｋａｌｅ") == "kale"
    assert legible("水 bed") == "□ bed"
    assert legible("bed\u200d\ufe0f") == "bed"


# ---- the season


def test_bars_stand_where_the_dates_are(sample_plan):
    left, right = season_parts(sample_plan, 1044.0)
    root = ET.fromstring(right)
    site = sample_plan.site
    days = (site.end - site.start).days + 1
    per_day = (1044.0 - 44.0 - 0.5) / days
    for n, p in enumerate(sample_plan.plantings):
        group = root.find(f".//{NS}g[@data-p='{n}']")
        harvest = group.find(f"{NS}path[@class='h']").get("d")
        x1, x2 = map(float, re.match(r"M([\d.]+) 0h([\d.]+)", harvest).groups())
        assert x1 == pytest.approx(0.5 + (p.harvest_start - site.start).days * per_day, abs=0.06)
        end = min(p.cleared, site.end + timedelta(days=1))
        assert x1 + x2 == pytest.approx(0.5 + (end - site.start).days * per_day, abs=0.06)
        assert group.find(f"{NS}text").text.startswith(sample_plan.crop(p.crop).name)
    groups = [g.get("data-p") for g in root.iter(f"{NS}g") if not g.get("transform")]
    assert sorted(map(int, groups)) == list(range(len(sample_plan.plantings)))
    assert ET.fromstring(left).get("height") == root.get("height")


def test_what_was_planted_out_before_the_season_is_in_no_tray(sample_plan):
    """One ring for each batch that is in a tray in the season, and one in the legend."""
    raised = [p for p in sample_plan.plantings if p.tray]
    begun, others = raised[0], raised[1:]
    start = sample_plan.site.start
    out = replace(begun, sow=start - timedelta(days=60), planting_out=start - timedelta(days=9))
    plan = replace(sample_plan, plantings=(out, *others))
    rings = season_svg(sample_plan).count("<circle") - season_svg(plan).count("<circle")
    assert rings == 1


def test_no_bar_or_label_covers_another(sample_plan):
    scale = Scale(sample_plan.site.start, sample_plan.site.end, 150, 900)
    for place in sample_plan.places:
        bars = [
            bar(p, sample_plan.crop(p.crop).name, scale)
            for p in sample_plan.plantings
            if p.place == place.name
        ]
        dealt = lanes(bars)
        assert sorted(b.planting.id for lane in dealt for b in lane) == sorted(
            b.planting.id for b in bars
        )
        for lane in dealt:
            for one, following in pairwise(lane):
                label_end = one.left + 5 + width(one.words, 11.0)
                assert one.right <= following.left + 0.02
                assert min(label_end, scale.right) <= following.left + 0.02
            trays = sorted((b.sown, b.left) for b in lane if b.planting.planting_out)
            assert all(a[1] <= b[0] + 0.02 for a, b in pairwise(trays))


def test_beds_count_from_their_end_as_the_words_do(sample_plan):
    """The picture's scale runs over the whole bed; its figures have room."""
    plan = imperial(sample_plan)
    root = ET.fromstring(beds_svg(plan))
    ends = {length_text(p.length_m, "imperial") for p in plan.places if p.kind == "bed"}
    figures = [t for t in root.iter(f"{NS}text") if t.text in ends]
    assert figures
    for one in figures:
        assert float(one.get("x")) + width(one.text, 11.0) * 1.15 <= float(root.get("width"))
    frames = [r for r in root.findall(f"{NS}rect") if r.get("fill") == "none"]
    strips = {
        g[0].text: list(g)[1:] for g in root.iter(f"{NS}g") if g.find(f"{NS}title") is not None
    }
    bed = plan.place("Gate bed")
    top, high = (
        float(frames[[p.name for p in plan.places].index("Gate bed")].get(k))
        for k in ("y", "height")
    )
    for p in (p for p in plan.plantings if p.place == "Gate bed"):
        box = strips[told(plan, p)][0]
        at = top + (bed.edge_m + p.strip_start_m) / bed.length_m * high
        assert float(box.get("y")) == pytest.approx(at, abs=0.02)


def test_each_part_of_a_batch_in_several_stretches_tells_its_own_number(sample_plan):
    """Nine plants in holes 1 to 5 and 16 to 19 are five and four of nine, counted by hand."""
    p = next(p for p in sample_plan.plantings if p.kind == "channel")
    channel = replace(sample_plan.place(p.place), holes=24)
    name = sample_plan.crop(p.crop).name

    def told_of(plants: int, slots: tuple[int, ...], stay: int = 120) -> list[str]:
        start = sample_plan.site.start
        one = replace(p, plants=plants, slots=slots, sow=start, planting_out=start,
                      cleared=start + timedelta(days=stay))  # fmt: skip
        plan = replace(sample_plan, places=(channel,), plantings=(one,), wants=())
        root = ET.fromstring(beds_svg(plan))
        return [t.text for t in root.iter(f"{NS}text") if (t.text or "").startswith(name[:3])]

    apart = (*range(1, 6), *range(16, 20))
    assert told_of(9, apart) == [f"{name} 5 of 9", f"{name} 4 of 9"]
    assert told_of(9, tuple(range(1, 10))) == [f"{name} 9"]
    assert told_of(3, (1, 2, 3, 4, 9, 10)) == [f"{name} 2 of 3", f"{name} 1 of 3"]
    assert told_of(8, (1, 2, 3, 6)) == [f"{name} 6 of 8", f"{name} 2 of 8"]
    narrow = told_of(9, apart, 20)  # the name is cut, the number is not
    assert [words[-2:] for words in narrow] == [" 5", " 4"]


def test_of_many_long_beds_those_with_one_planting_are_low_and_it_is_named(sample_plan):
    bed = next(place for place in sample_plan.places if place.kind == "bed")
    p = next(p for p in sample_plan.plantings if p.kind == "bed")
    beds = tuple(replace(bed, name=f"Field {n}", length_m=15.0) for n in range(1, 41))
    long = [replace(p, id=f"{p.crop}-{n}", place=one.name, strip_start_m=0.0, strip_length_m=14.0)
            for n, one in enumerate(beds, start=1)]  # fmt: skip
    short = replace(long[0], id=f"{p.crop}-41", strip_start_m=14.2, strip_length_m=0.6)
    plan = replace(sample_plan, places=beds, plantings=(*long, short), wants=())
    root = ET.fromstring(beds_svg(plan))
    frames = [
        float(one.get("height"))
        for one in root.iter(f"{NS}rect")
        if one.get("fill") == "none" and one.get("stroke") == LIGHT.edge
    ]
    assert len(frames) == 40 and max(frames[1:]) < 40 < frames[0]
    name = plan.crop(p.crop).name
    said = [one.text for one in root.iter(f"{NS}text") if (one.text or "").startswith(name[:3])]
    assert len(said) == 41
    assert len(panels(plan)) == 1  # forty of them go into one picture


@pytest.mark.parametrize("share", [0.0, 0.03, 0.1, 0.97, 1.0])
def test_the_dates_of_frosts_stay_within_the_chart(sample_plan, share):
    """Left of it are the names of the rows, right of it nothing."""
    site = sample_plan.site
    day = site.start + timedelta(days=round(share * (site.end - site.start).days))
    for which in ("last_frost", "first_frost"):
        none = {"last_frost": None, "first_frost": None}
        plan = replace(sample_plan, site=replace(site, **(none | {which: day})))
        root = ET.fromstring(season_svg(plan))
        words = f"{which.replace('_', ' ')} "
        (date_,) = [t for t in root.iter(f"{NS}text") if (t.text or "").startswith(words)]
        at, long = float(date_.get("x")), width(date_.text, 11, True)
        left = at - long if date_.get("text-anchor") == "end" else at
        assert 24 + 132 <= left and left + long <= 1200 - 44


@pytest.mark.parametrize(
    ("days", "first"),
    [(12, 0.5), (25, 0.05), (25, 0.5), (25, 0.9), (60, 0.05), (60, 0.5), (60, 0.9)],
)
def test_the_dates_of_frosts_soon_after_one_another_stand_apart(sample_plan, days, first):
    """A short summer in the hills, or one of two years on a narrow sheet."""
    site = sample_plan.site
    day = site.start + timedelta(days=round(first * (site.end - site.start).days))
    frosts = {"last_frost": day, "first_frost": min(day + timedelta(days=days), site.end)}
    root = ET.fromstring(season_svg(replace(sample_plan, site=replace(site, **frosts)), width=640))
    told = [f"{one.day} {one:%b}" for one in frosts.values()]
    texts = [t for t in root.iter(f"{NS}text") if (t.text or "").endswith(tuple(told))]
    assert len(texts) == 2
    spans = []
    for text in texts:
        at, long = float(text.get("x")), width(text.text, 11, True)
        spans.append((at - long, at) if text.get("text-anchor") == "end" else (at, at + long))
    (a, b), (c, d) = sorted(spans)
    assert 24 + 132 <= a and b < c and d <= 640 - 44


@pytest.mark.parametrize("draw", [season_svg, beds_svg, harvest_svg])
def test_days_away_are_shaded_and_named(sample_plan, draw):
    gone = (date(2026, 12, 20), date(2027, 1, 5))
    away = replace(sample_plan, site=replace(sample_plan.site, away=(gone,)))
    assert ">away</text>" not in draw(sample_plan)
    root = ET.fromstring(draw(away))
    assert [t.text for t in root.iter(f"{NS}text")].count("away") == 1
    shade = next(r for r in root.iter(f"{NS}rect") if r.get("fill-opacity") == "0.2")
    days = (sample_plan.site.end - sample_plan.site.start).days + 1
    right = {season_svg: 44.0, beds_svg: 68.0, harvest_svg: 168.0}[draw]
    across = 1200.0 - right - 24.0 - (156.0 if draw is harvest_svg else 132.0)
    assert float(shade.get("width")) == pytest.approx(17 / days * across, abs=0.02)


def test_a_name_beside_a_low_area_covers_no_other(sample_plan):
    """The beds' strips are made as low as a row of radish; names stand where nothing else does."""
    low = replace(sample_plan, plantings=tuple(
        replace(p, strip_length_m=min(p.strip_length_m, 0.06)) if p.kind == "bed" else p
        for p in sample_plan.plantings
    ))  # fmt: skip
    root = ET.fromstring(beds_svg(low))
    boxes, names = [], []
    for group in root.iter(f"{NS}g"):
        edges = [r for r in group.iter(f"{NS}rect") if r.get("fill") == "none"]
        for edge in edges:
            x, y, w, h = (float(edge.get(k)) for k in ("x", "y", "width", "height"))
            boxes.append((x, y, x + w, y + h))
        for text in group.iter(f"{NS}text"):
            x, y, long = float(text.get("x")), float(text.get("y")), width(text.text, 11.0)
            beside = all(
                not a <= x <= c or not b - 1 <= y - 4 <= d + 1
                for a, b, c, d in boxes[-len(edges) :]
            )
            if beside:
                left = x - long if text.get("text-anchor") == "end" else x
                names.append((left, y - 7.5, left + long, y))
    assert len(names) > 5
    for n, (a, b, c, d) in enumerate(names):
        for e, f, g, h in boxes + names[:n]:
            assert c <= e + 0.01 or g <= a + 0.01 or d <= f + 1 or h <= b + 1


def test_a_place_can_be_drawn_alone(sample_plan):
    made = season_svg(sample_plan, places=["Rail"], title=False)
    assert "Rail" in made and "Long bed" not in made
    assert set(lanes_needed(sample_plan)) == {p.name for p in sample_plan.places}


def test_weeks_begin_on_the_gardeners_day():
    found = weeks(date(2026, 9, 1), date(2026, 9, 20), 6)  # 1 September 2026 is a Tuesday
    assert found == [date(2026, 8, 30), date(2026, 9, 6), date(2026, 9, 13), date(2026, 9, 20)]


def test_at_a_glance_each_sowing_has_a_mark_and_crops_stand_once(sample_plan):
    root = ET.fromstring(glance_svg(sample_plan))
    raised = sum(bool(p.planting_out) for p in sample_plan.plantings)
    rings = [one for one in root.iter(f"{NS}circle") if one.get("r") == "2.4"]
    assert len(rings) == raised + 1  # one in the key
    grown = by_crop(sample_plan)
    assert [found[0].sow for _, found in grown] == sorted(found[0].sow for _, found in grown)
    assert sum(len(found) for _, found in grown) == len(sample_plan.plantings)
    tight = ET.fromstring(glance_svg(sample_plan, room=0.0))
    assert float(tight.get("height")) < float(root.get("height"))


def test_at_a_glance_what_stood_before_the_season_has_no_mark_in_it(sample_plan):
    out = next(p for p in sample_plan.plantings if p.planting_out)
    days = {name: sample_plan.site.start - timedelta(days=60) for name in ("sow", "planting_out")}
    older = replace(
        sample_plan, plantings=(replace(out, id="old-1", **days), *sample_plan.plantings)
    )
    rings = [ET.fromstring(glance_svg(plan)).iter(f"{NS}circle") for plan in (sample_plan, older)]
    assert len(list(rings[0])) == len(list(rings[1]))


def test_a_summer_without_frost_says_so_and_not_where_its_dates_are_from(sample_plan):
    site = sample_plan.site
    assert site.last_frost and site.first_frost and site.frost_note
    sky = tuple(replace(d, frost_chance=0.0) for d in sample_plan.sky)
    assert ">No frost expected this season</text>" in season_svg(replace(sample_plan, sky=sky))


def test_months_have_their_names_where_none_is_whole(sample_plan):
    start, end = date(2026, 9, 10), date(2026, 10, 12)
    short = replace(sample_plan, site=replace(sample_plan.site, start=start, end=end))
    picture = season_svg(replace(short, plantings=()))
    assert ">September 2026</text>" in picture and ">October</text>" in picture


def test_a_season_within_one_month_is_named_once():
    assert season_name(date(2026, 6, 1), date(2026, 6, 30)) == "June 2026"
    assert season_name(date(2026, 6, 1), date(2027, 6, 30)) == "June 2026 to June 2027"
    assert season_name(date(2026, 6, 1), date(2026, 7, 30)) == "June to July 2026"


def test_what_is_set_and_not_sown_is_said_to_be_planted(planted_plan):
    (p,) = (p for p in planted_plan.plantings if p.id == "radish-1")
    said = told(planted_plan, p)
    assert f"planted {p.sow.day} " in said and "sown" not in said


def test_spans_that_touch_are_one():
    days = [date(2027, 3, n) for n in range(1, 29)]
    spans = [(days[9], days[12]), (days[0], days[4]), (days[4], days[6]), (days[2], days[3])]
    assert joined(spans) == [(days[0], days[6]), (days[9], days[12])]
    assert joined([]) == []


# ---- the harvest


def test_weekly_sums_add_up_to_the_plan(sample_plan):
    rows = tallies(sample_plan)
    by_want = {}
    for want in sample_plan.wants:
        wanted, met = by_want.get((want.crop, want.unit), (0.0, 0.0))
        by_want[want.crop, want.unit] = wanted + want.wanted, met + want.met
    for row in rows:
        wanted, met = by_want.pop((row.crop.key, row.unit), (0.0, 0.0))
        assert sum(row.wanted) == pytest.approx(wanted)
        assert sum(row.met) == pytest.approx(met)
        assert row.missing == pytest.approx(wanted - met)
        assert sum(lack for *_, lack in row.whys) == pytest.approx(wanted - met)
    assert not by_want
    assert {row.crop.key for row in rows} == {p.crop for p in sample_plan.plantings}


def asked(*spans):
    return [WantPeriod(0, "chard", first, last, "bunch", 2.0, 2.0) for first, last in spans]


def test_bars_are_the_weeks_of_the_want_and_none_is_a_sliver(sample_plan):
    """By hand: wanted from Saturday to Friday; the season ends on a Monday (31 May 2027)."""
    first = date(2026, 10, 3)  # a Saturday
    weeks = asked(*((first + timedelta(7 * n), first + timedelta(7 * n + 6)) for n in range(5)))
    spans = own_weeks(sample_plan.site, weeks)
    assert spans[0].first == sample_plan.site.start and spans[-1].last == sample_plan.site.end
    for one, after in pairwise(spans):
        assert after.first == one.last + timedelta(1)
    bars = {span.drawn for span in spans}
    assert {(want.start, want.end) for want in weeks} <= bars
    assert min(span.days for span in spans) > SLIVER_DAYS
    # Three days left over, which the last of a want's periods has as well, are no bar either.
    longer = asked((first, first + timedelta(6)), (first + timedelta(7), first + timedelta(16)))
    drawn = [span.drawn for span in own_weeks(sample_plan.site, longer)]
    assert (first + timedelta(7), first + timedelta(16)) in drawn


def test_a_short_last_period_that_wants_as_much_is_as_high(sample_plan):
    first = date(2026, 10, 5)
    spans = ((first, first + timedelta(6)), (first + timedelta(7), first + timedelta(13)),
             (first + timedelta(14), first + timedelta(18)))  # fmt: skip
    (row,) = tallies(replace(sample_plan, plantings=(), wants=tuple(asked(*spans))))
    high = [amount for amount in row.asked_a_week if amount > 0]
    assert high == pytest.approx([2.0, 2.0, 2.0]) and sum(row.wanted) == pytest.approx(6.0)


def test_what_is_wanted_once_in_a_season_is_drawn_from_when_it_is_fit(sample_plan):
    """Of a crop wanted "in all" nothing is brought in before the first of it is fit."""
    grown = next(p for p in sample_plan.plantings if p.lots)
    season = sample_plan.site.start, sample_plan.site.end
    want = WantPeriod(0, grown.crop, *season, "plants", 5.0, 4.0, served_by=((grown.id, 4.0),))
    (row, *_) = tallies(replace(sample_plan, plantings=(grown,), wants=(want,)))
    fit = min(lot.ready for lot in grown.lots)
    drawn = [n for n, met in enumerate(row.met_a_week) if met > 0]
    assert row.spans[drawn[0]].first <= fit <= row.spans[drawn[0]].last
    assert drawn == list(range(drawn[0], len(row.spans)))
    assert [n for n, much in enumerate(row.asked_a_week) if much > 0] == drawn
    assert (sum(row.wanted), sum(row.met)) == pytest.approx((5.0, 4.0))


def test_what_is_over_is_what_the_hand_built_season_left(sample_plan):
    # sample.py deals its lots out by itself and says what was left of them
    over = sum(rest for lots in leftovers(sample_plan).values() for _, rest in lots)
    crumbs = 0.004 * 6 * sum(len(p.lots) for p in sample_plan.plantings)
    assert over == pytest.approx(sample_plan.quality.wasted, abs=crumbs)


def test_what_is_over_is_told_for_the_days_the_tasks_tell(sample_plan):
    picked = defaultdict(float)  # by crop and last day fit, of what nobody asked for
    for (name, number), rest in spare(sample_plan).items():
        (p,) = (p for p in sample_plan.plantings if p.id == name)
        picked[p.crop, p.lots[number].last] += rest
    drawn = defaultdict(float)
    for crop, lots in leftovers(sample_plan).items():
        for day, rest in lots:
            drawn[crop, day] += rest
    assert drawn
    for key, rest in drawn.items():
        assert rest == pytest.approx(picked[key], abs=0.1)


def test_amounts_turn_into_the_wants_unit(sample_plan):
    chard = sample_plan.crop("chard")  # 6 bunches and 0.9 kg a plant
    assert 12.0 / chard.units_in("kg") == pytest.approx(1.8)
    assert 12.0 / chard.units_in("plants") == pytest.approx(2.0)
    assert 12.0 / chard.units_in("bunch") == 12.0


def test_the_picture_says_missing_and_over_in_words(sample_plan):
    said = ET.fromstring(harvest_svg(sample_plan)).find(f"{NS}desc").text
    assert "Butterhead lettuce: 50 heads wanted, 30 heads missing" in said
    assert "Chard: 21 bunches wanted, all met" in said


def test_cells_in_use_are_counted_day_by_day(sample_plan):
    use = cells_by_week(sample_plan)
    for tray in sample_plan.trays:
        for week, most in use[tray.name]:
            counts = []
            for n in range(7):
                day = week + timedelta(days=n)
                counts.append(
                    sum(
                        p.cells
                        for p in sample_plan.plantings
                        if p.tray == tray.name and p.sow <= day < p.planting_out
                    )
                )
            assert most == max(counts)


def test_figures_of_large_trays_stand_apart(sample_plan):
    many = tuple(replace(p, cells=p.cells * 100) for p in sample_plan.plantings)
    trays = tuple(replace(tray, cells=tray.cells * 100) for tray in sample_plan.trays)
    root = ET.fromstring(trays_svg(replace(sample_plan, plantings=many, trays=trays)))
    ends: dict[str, float] = {}
    figures = [one for one in root.iter(f"{NS}text") if one.text and one.text.isdecimal()]
    assert len(figures) > 3
    for one in figures:
        half = width(one.text, float(one.get("font-size"))) / 2
        assert float(one.get("x")) - half >= ends.get(one.get("y"), 0.0)
        ends[one.get("y")] = float(one.get("x")) + half


# ---- the beds on a day


def test_the_beds_of_a_day_show_each_plant_once(sample_plan):
    day = date(2026, 12, 15)
    for place in sample_plan.places:
        made = beds_on_svg(sample_plan, day, [place.name])
        there = standing(sample_plan, place.name, day)
        if place.kind == "bed":
            dots = re.findall(r'd="((?:M[\d.]+ [\d.]+h0)+)"', made)
            assert sum(d.count("h0") for d in dots) == sum(p.plants for p in there)
        else:
            rings = len(re.findall(r"<circle", made))
            assert rings == (place.holes if place.kind == "channel" else place.count)
        for p in there:
            assert sample_plan.crop(p.crop).name.split()[0] in made


def within(box, spot):
    x0, x1, y0, y1 = box
    return x0 <= spot[0] <= x1 and y0 <= spot[1] <= y1


def test_the_ground_of_a_planting_ends_where_its_plants_do(sample_plan):
    """With a plant fewer, row by row: each that stands is within it, the next would not be."""
    beds = [p for p in sample_plan.plantings if p.kind == "bed"]
    seen = set()
    for whole in beds:
        place = sample_plan.place(whole.place)
        begin = place.edge_m + whole.strip_start_m
        strip = (begin, begin + whole.strip_length_m, place.edge_m, place.width_m - place.edge_m)
        spots = stations(sample_plan, whole)
        for few in range(1, whole.plants + 1):
            p = replace(whole, plants=few)
            ground = ground_of(sample_plan, p)
            assert all(any(within(box, spot) for box in ground) for spot in spots[:few])
            assert not any(within(box, spot) for box in ground for spot in spots[few:])
            for x0, x1, y0, y1 in ground:
                assert strip[0] - 1e-9 <= x0 < x1 <= strip[1] + 1e-9
                assert strip[2] - 1e-9 <= y0 < y1 <= strip[3] + 1e-9
            seen.add(len(ground))
        if sum(whole.strip.per_row) and few == whole.strip.plants:
            assert ground == [pytest.approx(strip)]
    assert seen >= {1, 2}


def test_a_name_in_a_bed_hides_no_plant_where_its_rows_have_room(sample_plan):
    """Nine plants in three rows of eight: the name stands beside them, on the bare ground."""
    day = date(2026, 12, 15)
    p = next(p for p in sample_plan.plantings if p.id == "dwarf-bean-1")
    p = replace(p, plants=9)
    plan = replace(sample_plan, plantings=(p,))
    made = beds_on_svg(plan, day, ["Long bed"], px_per_m=160.0)
    (dots,) = re.findall(r'd="((?:M[\d.]+ [\d.]+h0)+)"', made)
    spots = [tuple(map(float, spot.split())) for spot in re.findall(r"M([\d.]+ [\d.]+)h0", dots)]
    name = r'translate\(([\d.]+) ([\d.]+)\)( rotate\(-90\))?"><rect x="-?[\d.]+" y="-?[\d.]+" '
    (found,) = re.findall(name + r'width="([\d.]+)" height="([\d.]+)"', made)
    x, y, turned, long, deep = found
    across, down = (float(deep), float(long)) if turned else (float(long), float(deep))
    assert len(spots) == 9
    for a, b in spots:
        assert abs(a - float(x)) > across / 2 or abs(b - float(y)) > down / 2


@pytest.mark.parametrize("px_per_m", [14.0, 30.0, 60.0, 160.0])
def test_every_strip_of_a_bed_has_its_name_whole(sample_plan, px_per_m):
    """On it, below it, or as a letter that the key below the bed explains."""
    lettered = 0
    for day in (date(2026, 10, 15), date(2026, 12, 15), date(2027, 2, 15)):
        for place in sample_plan.places:
            there = standing(sample_plan, place.name, day) if place.kind == "bed" else []
            made = beds_on_svg(sample_plan, day, [place.name], px_per_m=px_per_m)
            root = ET.fromstring(made)
            said = " ".join(one.text for one in root.iter(f"{NS}text"))
            assert "…" not in said
            for name in {sample_plan.crop(p.crop).name for p in there}:
                many = sum(sample_plan.crop(p.crop).name == name for p in there)
                assert said.count(name) >= many
            letters = re.findall(r'text-anchor="middle" font-weight="600">([A-Z]+)<', made)
            lettered += len(letters)
            for letter in letters:  # below its strip, and in the key
                assert made.count(f">{letter}</text>") == 2
    assert lettered or px_per_m > 50


def test_letters_below_a_bed_stand_apart_and_near_their_strips():
    assert apart([10.0, 50.0], 10.0, 100.0) == [10.0, 50.0]
    assert apart([48.0, 50.0, 52.0], 10.0, 100.0) == pytest.approx([40.0, 50.0, 60.0])
    assert apart([1.0, 2.0], 10.0, 100.0) == pytest.approx([5.0, 15.0])
    assert apart([98.0, 99.0], 10.0, 100.0) == pytest.approx([85.0, 95.0])
    crowd = apart([30.0] * 8, 10.0, 60.0)  # more than there is room for
    assert all(b - a == pytest.approx(60 / 8) for a, b in pairwise(crowd))
    assert crowd[0] >= 0 and crowd[-1] <= 60


def test_names_below_a_bed_stand_side_by_side_each_below_its_strip():
    assert side_by_side([50.0], [40.0], 100.0) == [50.0]
    assert side_by_side([4.0, 96.0], [40.0, 40.0], 100.0) == [20.0, 80.0]
    for middles, widths in (([20.0, 60.0, 96.0], [30.0, 40.0, 16.0]), ([5.0, 60.0], [40.0, 40.0])):
        found = side_by_side(middles, widths, 110.0)
        assert len(found) == len(middles)
        ends = [(at - w / 2, at + w / 2) for at, w in zip(found, widths, strict=True)]
        assert all(left < at < right for (left, right), at in zip(ends, middles, strict=True))
        assert all(a[1] < b[0] for a, b in pairwise(ends))
        assert ends[0][0] >= 0 and ends[-1][1] <= 110
    assert side_by_side([50.0, 55.0], [40.0, 40.0], 100.0) == []


def test_a_picture_becomes_a_png(sample_plan):
    if not can_rasterise():
        pytest.skip("resvg-py is not installed")
    data = to_png(trays_svg(sample_plan), 1.0)
    assert data[:8] == b"\x89PNG\r\n\x1a\n"
    assert int.from_bytes(data[16:20], "big") == 1200
    assert data == to_png(trays_svg(sample_plan), 1.0)
