"""From a garden to a plan: what is settled, what is said, what stays the same."""

from dataclasses import replace
from datetime import date, timedelta

import pytest

from gardens import garden_of
from sowplan.problem import Exit
from sowplan.records.crop_table import read_crops
from sowplan.records.garden import (
    Bed,
    Channel,
    FixedSowing,
    Past,
    Pot,
    Season,
    Tray,
    Want,
    Where,
)
from sowplan.season.archive import from_json, to_json
from sowplan.season.choices.candidates import book_of
from sowplan.season.planner import make_plan
from sowplan.season.watch import SEARCH, Watch

CROPS, _ = read_crops()


def at(table, line=1):
    return Where("garden.toml", table, line)


def garden(**changes):
    """Return a small invented garden at 41° S, September to April."""
    whole = garden_of(
        season=Season(date(2026, 9, 1), date(2027, 4, 30), (5,)),
        beds=(
            Bed("Near", 2.0, 0.9, 0.4, at("[[bed]] 1 (Near)", 10)),
            Bed("Far", 1.6, 0.9, 0.4, at("[[bed]] 2 (Far)", 20)),
        ),
        channels=(Channel("Rail", 12, 0.2, at("[[channel]] 1 (Rail)")),),
        pots=(Pot("Pots", 3, 15.0, at("[[pot]] 1 (Pots)")),),
        trays=(Tray("Shelf", 48, at("[[tray]] 1 (Shelf)"), 18.0, 14.0, 180.0),),
        wants=(
            Want(
                "lettuce-butterhead", 2, "head", 7, date(2026, 12, 15), date(2027, 3, 29),
                at("[[want]] 1"),
            ),
            Want("radish", 1, "bunch", 7, date(2026, 11, 3), date(2026, 12, 28), at("[[want]] 2")),
        ),
    )  # fmt: skip
    return replace(whole, **changes)


@pytest.fixture(scope="module")
def plan():
    made, problems = make_plan(garden(), CROPS, effort=0.3)
    assert problems == []
    return made


def test_a_loose_garden_lacks_nothing_and_is_proven(plan):
    assert plan.quality.missing == 0 and plan.quality.proven
    assert all(want.met == want.wanted and not want.why for want in plan.wants)


def test_numbers_of_quality_come_out_of_the_plan(plan):
    # A period weighs its days in weeks: here each is a week.
    assert plan.quality.wanted == pytest.approx(len(plan.wants))
    lack = sum(1 - want.met / want.wanted for want in plan.wants)
    assert plan.quality.missing == pytest.approx(lack, abs=1e-6)
    sown = {(p.crop, p.sow, p.planting_out is None) for p in plan.plantings}
    assert plan.quality.sowings == len(sown)


def test_a_family_that_follows_itself_in_a_bed_is_named(plan):
    rested = {crop.key: crop.family for crop in plan.crops if CROPS[crop.key].rotation_gap_months}
    in_beds = [p for p in plan.plantings if p.kind == "bed" and p.crop in rested]
    again = {
        rested[one.crop]
        for one in in_beds
        for two in in_beds
        if one.place == two.place
        and rested[one.crop] == rested[two.crop]
        and one.cleared <= (two.planting_out or two.sow)
    }
    told = [note for note in plan.notes if "count as one turn" in note]
    assert len(told) == bool(again)
    assert all(family in "".join(told) for family in again)


def test_long_beds_are_not_sown_in_crumbs():
    """A twentieth of a bed at least, or as many as a week needs (common practice, no source)."""
    long = tuple(Bed(f"Long {n}", 24.0, 0.75, 0.3, at(f"[[bed]] {n}")) for n in (1, 2))
    asked = (
        replace(garden().wants[0], amount=30),
        replace(garden().wants[1], amount=2),
    )
    trays = (Tray("Bench", 600, at("[[tray]] 1"), 18.0, 14.0, 180.0),)
    made, _ = make_plan(
        garden(beds=long, wants=asked, trays=trays, channels=(), pots=()), CROPS, effort=0.1
    )
    strips = [p for p in made.plantings if p.crop == "lettuce-butterhead"]
    assert len(strips) > 3
    # Rows 25 cm apart and three to a row: a twentieth of the bed holds 15, fewer than a week's 30.
    assert min(p.plants for p in strips) >= 12
    assert all(p.strip_length_m >= 1.2 - 0.25 for p in strips)
    # Two bunches of radish are far less than that, and still grown.
    assert min(p.strip_length_m for p in made.plantings if p.crop == "radish") < 1.2


