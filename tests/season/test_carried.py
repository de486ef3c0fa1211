"""What a season hands on: by its plan, and by its diary where that tells of it otherwise."""

from __future__ import annotations

import csv
import json
import re
import tomllib
from collections import defaultdict
from dataclasses import replace
from datetime import date, timedelta
from itertools import pairwise
from pathlib import Path

import pytest
from typer.testing import CliRunner

from garden_text import bed, read, sowing, want
from gardens import PLACE
from sowplan.cli import app
from sowplan.commands.remarks import remarks
from sowplan.export.outputs import MARK
from sowplan.problem import Exit
from sowplan.records.diary import Entry, add_to_diary, diary_path
from sowplan.records.garden_file import read_garden
from sowplan.records.garden_file.next_year import next_text
from sowplan.records.garden_file.read import read_garden_text
from sowplan.season import planner
from sowplan.season.archive import write_plan
from sowplan.season.carried import carried
from sowplan.season.planner import make_plan
from sowplan.season.settled import cannot_be

ROOT = Path(__file__).resolve().parents[2]
DAY = timedelta(days=1)
GARDEN = (
    PLACE
    + """
[season]
start = 2026-09-01
end = 2027-09-30   # the last leeks
away = [[2027-01-10, 2027-01-24]]

[[bed]]
name = "Long"
length = "4 m"
width = "1 m"
depth = "30 cm"

[[bed]]
name = "Short"
length = "2 m"
width = "1 m"
depth = "30 cm"

[[tray]]
name = "Shelf"
cells = 60
temperature = "18 °C"
light = { hours = 14, ppfd = 180 }

[[want]]
crop = "leek"
amount = 2
per = "week"
from = 2027-06-05
to = 2027-09-30

[[want]]
crop = "chard"   # always
amount = 1
per = "week"

[[want]]
crop = "radish"
amount = 1
per = "week"
from = 2026-11-07
to = 2027-03-20

[[sowing]]
crop = "garlic"
date = 2026-05-16
number = 12
place = "Long"
"""
)
CHANGE = date(2027, 9, 1)
GARLIC = "[season]\nstart = 2026-11-30\nend = 2027-11-29\n" + bed("Short", "2 m")
GARLIC += want("garlic", 40, per="season")


def run(*words):
    return CliRunner().invoke(app, [str(word) for word in words])


def said(text: str) -> str:
    return re.sub(r"[\s│]+", " ", text)


@pytest.fixture(scope="module")
def season(tmp_path_factory):
    """Return garden file, reading and plan of a season that overlaps the next by a month."""
    folder = tmp_path_factory.mktemp("season")
    reading = read(GARDEN, folder)
    plan, problems = make_plan(reading.garden, reading.crops, effort=0.2)
    assert not problems
    return folder / "garden.toml", reading, plan


def hand_on(season, *entries):
    _, reading, plan = season
    handed, problems = carried(plan, reading.garden, reading.crops, entries, "diary.txt")
    assert problems == []
    return handed


def standing_leeks(plan):
    found = [p for p in plan.plantings if p.crop == "leek" and p.cleared > CHANGE]
    assert found
    return found


def lifted(plan, name):
    """Return how many leeks of a sowing serve weeks that have begun before the change."""
    return sum(
        amount
        for period in plan.wants
        for served, amount in period.served_by
        if served == name and period.start < CHANGE
    )


def test_what_is_lifted_by_then_stands_no_more(season):
    _, _, plan = season
    handed = hand_on(season)
    mine = {(s.day, s.place): s for s in handed.sowings if s.crop == "leek"}
    left = defaultdict(float)
    for p in standing_leeks(plan):
        left[p.sow, p.place] += p.plants - lifted(plan, p.id)
    assert {key: s.plants for key, s in mine.items()} == {
        key: round(many) for key, many in left.items() if round(many)
    }
    for s in mine.values():  # until the plan clears them: next year's leeks come in June
        assert s.until == max(p.cleared for p in standing_leeks(plan) if p.sow == s.day) - DAY
    assert not any(s.crop in ("garlic", "radish") for s in handed.sowings)


def test_what_is_wanted_on_stands_as_long_as_it_gives(season):
    """Chard is wanted all year: the plan clears it only because the season ends."""
    _, _, plan = season
    assert any(p.crop == "chard" and p.cleared > CHANGE for p in plan.plantings)
    chard = [s for s in hand_on(season).sowings if s.crop == "chard"]
    assert chard and all(s.until is None for s in chard)


