"""``sowplan fit`` as it is called."""

import json
import re
import xml.etree.ElementTree as ET
from pathlib import Path

import numpy as np
import pytest
from scipy.spatial import cKDTree
from typer.testing import CliRunner

from gardens import YEAR
from sowplan.cli import app
from sowplan.problem import Exit

COURTYARD = str(Path(__file__).parents[2] / "examples" / "courtyard" / "garden.toml")


def run(*words, code=0):
    result = CliRunner().invoke(app, ["fit", *words])
    assert result.exit_code == code, result.output
    return result


def ask(*words, code=0):
    return json.loads(run(*words, "--json", code=code).stdout)


def test_json_holds_the_count_and_every_place():
    found = ask("lettuce-butterhead", "--bed", "2.4 m x 1.2 m", "--spacing", "25 cm")
    # 9 to a row, five offset rows of equal number: counted by hand.
    assert found["plants"] == 45 == len(found["positions"])
    assert found["pattern"] == "offset along length"
    assert found["bound"] >= 45
    points = np.array(found["positions"])
    assert cKDTree(points).query(points, k=2)[0][:, 1].min() >= 0.25 - 1e-9
    assert sum(len(row["marks"]) for row in found["rows"]) == 45


def test_what_the_gardener_asked_spacings_to_show():
    found = ask("lettuce-butterhead", "--bed", "2.4 m x 1.2 m", "--spacing", "30 cm", "--compare")
    by_spacing = {round(c["spacing_m"], 3): c for c in found["comparison"]}
    assert by_spacing[0.3]["plants"] == 32 == found["plants"]  # 8 × 4
    assert by_spacing[0.3]["area_each_m2"] == pytest.approx(0.09)
    assert by_spacing[0.25]["plants"] == 45
    assert by_spacing[0.25]["area_each_m2"] == pytest.approx(0.064)


def test_room_for_each_leaves_out_what_is_cut_off_and_what_stands_in_the_way():
    """An L of 1.2 by 1 m less 0.6 by 0.5 m is 0.9 m², in the head line and the table alike."""
    bed = ["lettuce-butterhead", "1.2 m x 1 m", "--cut", "60 cm x 50 cm", "--compare"]
    found = ask(*bed)
    own = next(c for c in found["comparison"] if c["spacing_m"] == pytest.approx(0.25))
    assert own["area_each_m2"] == pytest.approx(0.9 / found["plants"], rel=1e-6)
    each = re.findall(r"(\S+ m²) each", run(*bed).stdout)
    assert each[0] == each[3]  # the head line's, and that of the third of five spacings
    stone = ask(
        "lettuce-butterhead",
        "1.2 m x 1 m",
        "--keep-out",
        "30 cm x 40 cm at 0 cm, 0 cm",
        "--compare",
    )
    third = stone["comparison"][2]
    assert third["area_each_m2"] == pytest.approx((1.2 - 0.12) / stone["plants"], rel=1e-6)


def test_the_sides_may_be_written_with_or_without_quotation_marks():
    quoted = run("lettuce-butterhead", "2.4 m x 1.2 m").stdout
    assert "2.4 m × 1.2 m" in quoted
    assert run("lettuce-butterhead", "2.4m", "by", "1.2m").stdout == quoted


def test_the_answer_comes_first_in_a_sentence():
    first = run("lettuce-butterhead", "--bed", "2.4 m x 1.2 m").stdout.splitlines()[0]
    assert first == "45 plants of butterhead lettuce fit into 2.4 m × 1.2 m, 25 cm apart."


def test_imperial_in_imperial_out():
    told = run("lettuce-butterhead", "--bed", "8 ft x 4 ft", "--spacing", "12 in").stdout
    assert "8 ft × 4 ft" in told and "sq ft" in told
    assert "6, 18, 30, 42 in" in told and " cm" not in told


