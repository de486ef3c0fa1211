"""What buying plants is said to bring comes once they stand in the garden file as they are told."""

from __future__ import annotations

import re
from datetime import date

import pytest

from garden_text import bed, read, sowing, table, want
from sowplan.season.planner import make_plan
from sowplan.supply.wording import MONTHS

# Two invented places, each with an open bed and a bed under cover: the open one stands first in
# the file, and what is planted there is ready later.
SOUTH = """\
[site]
name = "South"
latitude = -41.4
longitude = 147.1
timezone = "Australia/Hobart"
[climate]
tmin = [12.3, 12.4, 10.1, 7.1, 4.6, 2.8, 2.2, 3.6, 5.1, 6.7, 8.9, 10.6]
tmax = [24.4, 24.6, 22.5, 18.9, 15.7, 13.0, 12.5, 13.8, 15.6, 17.9, 20.1, 22.3]
[season]
start = 2026-11-15
end = 2027-06-30
sow_on = ["Saturday"]
"""
NORTH = """\
[site]
name = "North"
latitude = 51.5
longitude = -1.5
timezone = "Europe/London"
[climate]
tmin = [1.5, 1.4, 2.8, 4.4, 7.2, 10.1, 12.2, 12.0, 9.8, 7.2, 3.9, 1.8]
tmax = [7.4, 8.0, 10.8, 13.9, 17.3, 20.3, 22.6, 22.2, 19.0, 14.7, 10.5, 7.8]
[season]
start = 2027-04-03
end = 2027-09-30
sow_on = ["Saturday"]
"""
OPEN = bed("Open bed", "6 m", depth="35 cm")
SHELF = table("tray", name="Shelf", cells=40, temperature="18 °C")
PLACES = OPEN + bed("Tunnel", "3 m", depth="35 cm", cover="tunnel") + SHELF
BOUGHT = "bought plants"
LETTUCE, TOMATO = "lettuce-butterhead", "tomato"
GARDENS = {
    "south": (
        SOUTH + PLACES
        + want(TOMATO, "1 kg", "2027-01-02", "2027-04-23")
        + want(LETTUCE, 3, "2026-12-12", "2027-06-25")
    ),
    "north": NORTH + PLACES + want(LETTUCE, 6, "2027-05-08", "2027-07-02"),
}  # fmt: skip


def planned(text, folder):
    reading = read(text, folder)
    made, problems = make_plan(reading.garden, reading.crops, effort=0.2)
    assert problems == []
    return made


def told(plan):
    """Return each gain by bought plants with its purchases: plants, day, place."""
    for gain in plan.gains:
        if gain.what.startswith("buying "):
            yield gain, list(purchases_in(plan, gain.what))


def purchases_in(plan, what):
    """Yield what a gardener reads: of one place or one day, told once, for all that it is of."""
    one = r"(\d+)(?: plants?)?(?: on (\d+) (\w+))?(?: for (Open bed|Tunnel))?"
    parts = [re.fullmatch(one, part) for part in re.split(", | and ", what.removeprefix("buying "))]
    assert all(parts), what
    (*_, only), day = [part[4] for part in parts], None
    for part in parts:
        day = day_of(plan, int(part[2]), part[3]) if part[2] else day
        yield int(part[1]), day, part[4] or only


def day_of(plan, day, month):
    at = MONTHS.index(month) + 1
    days = [date(year, at, day) for year in (plan.site.start.year, plan.site.start.year + 1)]
    return next(one for one in days if plan.site.start <= one <= plan.site.end)


def comes(plan, want):
    return sum(w.met for w in plan.wants if w.want == want)


@pytest.mark.parametrize("where", GARDENS)
def test_plants_bought_as_told_bring_what_is_promised(where, tmp_path):
    text = GARDENS[where]
    plan = planned(text, tmp_path)
    promises = list(told(plan))
    assert promises
    for gain, purchases in promises:
        crop = next(w.crop for w in plan.wants if w.want == gain.want)
        assert 1 <= len(purchases) <= 3 and gain.brings > 0
        rows = [sowing(crop, day, plants, place, sow=BOUGHT) for plants, day, place in purchases]
        more = planned(text + "".join(rows), tmp_path)
        assert comes(more, gain.want) >= comes(plan, gain.want) + gain.brings - 1e-6


