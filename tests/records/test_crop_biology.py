"""What must be so of any plant: invariants of the shipped crop table.

Where a bound is not a matter of definition it is common practice, no source, and says so.
"""

import re
from collections import defaultdict

import pytest

from sowplan.records.crop_table import read_crops

CROPS, _ = read_crops()


def each_crop(check):
    """Run a check on every crop and name all that fail it; 1600 tests apiece would crawl."""

    def every_crop():
        wrong = []
        for crop in CROPS.values():
            try:
                check(crop)
            except AssertionError as error:
                wrong.append(f"{crop.key}: {error}")
        assert not wrong, "\n".join(wrong)

    every_crop.__doc__ = check.__doc__
    return every_crop


# Families of kitchen crops as the Angiosperm Phylogeny Group accepts them (APG IV, 2016), from
# memory: Amaryllidaceae for the former Alliaceae, Amaranthaceae with the former Chenopodiaceae,
# Caprifoliaceae with the former Valerianaceae, Montiaceae apart from Portulacaceae.
APG_FAMILIES = {
    "Aizoaceae": {"Tetragonia"},
    "Amaranthaceae": {"Amaranthus", "Atriplex", "Beta", "Spinacia"},
    "Amaryllidaceae": {"Allium"},
    "Apiaceae": set("Anethum Anthriscus Apium Coriandrum Daucus Foeniculum".split())
    | {"Pastinaca", "Petroselinum"},
    "Asteraceae": {"Cichorium", "Lactuca"},
    "Basellaceae": {"Basella"},
    "Brassicaceae": {"Barbarea", "Brassica", "Diplotaxis", "Eruca", "Lepidium", "Nasturtium"}
    | {"Raphanus"},
    "Caprifoliaceae": {"Valerianella"},
    "Convolvulaceae": {"Ipomoea"},
    "Cucurbitaceae": {"Cucumis", "Cucurbita"},
    "Fabaceae": {"Glycine", "Lathyrus", "Phaseolus", "Vicia", "Vigna"},
    "Lamiaceae": {"Mentha", "Ocimum"},
    "Malvaceae": {"Abelmoschus"},
    "Montiaceae": {"Claytonia"},
    "Poaceae": {"Zea"},
    "Polygonaceae": {"Rumex"},
    "Portulacaceae": {"Portulaca"},
    "Rosaceae": {"Fragaria"},
    "Solanaceae": {"Capsicum", "Solanum"},
}
# Frost kills these in leaf, whatever their hardening (common practice, no source).
FROST_TENDER = set(
    "amaranth kang-kong malabar-spinach new-zealand-spinach summer-purslane potato potato-early "
    "sweet-potato bush-bean climbing-bean runner-bean yardlong-bean soybean tomato tomato-cherry "
    "tomato-bush pepper chilli aubergine cucumber gherkin courgette winter-squash melon sweet-corn "
    "okra basil".split()
)


@each_crop
def test_the_family_is_the_accepted_one_of_the_genus(crop):
    genus = crop.botanical_name.split()[0]
    assert genus in APG_FAMILIES[crop.family]
    assert re.match(r"[A-Z][a-z]+ (× )?[a-z]+", crop.botanical_name)


@each_crop
def test_temperatures_rise_from_base_to_optimum_to_ceiling(crop):
    assert crop.killing_frost_c < crop.base_c + 2
    assert crop.base_c < crop.optimum_c < crop.ceiling_c
    # The optimum lies no farther from the ceiling than from the base (common practice).
    assert crop.ceiling_c - crop.optimum_c <= crop.optimum_c - crop.base_c
    assert crop.germination_min_c < crop.germination_optimum_c < crop.germination_max_c


@each_crop
def test_reference_conditions_are_a_good_season_and_not_a_record(crop):
    assert crop.base_c + 5 <= crop.maturity_temp_c <= crop.optimum_c
    assert (
        crop.light_half_mol < crop.maturity_dli_mol <= 45
    )  # mol m-2 d-1, fair summer: from memory
    if crop.tray_temp_c is not None:
        assert crop.base_c + 5 <= crop.tray_temp_c <= crop.optimum_c + 3
        assert crop.tray_dli_mol <= crop.maturity_dli_mol