def test_ids_name_crop_and_number(plan):
    for key in {p.crop for p in plan.plantings}:
        mine = [p for p in plan.plantings if p.crop == key]
        assert [p.id for p in mine] == [f"{key}-{n}" for n in range(1, len(mine) + 1)]
        assert [p.sow for p in mine] == sorted(p.sow for p in mine)


def test_same_garden_same_bytes_and_reads_back(plan):
    again, _ = make_plan(garden(), CROPS, effort=0.3)
    assert to_json(again) == to_json(plan)
    assert from_json(to_json(plan)) == plan


def test_identity_is_of_the_garden_not_of_its_wants(plan):
    other, _ = make_plan(garden(wants=garden().wants[:1]), CROPS, effort=0.1)
    assert other.site.plan_id == plan.site.plan_id
    moved = replace(garden().site, latitude=-42.0)
    far, _ = make_plan(garden(site=moved, wants=garden().wants[:1]), CROPS, effort=0.1)
    assert far.site.plan_id != plan.site.plan_id


def test_nothing_wanted_is_an_empty_plan():
    made, problems = make_plan(garden(wants=()), CROPS)
    assert problems == [] and made.plantings == () and made.quality.wanted == 0


def sowing(crop, day, plants, place=None, line=40):
    return FixedSowing(crop, day, plants, at("[[sowing]] 1", line), place)


@pytest.mark.parametrize(
    ("fixed", "key", "words"),
    [
        (sowing("tomato", date(2027, 4, 20), 2, "Near"), "date", "tomato"),
        (sowing("cabbage-summer", date(2026, 9, 5), 60, "Far"), "number", "it holds"),
        (sowing("carrot", date(2026, 10, 3), 5, "Rail"), "place", "does not suit"),
        (sowing("lettuce-butterhead", date(2026, 10, 3), 90), "number", "holds"),
    ],
)
def test_what_is_settled_but_cannot_be_is_a_problem_with_its_place(fixed, key, words):
    made, (problem,) = make_plan(garden(sowings=(fixed,)), CROPS)
    assert made is None
    assert problem.exit is Exit.IMPOSSIBLE
    assert (problem.file, problem.line) == ("garden.toml", 40)
    assert problem.where == f"[[sowing]] 1, {key}"
    assert words in problem.message.casefold()


def test_all_impossible_sowings_are_told_at_once():
    both = (
        sowing("lettuce-butterhead", date(2026, 10, 3), 18, "Far", 40),
        sowing("lettuce-romaine", date(2026, 10, 3), 12, "Far", 50),
        sowing("tomato", date(2027, 4, 20), 1, "Near", 60),
    )
    made, problems = make_plan(garden(sowings=both), CROPS)
    assert made is None and {p.line for p in problems} >= {50, 60}
    full = next(p for p in problems if p.line == 50)
    assert "Far has no room" in full.message and "Butterhead lettuce" in full.message


def test_what_cannot_be_is_told_before_anything_is_solved(monkeypatch):
    """A tender crop in frost, and a bed too full: both at once, each with its line."""
    both = (
        sowing("lettuce-butterhead", date(2026, 10, 3), 18, "Far", 40),
        sowing("lettuce-romaine", date(2026, 10, 3), 12, "Far", 50),
        sowing("climbing-bean", date(2026, 9, 5), 3, "Near", 60),
    )
    monkeypatch.setattr("sowplan.season.planner.relax", lambda instance: 1 / 0)
    made, problems = make_plan(garden(sowings=both), CROPS)
    assert made is None
    told = {problem.line: problem.message for problem in problems}
    assert told.keys() == {50, 60}
    assert "no room" in told[50] and ("frost" in told[60] or "cold" in told[60])


def test_settled_sowings_are_kept_and_serve_the_wants():
    fixed = sowing("lettuce-butterhead", date(2026, 10, 7), 5, "Near")  # a Wednesday
    made, problems = make_plan(garden(sowings=(fixed,)), CROPS, effort=0.1)
    assert problems == []
    (kept,) = [p for p in made.plantings if p.fixed]
    assert (kept.sow, kept.plants, kept.place) == (date(2026, 10, 7), 5, "Near")
    sown = {(p.crop, p.sow, p.planting_out is None) for p in made.plantings}
    assert made.quality.sowings == len(sown) - 1