def test_what_is_left_of_a_want_goes_with_what_stands(season):
    (still,) = hand_on(season).still
    weeks = {p.start for p in season[2].wants if p.crop == "leek"}
    assert still.want == 0 and still.end == date(2027, 9, 30)
    assert still.start == min(day for day in weeks if day >= CHANGE)


@pytest.fixture(scope="module")
def garlic(tmp_path_factory):
    """Return garden, crops and plan of garlic wanted once a season, all of it planted in autumn."""
    reading = read(PLACE + GARLIC, tmp_path_factory.mktemp("garlic"))
    plan, problems = make_plan(reading.garden, reading.crops, effort=0.2)
    assert not problems
    assert [p.plants for p in plan.plantings] == [40]
    return reading.garden, reading.crops, plan


def test_what_is_not_fit_yet_stands_though_its_time_of_want_has_begun(garlic):
    """Wanted once in the season, ready in its last days: nobody has brought it in by September."""
    garden, crops, plan = garlic
    (p,) = plan.plantings
    assert p.harvest_start > CHANGE
    handed, problems = carried(plan, garden, crops, start=CHANGE)
    assert problems == []
    (one,) = handed.sowings
    assert (one.crop, one.day, one.plants, one.place) == ("garlic", p.sow, 40, "Short")
    assert handed.past == ()
    (still,) = handed.still  # beside next year's own 40, which are another harvest
    assert (still.start, still.end, still.amount) == (CHANGE, garden.season.end, None)


@pytest.mark.parametrize("start", [None, CHANGE, date(2027, 6, 1)])
def test_what_is_wanted_once_is_asked_for_by_no_day_twice(garlic, start):
    """A year's garlic goes on from last year's, however soon the new file takes over."""
    garden, crops, plan = garlic
    handed, _ = carried(plan, garden, crops, start=start)
    text, _ = next_text(PLACE + GARLIC, garden, crops, handed.sowings, handed.past, handed.still,
                        start=start)  # fmt: skip
    reading = read_garden_text(text, "next.toml")
    assert reading.problems == ()
    spans = sorted((w.start, w.end) for w in reading.garden.wants)
    assert spans[-1] == (date(2027, 11, 30), date(2028, 11, 29))
    assert all(a[1] < b[0] for a, b in pairwise(spans))
    assert remarks(reading.garden, reading.crops) == []


def test_of_a_time_of_want_only_what_is_still_to_come_is_handed_on(garlic):
    """By hand: 16 of the 40 were fit in August, so 24 stand and 24 are still wanted."""
    garden, crops, plan = garlic
    (p,) = plan.plantings
    early, late = CHANGE - 30 * DAY, p.lots[0]
    first = replace(
        p, id="garlic-9", plants=16, strip_start_m=p.strip_start_m + 0.5, harvest_start=early,
        harvest_end=early + 7 * DAY, cleared=early + 8 * DAY,
        lots=(replace(late, ready=early, last=early + 7 * DAY, amount=16.0),),
    )  # fmt: skip
    rest = replace(p, plants=24, lots=(replace(late, amount=24.0),))
    want = replace(plan.wants[0], served_by=((rest.id, 24.0), (first.id, 16.0)))
    both = replace(plan, plantings=(rest, first), wants=(want,))
    handed, problems = carried(both, garden, crops, start=CHANGE)
    assert problems == []
    assert [(s.crop, s.plants) for s in handed.sowings] == [("garlic", 24)]
    (still,) = handed.still
    assert (still.amount, still.unit) == (24, "piece")


POTS = """
[season]
start = 2026-09-01
end = 2027-08-31

[[pot]]
name = "Pots"
count = 8
volume = "30 l"

[[tray]]
name = "Shelf"
cells = 60
temperature = "18 °C"
light = { hours = 14, ppfd = 180 }

"""
POTS += want("chard") + want("tomato", "1.5 kg", "2027-02-01", "2027-04-15")
POTS += want("lettuce-butterhead", 1, "2027-05-15")
BOUGHT = "bought plants"


def pots(*sowings):
    """Return text and garden of pots with sowings of one's own, and its plan of nothing besides."""
    settled = [sowing(crop, day, number, "Pots", **more) for crop, day, number, more in sowings]
    text = PLACE + POTS + "".join(settled)
    reading = read_garden_text(text, "garden.toml")
    assert reading.problems == ()
    plan, problems = make_plan(reading.garden, reading.crops, effort=0.1)
    assert problems == []
    own = tuple(p for p in plan.plantings if p.fixed)
    return text, reading, replace(plan, plantings=own)


