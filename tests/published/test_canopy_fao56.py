"""How soon a canopy closes, against the stages of FAO-56; intercropping against advice for gardens.

Stages: FAO Irrigation and Drainage Paper 56 (1998), Table 11, as the package ``pyfao56`` holds it.
Intercropping: eXtension (the land-grant universities of the United States), "What is
intercropping?", Gardens & Landscapes, 14 September 2008: lettuce between tomatoes is harvested
before these grow very large; radishes among carrots within a few weeks, long before they interfere.
"""

import statistics

import pytest
from pyfao56.tools.tables import FAO56Tables

from sowplan.bed.canopy import ONCE, OVER_WEEKS, cover
from sowplan.bed.fit import fit
from sowplan.bed.intercrop import intercrop, usual_stay
from sowplan.records.crop_table import read_crops

TABLE = FAO56Tables().table11
CROPS, _ = read_crops()


def stages(name):
    """Return initial, development, mid-season and late days of each row of a crop."""
    rows = TABLE[TABLE["Crop"].str.strip() == name]
    return rows[["Lini", "Ldev", "Lmid", "Llate"]].astype(float).to_numpy().tolist()


@pytest.mark.parametrize("name", ["cabbage", "broccoli", "cauliflower", "lettuce"])
def test_crops_cut_whole_close_when_fao56_has_them_close(name):
    rows = stages(name)
    initial = statistics.median(row[0] / sum(row) for row in rows)
    full = statistics.median((row[0] + row[1]) / sum(row) for row in rows)
    assert ONCE[0] == pytest.approx(initial, abs=0.03)
    assert ONCE[1] == pytest.approx(full, abs=0.05)


def test_crops_picked_for_weeks_close_before_their_first_harvest():
    # First harvest a fifth into the mid-season: common practice, no source.
    shares = []
    for name in ("tomato", "cucumber", "squash zucchini", "beans green"):
        rows = [(row[0], row[1], sum(row[:2]) + 0.2 * row[2]) for row in stages(name)]
        initial = statistics.median(row[0] / row[2] for row in rows)
        full = statistics.median((row[0] + row[1]) / row[2] for row in rows)
        shares.append((initial, full))
        # Reckoned too early a close costs a catch crop room; too late a one would smother it.
        assert OVER_WEEKS[1] <= full + 0.02
    middle = [statistics.median(column) for column in zip(*shares, strict=True)]
    assert OVER_WEEKS == pytest.approx(middle, abs=0.04)


def test_a_tenth_of_the_ground_at_the_end_of_the_initial_stage():
    # FAO-56, chapter 6: the initial stage runs to some 10 % ground cover, the next to full cover.
    for harvest, (initial, full) in (("once", ONCE), ("pick", OVER_WEEKS)):
        assert cover(initial, harvest) == pytest.approx(0.10)
        assert cover(full, harvest) == pytest.approx(1.0)


def planted(slow, quick):
    main, catch = CROPS[slow], CROPS[quick]
    layout = fit(3.0, 1.2, main.spacing_cm / 100, main.row_spacing_cm / 100)
    stays = (usual_stay(c, c.start == "raised") for c in (main, catch))
    return intercrop(main, catch, *stays, layout)


@pytest.mark.parametrize("lettuce", ["lettuce-butterhead", "lettuce-little-romaine"])
def test_lettuce_between_tomatoes_is_out_before_their_first_fruit(lettuce):
    found = planted("tomato", lettuce)
    assert found.plants >= 12 and found.catch_stay.out_days <= found.main_stay.ready_days


def test_radishes_among_carrots_are_out_within_a_few_weeks():
    found = planted("carrot", "radish")
    assert found.plants > 100 and found.catch_stay.out_days <= 5 * 7
    # "Long before": the carrots need half as long again, at least, to reach them, if ever.
    assert found.met_days is None or found.met_days >= 1.5 * found.catch_stay.out_days


@pytest.mark.parametrize("slow", ["brussels-sprouts", "parsnip", "leek", "cabbage-winter"])
@pytest.mark.parametrize("quick", ["radish", "rocket"])
def test_quick_salads_between_slow_winter_crops(slow, quick):
    # Common practice, no source: radish and rocket between Brussels sprouts, parsnips and leeks.
    assert planted(slow, quick).plants > 0