@pytest.mark.parametrize("tunnel_first", [False, True])
@pytest.mark.parametrize("later", [False, True])
def test_a_settled_sowing_without_a_place_comes_where_it_is_in_time(tunnel_first, later):
    """Radish is fit sooner under a tunnel. Wanted for the days before it is fit in the open it
    stands there; wanted when that of the tunnel is eaten up, in the open; whichever comes first."""
    open_ = Bed("Open", 2.0, 0.9, 0.4, at("[[bed]] 1"))
    tunnel = replace(open_, name="Under", cover="tunnel")
    beds = (tunnel, open_) if tunnel_first else (open_, tunnel)
    day = date(2026, 9, 5)
    fit = {}
    for bed in beds:
        fixed = sowing("radish", day, 40, bed.name)
        made, _ = make_plan(garden(sowings=(fixed,), beds=beds, wants=()), CROPS, effort=0.1)
        (one,) = made.plantings
        fit[bed.name] = (
            one.lots[0].ready,
            one.lots[-1].last + timedelta(days=CROPS["radish"].keeps_days),
        )
    assert fit["Under"][0] < fit["Open"][0] and fit["Under"][1] < fit["Open"][1]
    first = fit["Under"][1] + timedelta(days=1) if later else fit["Under"][0]
    last = fit["Open"][1] if later else fit["Open"][0] - timedelta(days=1)
    want = Want("radish", 3, "bunch", (last - first).days + 1, first, last, at("[[want]] 1"))
    fixed = sowing("radish", day, 40)
    made, problems = make_plan(garden(sowings=(fixed,), beds=beds, wants=(want,)), CROPS)
    assert problems == []
    (kept,) = [p for p in made.plantings if p.fixed]
    assert kept.place == ("Open" if later else "Under")
    assert made.wants[0].met == 3


def test_a_bed_rests_from_a_family_until_its_gap_is_over():
    past = (Past("Near", "Brassicaceae", date(2026, 8, 20), at("[[past]] 1")),)
    wants = (Want("pak-choi", 2, "head", 7, date(2026, 12, 1), date(2027, 3, 1), at("[[want]] 1")),)
    made, _ = make_plan(garden(past=past, wants=wants, channels=(), pots=()), CROPS, effort=0.1)
    gap = timedelta(days=CROPS["pak-choi"].rotation_gap_months * 30.44)
    assert made.plantings
    for p in made.plantings:
        assert p.place == "Far" or p.planting_out > date(2026, 8, 20) + gap


@pytest.mark.parametrize(
    ("second", "told"),
    [
        # Brassicas rest two years and more (common practice, no source), a turn lasts one.
        (date(2027, 9, 4), False),  # within a year of the first: its turn still
        (date(2027, 12, 4), True),  # its turn is over, and the rest has hardly begun
    ],
)
def test_two_sowings_of_ones_own_that_break_the_rotation_are_told(second, told):
    season = Season(date(2026, 9, 1), date(2028, 4, 30), (5,))
    both = [sowing("turnip", day, 8, "Near") for day in (date(2026, 10, 3), second)]
    made, problems = make_plan(garden(season=season, wants=(), sowings=tuple(both)), CROPS)
    assert not problems
    notes = [note for note in made.notes if "follows its own family" in note]
    assert notes == told * [
        "Turnip follows its own family (Brassicaceae) in Near sooner than "
        f"{CROPS['turnip'].rotation_gap_months:g} months, as the garden file has it."
    ]


def test_too_early_a_want_is_told_its_first_possible_day():
    want = Want("tomato", 1, "kg", 7, date(2026, 9, 5), date(2026, 9, 18), at("[[want]] 1"))
    made, _ = make_plan(garden(wants=(want,)), CROPS, effort=0.1)
    assert made.quality.proven and made.quality.missing_share == 1
    for period in made.wants:
        assert period.why.startswith("too early: nothing sown this season is ready before ")


def test_too_small_a_bed_is_named_as_what_is_short():
    tiny = (Bed("Sill", 0.5, 0.3, 0.2, at("[[bed]] 1 (Sill)")),)
    want = Want(
        "lettuce-butterhead", 8, "head", 7, date(2026, 12, 22), date(2027, 2, 8), at("[[want]] 1")
    )
    bare = garden(beds=tiny, channels=(), pots=(), wants=(want,))
    made, _ = make_plan(bare, CROPS, effort=0.2)
    lacking = [period for period in made.wants if period.met < period.wanted]
    assert lacking and all("no room: " in p.why and "Sill" in p.why for p in lacking)
    roomy = replace(bare, beds=(replace(tiny[0], length_m=9.0, width_m=1.2),))
    better, _ = make_plan(roomy, CROPS, effort=0.2)
    assert better.quality.missing < 0.1 * made.quality.missing