def test_rows_across_stand_half_a_row_spacing_off_the_ends():
    found = ask("carrot", "--bed", "2 m x 1 m", "--spacing", "5 cm", "--row-spacing", "25 cm")
    # Four rows of forty along the bed, or eight of twenty across it: 160 either way.
    assert found["plants"] == 160 and found["pattern"] == "rows"
    assert not found["rows_along_length"]  # at a tie, in a short bed
    assert [found["rows"][n]["at"] for n in (0, -1)] == [0.125, 1.875]


def test_rows_along_stand_half_a_spacing_off_the_sides_at_least():
    found = ask("carrot", "--bed", "6 m x 80 cm", "--spacing", "5 cm", "--row-spacing", "25 cm")
    # (80 - 5) / 25 = 3: four rows over 75 cm, 2.5 cm from either side; 120 in each.
    assert found["rows_along_length"] and found["plants"] == 4 * 120
    assert [row["at"] for row in found["rows"]] == [0.025, 0.275, 0.525, 0.775]


@pytest.mark.parametrize(
    "more",
    [
        ["--keep-out", "20 cm round at 15 cm, 15 cm"],
        ["--keep-out", "30 cm x 30 cm at 1.05 m, 45 cm", "--keep-out", "5 cm round at 2 m, 1 m"],
        ["--cut", "1.2 m x 60 cm"],
        ["--rounded", "ends"],
        ["--rounded", "20 cm", "--edge", "5 cm"],
    ],
)
def test_the_box_as_built(more):
    whole = ask("lettuce-butterhead", "--bed", "2.4 m x 1.2 m", "--edge", "5 cm")
    found = ask("lettuce-butterhead", "--bed", "2.4 m x 1.2 m", *more)
    assert 0 < found["plants"] <= whole["plants"]
    assert found["plants"] <= found["bound"]


def test_leaning_out_holds_more():
    inside = ask("lettuce-butterhead", "--bed", "1.2 m x 60 cm")
    leaning = ask("lettuce-butterhead", "--bed", "1.2 m x 60 cm", "--edge", "0")
    assert leaning["plants"] > inside["plants"]
    assert leaning["edge_m"] == 0.0


def test_a_tub():
    found = ask("basil", "--bed", "60 cm round", "--spacing", "20 cm")
    points = np.array(found["positions"])
    assert found["plants"] == 7  # six round one: three spacings across
    assert np.hypot(*(points - 0.3).T).max() <= 0.2 + 1e-9


def test_none_has_a_reason_and_its_own_exit_code():
    result = run("kale", "--bed", "2 m x 20 cm", "--spacing", "40 cm", code=Exit.IMPOSSIBLE)
    assert "No plant of kale" in result.stdout
    assert "20 cm at its narrowest" in " ".join(result.stdout.split())
    found = ask("kale", "--bed", "2 m x 1 m", "--keep-out", "2 m x 1 m at 0, 0", code=5)
    assert found["plants"] == 0 and found["positions"] == [] and found["reason"]


def test_everything_wrong_is_said_at_once():
    result = run(
        *("butterhed", "--bed", "2.4 x", "--spacing", "25", "--edge", "-3 cm"),
        *("--keep-out", "somewhere", "--picture", "bed.bmp", "--with", "radsh 5"),
        code=Exit.USAGE,
    )
    for part in ("--bed", "--spacing", "--edge", "--keep-out", "--picture", "--with", "crop"):
        assert part in result.stderr
    assert "Did you mean" in result.stderr and result.stdout == ""


def test_either_a_bed_or_a_garden():
    assert "--bed" in run("kale", code=Exit.USAGE).stderr