def test_in_another_bed_than_told_they_may_come_too_late(tmp_path):
    """Which is why the bed is told: in the open the heads are not ready when they are wanted."""
    text = GARDENS["south"].replace("2026-12-12", "2026-12-16")
    plan = planned(text, tmp_path)
    (gain, purchases), = (one for one in told(plan) if one[0].unit == "head")  # fmt: skip
    assert {place for *_, place in purchases} == {"Tunnel"}
    rows = [sowing(LETTUCE, day, plants, "Open bed", sow=BOUGHT) for plants, day, _ in purchases]
    other = planned(text + "".join(rows), tmp_path)
    assert comes(other, gain.want) < comes(plan, gain.want) + gain.brings - 1


LATE = (
    SOUTH.replace("start = 2026-11-15", "start = 2026-12-01") + PLACES
    + want(TOMATO, "1 kg", "2027-01-02", "2027-04-23")
    + want("courgette", "1 kg", "2026-12-19", "2027-03-26")
    + want(LETTUCE, 3, "2026-12-12", "2027-06-25")
)  # fmt: skip
"""Courgettes in a garden that begins in December, its tunnel taken: either cover would help."""


@pytest.fixture(scope="module")
def late(tmp_path_factory):
    return planned(LATE, tmp_path_factory.mktemp("late"))


def test_what_is_sown_under_a_cover_as_told_brings_what_is_promised(late, tmp_path):
    """Written as a [[sowing]] with the day, number and place told, and the cover as its key."""
    plan = late
    covers = [gain for gain in plan.gains if re.match(r"(fleece|a tunnel) over \d", gain.what)]
    assert covers
    for gain in covers:
        kind, over = re.match(r"(?:a )?(fleece|tunnel) over (.*?), lying", gain.what).groups()
        place, rows = over.rpartition(" in ")[2], ""
        crop = next(w.crop for w in plan.wants if w.want == gain.want)
        for part in re.split(", | and ", over):
            told = re.fullmatch(r"(\d+) sown( direct| in trays)? on (\d+) (\w+)( in .*)?", part)
            day, way = day_of(plan, int(told[3]), told[4]), told[2] and told[2].strip()
            rows += sowing(crop, day, int(told[1]), place, cover=kind, sow=way)
        more = planned(LATE + rows, tmp_path)
        assert comes(more, gain.want) >= comes(plan, gain.want) + gain.brings - 1e-6


def test_a_square_metre_brings_in_all_what_is_promised(tmp_path):
    """Planned anew with it, whomever it serves: summer in a bed of two square metres, at 41° S."""
    small = SOUTH + PLACES.replace("6 m", "2 m").replace("3 m", "60 cm")
    small += want(TOMATO, "1 kg", "2027-01-30", "2027-04-23")
    small += want(LETTUCE, 4, "2027-01-02", "2027-06-04")
    plan = planned(small, tmp_path)
    share = max(g.in_all for g in plan.gains if g.what == "1 m² more of a bed like Open bed")
    more = planned(small + bed("New bed", "1 m", depth="35 cm"), tmp_path)
    assert share > 0.02
    assert plan.quality.missing - more.quality.missing >= share * plan.quality.wanted


def test_of_fleece_and_tunnel_only_the_better_is_told(late):
    mine = [g.what for g in late.gains if g.unit == "kg" and g.want == 1]
    covers = [what for what in mine if re.match(r"(fleece|a tunnel) over ", what)]
    assert len(covers) == 1
    assert re.search(r" over \d+ sown( direct| in trays)? on \d+ .*Open bed, lying \d", covers[0])


def test_purchases_for_one_place_name_it_once(tmp_path):
    """A season too short for seedlings, in one open bed: all that is bought is for that bed."""
    text = NORTH + OPEN + SHELF + want(LETTUCE, 6, "2027-05-08", "2027-07-02")
    ((gain, purchases),) = told(planned(text, tmp_path))
    assert {place for *_, place in purchases} == {"Open bed"}
    assert gain.what.count("Open bed") == 1