def test_tender_crops_are_the_ones_gardeners_shelter():
    assert {key for key, crop in CROPS.items() if crop.tender} == FROST_TENDER


@each_crop
def test_tender_crops_need_warmth_to_grow_at_all(crop):
    if crop.tender and crop.family != "Solanaceae":
        assert crop.base_c >= 8
    if not crop.tender:
        assert crop.base_c <= 6
        assert crop.killing_frost_c <= -2


@each_crop
def test_a_crop_is_raised_with_tray_figures_or_sown_direct_without(crop):
    tray = (crop.tray_days, crop.tray_temp_c, crop.tray_dli_mol)
    if crop.start == "direct":
        assert tray == (None, None, None)
        assert crop.maturity_from == "sowing"
    else:
        assert None not in tray
    if crop.maturity_from == "sowing" and crop.tray_days is not None:
        assert crop.emergence_days + crop.tray_days < crop.maturity_days


@each_crop
def test_each_kind_of_harvest_has_its_figures_and_no_others(crop):
    assert (crop.cuts is not None) == (crop.harvest == "cut")
    assert (crop.regrowth_days is not None) == (crop.harvest == "cut")
    assert (crop.picking_days is not None) == (crop.harvest == "pick")
    if crop.harvest == "cut":
        assert crop.cuts >= 2
        assert crop.holding_days <= crop.regrowth_days
        assert crop.regrowth_days < crop.maturity_days
    if crop.harvest == "pick":
        assert crop.holding_days < crop.picking_days


@each_crop
def test_daylength_does_something_or_is_left_out(crop):
    assert (crop.bolt_daylength_h is None) == (crop.bolt_effect is None)
    if crop.bolt_effect == "bulbs":
        assert crop.family == "Amaryllidaceae"
        assert 11 <= crop.bolt_daylength_h <= 16
    if crop.bolt_effect == "bolts":
        assert 13 <= crop.bolt_daylength_h <= 17  # long-day plants, from memory
    if crop.bolt_heat_c is not None:
        assert crop.optimum_c < crop.bolt_heat_c < crop.ceiling_c


def test_onions_of_the_three_daylengths_bulb_in_their_order():
    short, middle, long = (
        CROPS[f"onion-{kind}"].bolt_daylength_h
        for kind in ("short-day", "intermediate", "long-day")
    )
    # Handbook figures, from memory: short-day about 12 h, intermediate 13 to 14, long-day 14 to 16.
    assert short < 12.5 < 13 <= middle < 14 <= long <= 16


@each_crop
def test_plants_fill_their_room_without_lying_on_each_other(crop):
    assert crop.spacing_cm <= crop.row_spacing_cm
    assert crop.spacing_cm <= crop.spread_cm * 1.5
    room = (crop.spacing_cm * crop.row_spacing_cm) ** 0.5
    assert 0.4 * room <= crop.spread_cm <= 2 * room


@each_crop
def test_a_pot_holds_more_mix_the_larger_the_plant(crop):
    # Two litres of mix at least to a kilogram of harvest: common practice, no source.
    assert crop.pot_litres >= 2 * crop.kg_per_plant
    assert crop.pot_litres >= 0.3


@each_crop
def test_seed_is_not_sown_deeper_than_it_can_climb(crop):
    planted = "lanted as" in crop.note or "rooted slips" in crop.note
    assert crop.sowing_depth_mm <= (120 if planted else 60)
    if crop.start != "direct":
        assert crop.sowing_depth_mm <= 50  # the depth of a deep cell


@each_crop
def test_tall_climbers_have_something_to_climb(crop):
    if crop.height_m >= 1.5 and crop.family != "Poaceae":
        assert crop.support != "none"
    if crop.support == "trellis":
        assert crop.height_m >= 0.8


@each_crop
def test_channels_hold_small_plants_only(crop):
    if crop.channel:
        assert crop.height_m <= 0.6
        assert crop.kg_per_plant <= 0.7
        assert crop.spread_cm <= 45
        assert crop.group in ("leaf", "herb", "allium", "brassica", "fruiting")