def test_places_of_a_garden():
    bed = ask("kale", "--garden", COURTYARD, "--place", "Wall box")
    assert bed["plants"] > 0
    channel = ask("lettuce-butterhead", "-g", COURTYARD, "--place", "fence channel")
    assert channel["plants"] == len(channel["slots"])
    pots = ask("parsley", "-g", COURTYARD, "--place", "Door pots")
    # Of 20 l, 33 cm wide (worked by hand in test_slots): it would feed six at 3 l each, but only
    # four stand √(20 · 25) = 22.4 cm apart on it: 16.6 / 22.4 = 0.743; four need 0.707, five 0.851.
    assert pots["each"] == 4 and pots["plants"] == 4 * pots["of"]
    told = run("parsley", "-g", COURTYARD, "--place", "Door pots").stdout
    assert "4 a pot, 6 pots, taken to be 33 cm wide." in told
    tray = ask("lettuce-butterhead", "-g", COURTYARD, "--place", "Shelf")
    assert tray["plants"] == tray["of"] and tray["seeds"] == 2 * tray["of"] > 0  # two seeds a cell
    assert tray["of"] * 0.9 < tray["sure"] <= tray["of"]
    for crop, what in (("lettuce-butterhead", "plants"), ("beetroot-multi-sown", "clumps")):
        told = run(crop, "-g", COURTYARD, "--place", "Shelf", "--number", "30").stdout
        assert f"For 30 {what} to set out sow " in told
        cells = int(told.split("set out sow ")[1].split()[0])
        assert 30 <= cells <= 40
    assert "as a clump" in told
    sown = run("carrot", "-g", COURTYARD, "--place", "Shelf", code=Exit.IMPOSSIBLE)
    assert "where it will grow" in sown.stdout
    wrong = run("kale", "-g", COURTYARD, "--place", "Wal box", code=Exit.WRONG)
    assert "Did you mean 'Wall box'?" in wrong.stderr


def test_a_bare_margin_stays_bare():
    from sowplan.records.garden_file import read_garden

    garden = read_garden(COURTYARD).garden
    for bed in garden.beds:
        found = ask("lettuce-butterhead", "-g", COURTYARD, "--place", bed.name)
        points = np.array(found["positions"])
        clear = bed.edge_m + found["spacing_m"] / 2
        assert points.min() >= clear - 1e-9
        assert (points.max(axis=0) <= np.array([bed.length_m, bed.width_m]) - clear + 1e-9).all()


def test_several_crops_in_one_bed():
    found = ask(
        *("tomato", "--bed", "3 m x 1.2 m", "--number", "3"),
        *("--with", "butterhead 12", "--with", "radish"),
    )
    plants = {block["crop"]: block["plants"] for block in found["blocks"]}
    assert plants["tomato"] == 3 and plants["lettuce-butterhead"] == 12 and plants["radish"] > 0
    ends = [(b["start_m"], b["start_m"] + b["length_m"]) for b in found["blocks"]]
    assert all(a[1] <= b[0] + 1e-9 for a, b in zip(ends, ends[1:], strict=False))
    assert found["blocks"][-1]["crop"] == "tomato"
    run("kale", "--bed", "1 m x 1 m", "--number", "30", "--with", "leek 9", code=Exit.IMPOSSIBLE)


def test_how_much_of_the_bed_a_number_takes():
    found = ask("lettuce-butterhead", "--bed", "2.4 m x 1.2 m", "--number", "20")
    strip = found["strip"]
    # No twenty plants 25 cm apart in a metre of a bed 1.2 m wide: Oler's bound allows 19 there.
    assert strip["plants"] >= 20 and 1.0 < strip["length_m"] <= 1.25


def test_whole_squares():
    found = ask("beetroot", "--bed", "1.2 m x 60 cm", "--spacing", "10 cm", "--squares")
    assert found["plants"] == 8 * 9  # common practice, no source


def test_pictures(tmp_path):
    bed = ("lettuce-butterhead", "--bed", "2.4 m x 1.2 m")
    one, two = tmp_path / "one.svg", tmp_path / "two.svg"
    png, ruler = tmp_path / "bed.png", tmp_path / "ruler.svg"
    run(*bed, "--picture", str(one), "--ruler", str(ruler))
    run(*bed, "--picture", str(two))
    run(*bed, "--picture", str(png))
    assert one.read_bytes() == two.read_bytes()
    root = ET.fromstring(one.read_text(encoding="utf-8"))
    uses = root.iter("{http://www.w3.org/2000/svg}use")
    assert len(list(uses)) == 45
    assert png.read_bytes().startswith(b"\x89PNG")
    assert 'width="297mm"' in ruler.read_text(encoding="utf-8")


