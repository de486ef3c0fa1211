"""Catch crops: where they stand between a slow crop, when they go in and are out."""

import json
from datetime import date
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.spatial import cKDTree
from typer.testing import CliRunner

from sowplan.bed.canopy import cover, progress_until, spread_m, spread_on
from sowplan.bed.catch import between
from sowplan.bed.fit import fit
from sowplan.bed.intercrop import intercrop, is_quick, usual_stay
from sowplan.cli import app
from sowplan.problem import Exit
from sowplan.records.crop_table import read_crops

CROPS, _ = read_crops()
COURTYARD = str(Path(__file__).parents[2] / "examples" / "courtyard" / "garden.toml")
shares = st.floats(0.0, 1.0)


@settings(max_examples=60, deadline=None)
@given(
    st.floats(1.0, 4.0),
    st.floats(0.6, 1.5),
    st.sampled_from([(0.35, 0.35), (0.45, 0.45), (0.4, 0.6)]),
    st.sampled_from([(0.05, 0.15), (0.1, 0.1), (0.15, 0.2)]),
    st.floats(0.05, 0.5),
)
def test_both_keep_the_half_sum_and_the_bed(length, width, slow, quick, reach):
    layout = fit(length, width, *slow)
    points = between(length, width, layout.positions, reach, *quick, along=layout.along)
    if len(points) == 0:
        return
    clear = (reach + max(quick)) / 2
    assert cKDTree(layout.positions).query(points)[0].min() >= clear - 1e-8
    if len(points) > 1:
        assert cKDTree(points).query(points, k=2)[0][:, 1].min() >= min(quick) * (1 - 1e-8)
    assert points.min() >= min(quick) / 2 - 1e-9
    assert (points.max(axis=0) <= np.array([length, width]) - min(quick) / 2 + 1e-9).all()


@settings(max_examples=30, deadline=None)
@given(st.floats(1.0, 3.0), st.floats(0.05, 0.4), st.floats(0.01, 0.1))
def test_a_wider_slow_crop_leaves_no_more_room(length, reach, more):
    layout = fit(length, 1.2, 0.4, 0.6)
    counts = [
        len(between(length, 1.2, layout.positions, r, 0.05, 0.15, along=layout.along))
        for r in (reach, reach + more)
    ]
    assert counts[0] >= counts[1]


def test_rows_run_in_the_gaps_by_hand():
    # Two rows 60 cm apart, 30 cm from the sides. 20 cm wide they leave 60 - 20 - 10 = 30 cm
    # between them for rows 10 cm apart: the middles of four.
    layout = fit(3.0, 1.2, 0.5, 0.6)
    points = between(3.0, 1.2, layout.positions, 0.2, 0.05, 0.1, along=layout.along)
    rows = np.unique(np.round(points[:, 1], 4))
    inner = rows[(rows > 0.3) & (rows < 0.9)]
    assert inner == pytest.approx([0.45, 0.55, 0.65, 0.75])
    assert ((rows <= 0.15 + 1e-9) | (rows >= 1.05 - 1e-9) | np.isin(rows, inner)).all()


def test_mirrored_slow_crops_leave_as_much_room():
    main = fit(2.4, 1.2, 0.45).positions
    mirrored = np.array([2.4, 1.2]) - main
    one, other = (len(between(2.4, 1.2, m, 0.2, 0.12)) for m in (main, mirrored))
    assert one == other > 0


def test_nothing_between_nothing():
    assert len(between(2.0, 1.0, np.empty((0, 2)), 0.2, 0.1)) == 0


@given(shares, shares, st.sampled_from(["once", "cut", "pick"]))
def test_cover_only_grows_and_can_be_turned_about(one, other, harvest):
    low, high = sorted((one, other))
    assert 0.0 <= cover(low, harvest) <= cover(high, harvest) <= 1.0
    reached = spread_m(1.0, low, harvest)
    assert spread_m(1.0, progress_until(reached, harvest), harvest) == pytest.approx(reached)


def test_spread_by_date():
    dates = (date(2026, 10, 8), date(2026, 10, 1), date(2026, 12, 30))
    emergence, out, ripe = dates
    days = [date(2026, 9, 30), out, date(2026, 11, 15), ripe, date(2027, 2, 1)]
    wide = [spread_on(day, 0.4, emergence, out, ripe, "once") for day in days]
    assert wide[0] == 0.0 and 0.0 < wide[1] < wide[2] < wide[3] == wide[4] == 0.4
    assert spread_on(date(2026, 10, 7), 0.4, emergence, None, ripe, "once") == 0.0