@pytest.mark.parametrize(
    "sowings",
    [  # cleared three days after the change; what would give on; and half of them
        [("tomato", "2026-11-18", 8, {"sow": BOUGHT, "until": "2027-04-04"})],
        [("chard", "2026-11-18", 24, {"until": "2027-04-05"})],
        [("tomato", "2026-11-18", 4, {"sow": BOUGHT, "until": "2027-04-03"}),
         ("tomato", "2026-11-18", 4, {"sow": BOUGHT, "until": "2027-04-12"})],
    ],
)  # fmt: skip
def test_what_stands_on_the_day_gives_way_when_the_plan_has_it_so(sowings):
    """All of it is handed on, until the plan's day: other plants come into its pots then."""
    follow = sum(number for *_, number, more in sowings if more["until"] < "2027-04-12")
    old, reading, plan = pots(*sowings, ("lettuce-butterhead", "2027-03-13", follow, {}))
    change = date(2027, 4, 1)
    (salad,) = (p for p in plan.plantings if p.crop == "lettuce-butterhead")
    assert salad.occupies_from > date(2027, 4, 5)
    handed, problems = carried(plan, reading.garden, reading.crops, start=change)
    assert problems == [] and handed.left_out == ()
    stands = sorted((s.crop, s.plants, str(s.until)) for s in handed.sowings if s.day < salad.sow)
    assert stands == sorted((crop, n, more["until"]) for crop, _, n, more in sowings)
    assert sum(s.plants for s in handed.sowings if s.crop == salad.crop) == follow
    text, _ = next_text(
        old, reading.garden, reading.crops, handed.sowings, handed.past, start=change
    )
    new = read_garden_text(text, "next.toml")
    assert new.problems == () and cannot_be(new.garden, new.crops) == []


def test_the_diary_is_heeded(season):
    _, _, plan = season
    p = max(standing_leeks(plan), key=lambda p: p.plants - lifted(plan, p.id))
    usual = {(s.crop, s.day, s.place): s.plants for s in hand_on(season).sowings}

    def leeks(*entries):
        return {(s.crop, s.day, s.place): s.plants for s in hand_on(season, *entries).sowings}

    key = ("leek", p.sow, p.place)
    assert leeks(Entry(p.sow, "skipped", p.id)).get(key, 0) < usual[key]
    lost = leeks(Entry(p.planting_out + DAY, "lost", p.id, 2))
    assert usual[key] - lost.get(key, 0) == 2
    late = leeks(Entry(p.sow + 3 * DAY, "sown", p.id))
    assert late[("leek", p.sow + 3 * DAY, p.place)] == usual[key]
    cleared = hand_on(season, Entry(CHANGE - 20 * DAY, "cleared", p.id))
    assert key not in {(s.crop, s.day, s.place) for s in cleared.sowings}


def test_what_is_lost_whole_stood_there_until_then(season):
    _, reading, plan = season
    p = next(p for p in plan.plantings if p.crop == "chard" and p.cleared <= CHANGE)
    others = [q for q in plan.plantings if q.place == p.place and q.crop == "chard" and q != p]
    entries = [Entry(q.sow, "skipped", q.id) for q in others]
    day = (p.planting_out or p.sow) + 10 * DAY
    handed = hand_on(season, *entries, Entry(day, "lost", p.id, p.plants))
    stays = {(s.place, s.family): s.until for s in handed.past}
    assert stays[p.place, "Amaranthaceae"] == day
    none = hand_on(season, *entries, Entry(p.sow, "skipped", p.id))
    assert (p.place, "Amaranthaceae") not in {(s.place, s.family) for s in none.past}


def test_a_diary_or_plan_that_cannot_be_is_told(season):
    _, reading, plan = season
    wrong = Entry(date(2026, 10, 3), "sown", "cress-1", None, 4)
    handed, problems = carried(plan, reading.garden, reading.crops, [wrong], "diary.txt")
    assert handed is None and [(p.file, p.line) for p in problems] == [("diary.txt", 4)]
    other = replace(plan, site=replace(plan.site, start=date(2025, 9, 1)))
    handed, problems = carried(other, reading.garden, reading.crops)
    assert handed is None and "from 2025-09-01" in problems[0].message


@pytest.fixture
def at_hand(season, tmp_path, monkeypatch):
    path, _, plan = season
    (tmp_path / "garden.toml").write_bytes(path.read_bytes())
    (tmp_path / "plan").mkdir()
    assert write_plan(plan, tmp_path / "plan" / MARK) == []
    monkeypatch.chdir(tmp_path)
    return tmp_path, plan