def test_a_picture_that_cannot_be_written(tmp_path):
    file = tmp_path / "missing" / "bed.svg"
    result = run("kale", "--bed", "2 m x 1 m", "--picture", str(file), code=Exit.UNWRITABLE)
    assert "cannot be written" in result.stderr


def test_marks_on_the_picture_are_the_marks_told(tmp_path):
    file = tmp_path / "bed.svg"
    words = ("lettuce-butterhead", "--bed", "2.4 m x 1.2 m", "--spacing", "30 cm")
    told = run(*words, "--picture", str(file)).stdout
    drawn = set(re.findall(r">(\d+(?:\.\d)?)</text>", file.read_text(encoding="utf-8")))
    for mark in ("15", "45", "75", "105", "135", "165", "195", "225"):
        assert mark in drawn and mark in told


@pytest.mark.parametrize(
    "more, part",
    [
        (["--cut", "50 cm x 50 cm", "--rounded", "ends"], "not both"),
        (["--squares", "--keep-out", "5 cm round at 1 m, 1 m"], "--squares"),
        (["--with", "radish", "--cut", "50 cm x 50 cm"], "--with"),
        (["--with", "radish", "--edge", "0"], "half a spacing"),
        (["--cut", "5 m x 50 cm"], "smaller than the bed"),
        (["--rounded", "3 m"], "at most 50 cm"),
    ],
)
def test_what_does_not_go_together(more, part):
    assert part in run("kale", "--bed", "2 m x 1 m", *more, code=Exit.USAGE).stderr


def test_more_plants_than_anyone_plants():
    result = run("radish", "--bed", "2 km x 1 km", "--spacing", "1 mm", code=Exit.USAGE)
    assert "ask for a part" in result.stderr


def test_rows_are_told_beside_even_spacing():
    told = run("kale", "--bed", "2.4 m x 1.2 m", "--spacing", "40 cm", "--row-spacing", "50 cm")
    # Two rows of six: 2 × 0.5 m in 1.2 m, 6 × 0.4 m in 2.4 m. √(40 · 50) = 44.7 cm.
    assert told.stdout.startswith("12 plants of kale")
    assert "44.5 cm apart in all directions" in told.stdout


@pytest.mark.parametrize(
    ("bed", "more", "count"),
    [  # one row from end to end, its ends as far from the ends as from the sides: by hand
        ("45 cm round", [], 1),
        ("2 m x 30 cm", ["--spacing", "50 cm"], 4),  # 170 cm: 3.4 spacings
    ],
)
def test_none_goes_on_to_what_can_be_done(bed, more, count):
    words = ("tomato", "--bed", bed, *more)
    found = ask(*words, code=Exit.IMPOSSIBLE)
    lean = found["leaning_out"]
    assert found["plants"] == 0 and lean["plants"] == count == len(lean["positions"])
    told = run(*words, code=Exit.IMPOSSIBLE).stdout
    option = re.search(r'--edge "([^"]+)"', told)[1]
    assert ask(*words, "--edge", option)["plants"] == count
    assert "middle" in told and "in the way" not in told


@pytest.mark.parametrize(
    ("crop", "bed", "count"),
    [  # spacings as in the crop table (common practice, no source); half a spacing at each end
        ("courgette", "100 ft x 30 in", 38),  # 3048 / 80
        ("winter-squash", "100 ft x 30 in", 30),  # 3048 / 100
        ("courgette", "2.3 m x 60 cm", 2),  # 230 / 80
    ],
)
def test_what_is_somewhat_wider_than_the_bed_stands_in_its_middle(crop, bed, count):
    found = ask(crop, bed)
    assert found["plants"] == count
    middle = {round(y / found["width_m"], 6) for _, y in found["positions"]}
    assert middle == {0.5}
    assert "one row down the middle" in run(crop, bed).stdout
    assert f"1 row along of {count}" in run(crop, bed, "--number", str(count)).stdout
    same = next(c for c in ask(crop, bed, "--compare")["comparison"] if c["plants"] == count)
    assert same["spacing_m"] == found["spacing_m"]
    beside = ask(crop, bed, "--number", "2", "--with", "radish")["blocks"]
    assert {b["crop"]: len(b["positions"]) for b in beside}[crop] == 2