def test_too_few_cells_are_named_as_what_is_short():
    few = (replace(garden().trays[0], cells=2),)
    want = Want(
        "lettuce-butterhead", 4, "head", 7, date(2026, 12, 22), date(2027, 3, 1), at("[[want]] 1")
    )
    made, _ = make_plan(garden(trays=few, wants=(want,)), CROPS, effort=0.2)
    lacking = [period for period in made.wants if period.met < period.wanted]
    assert lacking and all("too few tray cells: " in period.why for period in lacking)


def test_late_year_asks_for_earlier_sowing():
    want = Want(
        "lettuce-butterhead", 6, "head", 7, date(2027, 1, 5), date(2027, 1, 11), at("[[want]] 1")
    )
    likely, _ = make_plan(garden(wants=(want,)), CROPS, effort=0.1)
    late, _ = make_plan(garden(wants=(want,)), CROPS, effort=0.1, safety=0.9)
    assert late.quality.missing == 0
    for p in late.plantings:
        assert p.harvest_start_late <= date(2027, 1, 11)
    # What is chosen is any day that will do; the last that will comes no later, and harvests do.
    sure, safe = (
        book_of(garden(wants=(want,)), CROPS, safety).instance.crops[0].options
        for safety in (0.5, 0.9)
    )
    assert max(safe.sow) <= max(sure.sow)
    ready = [{int(o.course[n]): o.lots[n][0][0] for n in range(len(o))} for o in (sure, safe)]
    both = ready[0].keys() & ready[1].keys()
    assert both and all(ready[1][course] > ready[0][course] for course in both)


def test_stopped_early_keeps_what_there_is():
    calls = []

    def stop(told):
        calls.append(told)
        if told.doing == SEARCH and told.of:
            raise KeyboardInterrupt

    made, problems = make_plan(garden(), CROPS, watch=Watch(stop))
    assert problems == [] and sum(told.of > 0 for told in calls) == 1
    assert made.plantings and "stopped" in made.quality.method


def test_rule_of_thumb_is_a_plan_as_well():
    made, _ = make_plan(garden(), CROPS, fixed_interval=True)
    best, _ = make_plan(garden(), CROPS, effort=0.3)
    assert made.plantings and "rule of thumb" in made.quality.method
    assert best.quality.missing <= made.quality.missing + 1e-9
    assert made.quality.missing_share_bound <= made.quality.missing_share


def test_pots_and_holes_are_slots_in_range():
    wants = (
        Want("basil", 1, "bunch", 14, date(2027, 1, 5), date(2027, 3, 1), at("[[want]] 1")),
        Want("pak-choi", 2, "head", 7, date(2026, 12, 1), date(2027, 1, 10), at("[[want]] 2")),
    )
    made, _ = make_plan(garden(beds=(), wants=wants), CROPS, effort=0.2)
    assert {p.kind for p in made.plantings} <= {"channel", "pot"} and made.plantings
    most = {"Rail": 12, "Pots": 3}
    for p in made.plantings:
        assert p.slots and min(p.slots) >= 1 and max(p.slots) <= most[p.place]
        assert len(set(p.slots)) == len(p.slots)


@pytest.mark.parametrize(
    "bare",
    [
        {"beds": (), "channels": (), "pots": (), "trays": ()},
        {"beds": (), "channels": (), "pots": ()},
        {"trays": (), "channels": ()},
    ],
)
def test_a_garden_without_places_or_trays_says_so(bare):
    made, problems = make_plan(garden(**bare), CROPS, effort=0.1)
    assert problems == []
    lacking = [period for period in made.wants if period.met < period.wanted]
    assert lacking and all(period.why for period in lacking)
    if "beds" not in bare:
        assert all("tray" in p.why for p in lacking if p.crop == "lettuce-butterhead")


def test_two_wants_of_one_crop_over_the_same_days_share_its_harvests():
    wants = tuple(
        Want("radish", amount, "bunch", days, date(2026, 12, 1), date(2026, 12, 28),
             at(f"[[want]] {n}"), priority)
        for n, (amount, days, priority) in enumerate([(1, 7, 1.0), (2, 14, 3.0)], 1)
    )  # fmt: skip
    made, _ = make_plan(garden(wants=wants), CROPS, effort=0.3)
    grown = sum(lot.amount for p in made.plantings for lot in p.lots)
    handed = sum(amount for want in made.wants for _, amount in want.served_by)
    assert made.quality.missing == 0
    assert handed == pytest.approx(4 * 1 + 2 * 2) and grown >= handed - 1e-6
    assert made.quality.wanted == pytest.approx(4 + 2 * 2 * 3)