def test_the_command_writes_next_years_file(at_hand):
    folder, plan = at_hand
    p = standing_leeks(plan)[0]
    entry = Entry(p.planting_out + DAY, "lost", p.id, p.plants)
    assert add_to_diary(diary_path("plan", plan.site.start), [(entry, "slugs")]) == []
    done = run("new", "next.toml", "--after", "garden.toml")
    assert done.exit_code == 0, done.output
    told = said(done.stdout)
    # Radish is wanted from November and chard stands: nothing early is missed.
    assert "cannot be had" not in told
    assert "1 September 2027 to 30 September 2028" in told and "days away" in told
    assert "sowplan plan next.toml --out plan-2" in told
    reading = read_garden("next.toml")
    assert reading.problems == ()
    assert (p.sow, p.place) not in {
        (s.day, s.place) for s in reading.garden.sowings if s.crop == "leek"
    } or sum(q.sow == p.sow and q.place == p.place for q in plan.plantings) > 1
    assert run("check", "next.toml").exit_code == 0
    before = (folder / "next.toml").read_bytes()
    again = run("new", "next.toml", "--after", "garden.toml")
    assert again.exit_code == Exit.UNWRITABLE and (folder / "next.toml").read_bytes() == before
    (folder / "other").mkdir()
    assert (
        run(
            "new", "other/next.toml", "--after", "garden.toml", "--plan", "plan/plan.json"
        ).exit_code
        == 0
    )
    assert (folder / "other/next.toml").read_bytes() == before


def test_it_may_take_over_sooner_to_sow_in_time(at_hand):
    """From June on all is the new file's: what is still wanted, and from the first day what is
    wanted from the first day. Each want is there for each of its days, and only once."""
    done = run("new", "next.toml", "--after", "garden.toml", "--start", "2027-06-01")
    assert done.exit_code == 0, done.output
    assert "it takes the place of the plan before" in said(done.stdout)
    reading = read_garden("next.toml")
    assert reading.problems == ()
    season = reading.garden.season
    assert (season.start, season.end) == (date(2027, 6, 1), date(2028, 9, 30))
    days = {
        key: sorted((w.start, w.end) for w in reading.garden.wants if w.crop == key)
        for key in ("leek", "chard", "radish")
    }
    assert days == {
        "leek": [(date(2027, 6, 5), date(2027, 9, 30)), (date(2028, 6, 5), date(2028, 9, 30))],
        "chard": [(date(2027, 6, 1), date(2028, 9, 30))],
        "radish": [(date(2027, 11, 7), date(2028, 3, 20))],
    }
    assert all(s.day < season.start for s in reading.garden.sowings)
    assert run("check", "next.toml").exit_code == 0


@pytest.mark.parametrize("day", ["2026-09-01", "2027-09-02"])
def test_it_takes_over_within_the_season_or_after_it(at_hand, day):
    done = run("new", "next.toml", "--after", "garden.toml", "--start", day)
    assert done.exit_code == Exit.USAGE and not Path("next.toml").exists()
    assert f"after 2026-09-01 and by 2027-09-01: found {day}" in said(done.stderr)


@pytest.mark.parametrize(
    ("words", "code", "told"),
    [
        (("garden.toml", "--after", "garden.toml", "--force"), Exit.UNWRITABLE, "this year's"),
        (("n.toml", "--after", "plan"), Exit.USAGE, "name the garden file after --after"),
        (("n.toml", "--after", "plan/plan.json"), Exit.USAGE, "--plan"),
        (("n.toml", "--after", "gardn.toml"), Exit.UNREADABLE, "mean 'garden.toml'?"),
        (("n.toml", "--after", "garden.toml", "--plan", "p"), Exit.UNREADABLE, "no such folder"),
        (("n.toml", "--after", "garden.toml", "--near", "York"), Exit.USAGE, "--after"),
        (("no/n.toml", "--after", "garden.toml"), Exit.UNWRITABLE, "cannot be written"),
    ],
)
def test_what_is_called_wrongly_writes_nothing(at_hand, words, code, told):
    folder, _ = at_hand
    before = {path: path.read_bytes() for path in folder.rglob("*") if path.is_file()}
    done = run("new", *words)
    assert done.exit_code == code and told in said(done.stderr)
    assert {path: path.read_bytes() for path in folder.rglob("*") if path.is_file()} == before


# --- the example gardens, recounted from plan.json, crops.csv and garden.toml ---------