@pytest.mark.parametrize(
    ("crop", "count"),
    [("cucumber", 67), ("tomato", 60), ("kale", 76), ("pepper", 67), ("kohlrabi", 456)],
)
def test_long_beds_hold_rows_along_as_the_plan_sets_them(crop, count):
    # By hand in test_strips: 3048 cm in spacings, times the rows abreast in 76.2 cm.
    found = ask(crop, "100 ft x 30 in", "--no-trellis", "--number", str(count))
    assert found["plants"] == count == found["strip"]["plants"]
    assert found["rows_along_length"] and found["strip"]["along"]


def test_rows_across_are_told_along_as_the_plan_tells_them():
    # Romaine in 30 in: by hand in test_strips. 3048 cm in 30 cm, three abreast.
    found = ask("lettuce-romaine", "100 ft x 30 in", "--number", "45")
    assert found["plants"] == 3 * 101 and found["rows_along_length"]
    assert len(found["rows"]) == 3 == found["strip"]["rows"]


def test_square_rows_are_not_given_up_for_a_few_plants_more():
    # Three abreast in 76.2 cm at 25 cm, 121 times in 3048 cm: 363.
    told = run("lettuce-butterhead", "100 ft x 30 in").stdout
    assert told.startswith("363 plants") and "At most 365" in told
    assert "3 rows along the bed" in told and "99 ft" in told and "1195" not in told
    assert len(told) < 700


def test_nothing_is_offered_where_everything_is_in_the_way():
    found = ask("kale", "--bed", "2 m x 1 m", "--keep-out", "2 m x 1 m at 0, 0", code=5)
    assert "leaning_out" not in found


@pytest.mark.parametrize("crop", ["runner-bean", "leek", "chard"])
def test_rows_are_set_out_as_the_headline_names_them(crop):
    found = ask(crop, "--bed", "20 ft x 3 ft")
    apart = np.diff([row["at"] for row in found["rows"]])
    assert (apart >= found["row_spacing_m"] - 1e-9).all()
    for row in found["rows"]:
        assert (np.diff(row["marks"]) >= found["spacing_m"] - 1e-9).all()
    told = run(crop, "--bed", "20 ft x 3 ft").stdout
    assert f"{len(found['rows'])} row" in told


def test_imperial_words_hold_no_metric_figure():
    for more in (["--spacing", "3 ft"], ["--spacing", "3 ft", "--row-spacing", "4 ft"]):
        told = run("tomato", "--bed", "4 ft x 18 in", *more, code=Exit.IMPOSSIBLE).stdout
        assert " cm" not in told and " m " not in told
    assert "12 in here" in run("kale", "--bed", "4 ft x 2 ft", "--rounded", "3 ft", code=2).stderr


def test_spacings_compared_in_inches_are_whole_inches():
    found = ask("lettuce-butterhead", "--bed", "8 ft x 4 ft", "--spacing", "10 in", "--compare")
    inches = [choice["spacing_m"] / 0.0254 for choice in found["comparison"]]
    assert inches == pytest.approx([8, 9, 10, 11, 12])


def test_whole_squares_say_how_far_apart_they_stand():
    told = " ".join(run("radish", "--bed", "4 ft x 2 ft", "--squares").stdout.split())
    assert "16 to a square, 3 in apart" in told  # four by four to the foot
    told = " ".join(run("radish", "--bed", "1.2 m x 60 cm", "--squares").stdout.split())
    assert "16 to a square, 7.5 cm apart" in told


def test_areas_in_square_feet_are_no_finer_than_ground_is_measured():
    told = run("tomato", "--bed", "20 ft x 3 ft", "--no-trellis").stdout
    for area in re.findall(r"([\d.]+) sq ft", told):
        assert len(area.replace(".", "").lstrip("0")) <= 2, area