@pytest.mark.parametrize("slow", ["cabbage-winter", "brussels-sprouts", "tomato", "leek", "carrot"])
def test_a_catch_crop_is_out_before_the_slow_crop_reaches_it(slow):
    main = CROPS[slow]
    layout = fit(3.0, 1.2, main.spacing_cm / 100, main.row_spacing_cm / 100)
    stay = usual_stay(main, main.start == "raised")
    some = False
    for quick in ("radish", "rocket", "lettuce-little-romaine", "spinach"):
        catch = CROPS[quick]
        found = intercrop(main, catch, stay, usual_stay(catch, catch.start == "raised"), layout)
        if found.plants:
            some = True
            assert found.met_days is None or found.met_days >= found.catch_stay.out_days - 1e-6
            assert found.reach_m <= main.spread_cm / 100
    assert some


def test_what_is_no_catch_crop():
    assert is_quick(CROPS["radish"]) and is_quick(CROPS["lettuce-butterhead"])
    assert not is_quick(CROPS["tomato"]) and not is_quick(CROPS["pea"])


def ask(*words, code=0):
    result = CliRunner().invoke(app, ["fit", *words, "--json"])
    assert result.exit_code == code, result.output
    return json.loads(result.stdout)


def test_asked_by_size_in_one_line(tmp_path):
    picture = tmp_path / "bed.svg"
    words = ("summer cabbage", "3 m x 1.2 m", "--between", "radish", "--picture", str(picture))
    found = ask(*words)
    (catch,) = found["between"]
    assert catch["crop"] == "radish" and catch["plants"] == len(catch["positions"]) > 50
    assert catch["ready_days"] < catch["out_days"] <= catch["met_days"]
    assert picture.read_text(encoding="utf-8").count("<use") == found["plants"] + catch["plants"]
    told = CliRunner().invoke(app, ["fit", *words[:4]]).stdout
    assert f"Between them: {catch['plants']} plants of radish" in told
    assert "Setting out the radish" in told


def test_a_catch_crop_keeps_clear_of_what_stands_in_the_bed():
    words = ("brussels-sprouts", "3 m x 1.2 m", "--between", "radish")
    free = ask(*words)["between"][0]
    post = ask(*words, "--keep-out", "30 cm round at 1.5 m, 60 cm")["between"][0]
    points = np.array(post["positions"])
    assert 0 < post["plants"] and post["plants"] != free["plants"]
    assert np.hypot(*(points - [1.5, 0.6]).T).min() >= 0.15 + 0.02 - 1e-6
    cut = np.array(ask(*words, "--cut", "1.5 m x 60 cm")["between"][0]["positions"])
    assert not ((cut[:, 0] > 1.5) & (cut[:, 1] > 0.6)).any()


def test_asked_by_garden_place_and_day():
    found = ask("kale", "-g", COURTYARD, "--place", "Kitchen bed", "--between", "radish",
                "--on", "2026-10-10")  # fmt: skip
    (catch,) = found["between"]
    days = [date.fromisoformat(catch[key]) for key in ("main_in", "in", "fit", "out_by")]
    assert days[0] >= date(2026, 10, 10) and days == sorted(days)
    assert days[3] < date.fromisoformat(catch["main_harvest"])


def test_any_lists_those_wanted_first():
    words = ("kale", "-g", COURTYARD, "--place", "Kitchen bed", "--between", "any")
    found = ask(*words)["between"]
    assert len(found) > 3 and all(one["plants"] > 0 for one in found)
    told = CliRunner().invoke(app, ["fit", *words]).stdout
    table = told[told.index("Between them") : told.index("* wanted")].splitlines()[1:]
    stars = [line.startswith("*") for line in table]
    assert stars == sorted(stars, reverse=True) and stars[0]


@pytest.mark.parametrize(
    "more, part, code",
    [
        (["--between", "tomato"], "no catch crop", Exit.IMPOSSIBLE),
        (["--between", "leek"], "it takes", Exit.IMPOSSIBLE),
        (["--between", "radsh"], "--between", Exit.WRONG),
        (["--between", "radish", "--on", "2026-10-10"], "--on", Exit.USAGE),
        (["--between", "radish", "--squares"], "--between", Exit.USAGE),
        (["--bed", "2 m x 1 m"], "twice", Exit.USAGE),
    ],
)
def test_what_cannot_be_asked_or_had(more, part, code):
    result = CliRunner().invoke(app, ["fit", "cabbage-summer", "3 m x 1.2 m", *more])
    assert result.exit_code == code and part in result.output


def test_a_channel_has_no_rows_to_stand_between():
    words = ["fit", "kale", "-g", COURTYARD, "--place", "Fence channel", "--between", "radish"]
    result = CliRunner().invoke(app, words)
    assert result.exit_code == Exit.USAGE and "--between" in result.stderr


def test_a_day_on_which_nothing_can_go_in():
    result = CliRunner().invoke(
        app,
        ["fit", "tomato", "-g", COURTYARD, "--place", "Kitchen bed", "--between", "radish",
         "--on", "2027-06-20"],
    )  # fmt: skip
    assert result.exit_code == Exit.IMPOSSIBLE and "cannot go in then" in result.stdout