@each_crop
def test_units_weigh_what_a_kitchen_would_call_by_that_name(crop):
    grams = 1000 * crop.kg_per_plant / crop.units_per_plant
    low, high = {"head": (100, 2000), "bunch": (20, 300), "piece": (5, 2000), "kg": (999, 1001)}[
        crop.harvest_unit
    ]
    assert low <= grams <= high
    told = re.search(r"A bunch is (\d+) g", crop.note)
    if told:
        assert grams == pytest.approx(float(told[1]), rel=0.01)


@each_crop
def test_coefficients_rise_to_full_cover(crop):
    assert crop.kc_initial <= crop.kc_mid
    assert crop.kc_end <= crop.kc_mid


def test_rotation_waits_are_longest_where_soil_disease_is_worst():
    waits = defaultdict(set)
    for crop in CROPS.values():
        waits[crop.group].add(crop.rotation_gap_months)
    # Common practice: three years for cabbages, bulbs, potatoes and their kin; salads anywhere.
    assert CROPS["cabbage-winter"].rotation_gap_months == 36
    assert CROPS["onion-long-day"].rotation_gap_months == 36
    assert CROPS["tomato"].rotation_gap_months == CROPS["potato"].rotation_gap_months == 36
    assert {c.rotation_gap_months for k, c in CROPS.items() if k.startswith("lettuce")} == {0}


@pytest.mark.parametrize(
    ("quicker", "slower"),
    [
        ("lettuce-baby-leaf", "lettuce-butterhead"),
        ("lettuce-loose-leaf", "lettuce-butterhead"),
        ("lettuce-butterhead", "lettuce-crisphead"),
        ("lettuce-little-romaine", "lettuce-romaine"),
        ("radish", "winter-radish"),
        ("carrot-bunching", "carrot"),
        ("potato-early", "potato"),
        ("sugar-pea", "pea"),
        ("bush-bean", "climbing-bean"),
        ("climbing-bean", "runner-bean"),
        ("cabbage-pointed", "cabbage-summer"),
        ("cabbage-summer", "cabbage-winter"),
        ("cauliflower-summer", "cauliflower-winter"),
        ("broccoli", "broccoli-sprouting"),
        ("tomato-cherry", "tomato"),
        ("turnip", "swede"),
        ("courgette", "winter-squash"),
        ("rocket", "wild-rocket"),
        ("spinach-baby-leaf", "spinach"),
        ("garden-cress", "land-cress"),
    ],
)
def test_the_quicker_of_two_kin_is_the_quicker_one(quicker, slower):
    """Common practice, no source."""
    a, b = CROPS[quicker], CROPS[slower]
    raised = {crop.key: crop.tray_days or 0 for crop in (a, b)}
    if a.maturity_from == b.maturity_from:
        raised = {a.key: 0, b.key: 0}
    elif a.maturity_from == "sowing":
        raised[a.key] = 0
    else:
        raised[b.key] = 0
    assert a.maturity_days + raised[a.key] < b.maturity_days + raised[b.key]


@pytest.mark.parametrize(
    ("hardier", "softer"),
    [
        ("kale", "cabbage-summer"),
        ("lambs-lettuce", "lettuce-butterhead"),
        ("winter-purslane", "rocket"),
        ("spinach", "chard"),
        ("tatsoi", "pak-choi"),
        ("leek", "onion-long-day"),
        ("broad-bean", "pea"),
        ("cabbage-winter", "cauliflower-summer"),
        ("parsnip", "carrot"),
        ("escarole", "endive"),
        ("wild-rocket", "rocket"),
        ("chervil", "coriander"),
        ("brussels-sprouts", "broccoli"),
        ("lettuce-butterhead", "lettuce-crisphead"),
    ],
)
def test_the_hardier_of_two_stands_more_frost(hardier, softer):
    """Common practice, no source."""
    assert CROPS[hardier].killing_frost_c < CROPS[softer].killing_frost_c


def test_seedlings_set_out_are_young_leaf_in_two_to_three_weeks():
    """Common practice, no source: in good weather, from planting out to the first cut."""
    for key in ("lettuce-baby-leaf", "kale-baby-leaf", "rocket", "mizuna"):
        crop = CROPS[key]
        raised = crop.emergence_days + crop.tray_days
        assert 11 <= crop.maturity_days - raised <= 23, key