def test_a_tub_is_set_out_round_its_rim():
    told = " ".join(run("basil", "60 cm round", "--spacing", "20 cm").stdout.split())
    assert "Measure clockwise round the rim" in told and "1 in the middle" in told
    three = run("butterhead", "60 cm round").stdout
    assert "  3 plants, each 12.5 cm in from the rim, at " in three
    # Six on a circle of 60 cm: a sixth of 188.5 cm apart, by hand.
    marks = [float(m) for m in re.search(r"at ([\d., ]+) cm round", told)[1].split(", ")]
    assert len(marks) == 6 and np.abs(np.diff(marks) - 31.4).max() <= 0.6


def test_no_row_of_noughts():
    told = run("tomato", "--bed", "1 m x 50 cm", "--spacing", "40 cm", "--row-spacing", "1 m")
    assert "directions: 0" not in told.stdout


def test_a_bed_of_a_garden_as_built(tmp_path):
    """The keys of a bed do what the options of the same words do."""
    lines = Path(COURTYARD).read_text(encoding="utf-8").splitlines(keepends=True)
    text = "".join(line for line in lines if not line.startswith("keep_out"))
    bare_file = tmp_path / "bare.toml"
    bare_file.write_text(text, encoding="utf-8")
    built = 'edge = "2 cm"\nkeep_out = "pipe 8 cm round at 60 cm, 30 cm"\nrounded = "ends"\n'
    file = tmp_path / "garden.toml"
    file.write_text(text.replace('edge = "2 cm"\n', built, 1), encoding="utf-8")
    found = ask("lettuce-butterhead", "--garden", str(file), "--place", "Wall box")
    plain = ask("lettuce-butterhead", "--garden", str(bare_file), "--place", "Wall box")
    assert 0 < found["plants"] < plain["plants"]
    # Half a spacing clear of the pipe's rim, reckoned here from the points themselves.
    points, half = np.array(found["positions"]), found["spacing_m"] / 2
    assert np.hypot(points[:, 0] - 0.6, points[:, 1] - 0.3).min() >= 0.04 + half - 1e-8
    sides = f"{found['length_m']} m x {found['width_m']} m"
    shaped = ("--keep-out", "pipe 8 cm round at 60 cm, 30 cm", "--rounded", "ends")
    bare = ask("lettuce-butterhead", "--bed", sides, *shaped)
    assert found["plants"] <= bare["plants"] <= plain["plants"]  # without the bare edge


@pytest.mark.parametrize(
    ("head", "words", "width_mm"),
    [  # ISO 216 and ANSI/ASME Y14.1: A4 is 297 mm long, Letter 11 inches.
        ("", (), 297.0),
        ('units = "imperial"\n', (), 279.4),
        ('paper = "letter"\n', (), 279.4),
        ('units = "imperial"\npaper = "a4"\n', (), 297.0),
        ('units = "imperial"\n', ("--paper", "a4"), 297.0),
        ('paper = "letter"\n', ("--paper", "a4"), 297.0),
    ],
)
def test_rulers_are_on_the_gardens_paper(tmp_path, head, words, width_mm):
    bed = '[[bed]]\nname = "B"\nlength = "2 m"\nwidth = "1 m"\ndepth = "30 cm"\n'
    garden, ruler = tmp_path / "g.toml", tmp_path / "ruler.svg"
    garden.write_text(head + YEAR + bed, encoding="utf-8")
    where = ("--garden", str(garden), "--place", "B")
    assert run("radish", *where, "--ruler", str(ruler), *words).exit_code == 0
    found = re.search(r'width="([\d.]+)mm"', ruler.read_text(encoding="utf-8"))
    assert float(found[1]) == pytest.approx(width_mm, abs=0.1)


@pytest.mark.parametrize(("bed", "width_mm"), [("8 ft x 4 ft", 279.4), ("2.4 m x 1.2 m", 297.0)])
def test_rulers_of_a_bed_in_feet_are_on_letter(tmp_path, bed, width_mm):
    ruler = tmp_path / "ruler.svg"
    assert run("radish", bed, "--ruler", str(ruler)).exit_code == 0
    found = re.search(r'width="([\d.]+)mm"', ruler.read_text(encoding="utf-8"))
    assert float(found[1]) == pytest.approx(width_mm, abs=0.1)