def test_every_example_goes_on(example_folder, tmp_path, monkeypatch):
    """Its own remarks stay in their order, dates move by a year, every stay is told, it plans."""
    name = example_folder.name.removeprefix("plan-")
    old = ROOT / "examples" / name / "garden.toml"
    new = tmp_path / "next.toml"
    done = run("new", new, "--after", old, "--plan", example_folder)
    assert done.exit_code == 0, done.output
    before, after = (path.read_text(encoding="utf-8") for path in (old, new))
    lines = iter(after.split("\n"))
    assert all(line in lines for line in before.split("\n") if line.startswith("#"))
    was, now = tomllib.loads(before), tomllib.loads(after)
    for table in ("site", "climate", "bed", "channel", "pot", "tray"):
        assert was.get(table) == now.get(table)
    for one, two in zip(was["want"], now["want"], strict=False):
        assert {k: v for k, v in one.items() if k not in ("from", "to")} == {
            k: v for k, v in two.items() if k not in ("from", "to")
        }
        for key in {"from", "to"} & one.keys():
            assert two[key] == one[key].replace(year=one[key].year + 1)
    start = was["season"]["start"].replace(year=was["season"]["start"].year + 1)
    assert now["season"]["start"] == start
    _stays_are_told(json.loads((example_folder / MARK).read_text("utf-8")), now, start)
    checked = run("check", new)
    assert checked.exit_code == 0 and "Is this meant?" not in checked.stdout
    reading = read_garden(new)
    monkeypatch.setattr(planner, "gains_of", lambda *_: ())  # it is asked only whether it plans
    made, problems = make_plan(reading.garden, reading.crops, effort=0.02)
    assert problems == [] and made.plantings


def _stays_are_told(plan: dict, now: dict, start: date) -> None:
    with (ROOT / "crops/crops.csv").open(encoding="utf-8", newline="") as file:
        crops = {row["key"]: row for row in csv.DictReader(file)}
    beds = {place["name"] for place in plan["places"] if place["kind"] == "bed"}
    names = {bed["name"]: bed.get("count", 1) for bed in now["bed"]}
    told: dict[tuple[str, str], date] = {}
    for past in now.get("past", []):
        for place in past["place"] if isinstance(past["place"], list) else [past["place"]]:
            assert place in beds or place in names
            told[place, past["family"]] = past["until"]
    standing = {(s["place"], s["crop"], s["date"]) for s in now.get("sowing", [])}
    for p in plan["plantings"]:
        crop, cleared = crops[p["crop"]], date.fromisoformat(p["cleared"])
        key = (p["place"], p["crop"], date.fromisoformat(p["sow"]))
        if p["place"] not in beds or float(crop["rotation_gap_months"]) == 0 or key in standing:
            continue
        rests = timedelta(days=30 * float(crop["rotation_gap_months"]))
        if cleared + rests > start:
            until = told[p["place"], crop["family"]]
            assert min(cleared, start) - DAY <= until < start, p["id"]


@pytest.mark.parametrize("south", [True, False])
def test_new_after_says_what_its_first_day_leaves_out(tmp_path, monkeypatch, south):
    """Radish wanted all year: none can be sown before the first day, unless it begins sooner.

    With the day it names it says so no more, and `check` has no question of either file.
    """
    place, start, end = PLACE, "2026-09-01", "2027-08-31"
    if not south:  # the same weather half a year later
        months = {
            key: values[6:] + values[:6] for key, values in tomllib.loads(PLACE)["climate"].items()
        }
        lines = "".join(f"{key} = {values}\n" for key, values in months.items())
        place = '[site]\nname = "N"\nlatitude = 41.3\nlongitude = 0\ntimezone = "Europe/Madrid"\n'
        place += f"[climate]\n{lines}"
        start, end = "2026-04-01", "2027-03-31"
    text = f"{place}[season]\nstart = {start}\nend = {end}\n" + bed("B", "2 m") + want("radish")
    monkeypatch.chdir(tmp_path)
    reading = read(text, tmp_path)
    made, problems = make_plan(reading.garden, reading.crops, effort=0.05)
    assert problems == []
    Path("plan").mkdir()
    assert write_plan(made, Path("plan") / MARK) == []
    told = said(run("new", "next.toml", "--after", "garden.toml").stdout)
    found = re.search(
        r"cannot be had where nothing is sown before: Radish .* With --start (\S+)", told
    )
    assert found and found[1] < str(reading.garden.season.end)
    again = said(run("new", "sooner.toml", "--after", "garden.toml", "--start", found[1]).stdout)
    assert "cannot be had" not in again
    for name in ("next.toml", "sooner.toml"):
        checked = run("check", name)
        assert checked.exit_code == 0 and "Is this meant?" not in checked.stdout
