"""A gardener's own crop table, laid over the shipped one."""

from dataclasses import replace

import pytest

from sowplan.records.crop_table import read_crops

SHIPPED, _ = read_crops()


@pytest.fixture
def own(tmp_path):
    """Write a table and read it; no problem expected."""

    def write(text, encoding="utf-8"):
        path = tmp_path / "my-crops.csv"
        path.write_bytes(text.encode(encoding))
        crops, problems = read_crops(path)
        assert problems == []
        return crops

    return write


def changed(crops):
    return {key for key in crops if crops[key] != SHIPPED.get(key)}


def test_filled_cells_change_a_crop_and_blank_ones_keep_it(own):
    crops = own("key,spacing_cm,maturity_days\nradish,5,\n")
    assert changed(crops) == {"radish"}
    source = SHIPPED["radish"].source + " own"
    assert crops["radish"] == replace(SHIPPED["radish"], spacing_cm=5.0, source=source)


def test_a_new_crop_like_another(own):
    crops = own(
        "key,like,name,spacing_cm,holding_days\n"
        "red-butterhead,lettuce-butterhead,Red butterhead,22,\n"
    )
    new = crops["red-butterhead"]
    assert changed(crops) == {"red-butterhead"}
    assert list(crops)[-1] == "red-butterhead"
    base = SHIPPED["lettuce-butterhead"]
    assert (new.spacing_cm, new.name) == (22.0, "Red butterhead")
    assert (new.holding_days, new.emergence_table_days) == (
        base.holding_days,
        base.emergence_table_days,
    )
    assert "own" in new.source.split()


def test_a_new_crop_without_a_name_is_called_by_its_key_and_takes_no_other_names(own):
    crops = own("key,like\nround-courgette,courgette\n")
    assert crops["round-courgette"].name == "Round courgette"
    assert crops["round-courgette"].also == ""


def test_like_may_name_a_crop_further_up_in_the_same_table(own):
    crops = own("key,like,spacing_cm\nmine,kale,33\nmine-too,mine,\n")
    assert crops["mine-too"].spacing_cm == 33.0


def test_a_whole_new_crop(own):
    columns = (
        "key,name,group,botanical_name,family,spacing_cm,row_spacing_cm,sowing_depth_mm,start,"
        "seeds_per_cell,plants_per_cell,maturity_days,maturity_from,maturity_temp_c,"
        "maturity_dli_mol,harvest,holding_days,keeps_days,harvest_unit,units_per_plant,"
        "kg_per_plant,base_c,optimum_c,ceiling_c,killing_frost_c,light_half_mol,sun_hours,"
        "germination_min_c,germination_optimum_c,germination_max_c,emergence_days,"
        "germination_percent,kc_initial,kc_mid,kc_end,rooting_depth_m,height_m,spread_cm,"
        "pot_litres,channel,support,rotation_gap_months,source"
    )
    cells = (
        "oca,Oca,root,Oxalis tuberosa,Oxalidaceae,30,60,60,direct,1,1,200,sowing,14,30,once,40,120,"
        "kg,0.6,0.6,5,16,27,-2,12,6,5,16,26,18,90,0.5,1.1,0.95,0.4,0.35,45,15,no,none,36,own"
    )
    crops = own(f"{columns}\n{cells}\n")
    oca = crops["oca"]
    assert changed(crops) == {"oca"}
    assert (oca.family, oca.maturity_days, oca.tray_days, oca.channel) == (
        "Oxalidaceae",
        200.0,
        None,
        False,
    )
    assert not oca.tender


def test_a_dash_empties_an_optional_figure(own):
    crops = own("key,bolt_daylength_h,bolt_heat_c\nspinach,-,-\n")
    spinach = crops["spinach"]
    assert (spinach.bolt_daylength_h, spinach.bolt_effect, spinach.bolt_heat_c) == (None,) * 3


def test_own_germination_figures_put_the_published_table_aside(own):
    crops = own("key,germination_min_c,emergence_days\nlettuce-romaine,2,4\n")
    romaine = crops["lettuce-romaine"]
    assert SHIPPED["lettuce-romaine"].emergence_table == "lettuce"
    assert (romaine.emergence_table, romaine.emergence_c, romaine.emergence_days) == (None, (), 4.0)


def test_another_way_of_harvesting_drops_what_belonged_to_the_first(own):
    crops = own("key,harvest\nchard,once\n")
    chard = crops["chard"]
    assert (chard.harvest, chard.cuts, chard.regrowth_days, chard.picking_days) == (
        "once",
        None,
        None,
        None,
    )


def test_counted_in_kg_the_weight_is_given_once(own):
    crops = own("key,kg_per_plant,units_per_plant\ntomato,4.5,\ncarrot,,0.05\n")
    assert crops["tomato"].units_per_plant == 4.5
    assert crops["carrot"].kg_per_plant == 0.05


@pytest.mark.parametrize(
    "text",
    [
        "key,spacing_cm\nradish,4.5\n",
        "\ufeffkey,spacing_cm\r\nradish,4.5\r\n",
        "key,spacing_cm\rradish,4.5\r",
        "key;spacing_cm\nradish;4,5\n",
        "key;spacing_cm\nradish;4.5\n",
        "sep=;\nkey;spacing_cm\nradish;4,5\n",
        "key\tspacing_cm\nradish\t4,5\n",
        'key,spacing_cm\n"radish","4.5"\n',
        "Key, Spacing cm \n radish , 4.5 \n",
        "\n,,\nkey,spacing_cm,\n\n# mine\nradish,4.5,\n,,\n",
        "spacing_cm,key\n4.5,radish",
    ],
    ids="plain bom cr semicolon point sep tab quotes header blank turned".split(),
)
def test_a_table_is_read_however_a_spreadsheet_saved_it(own, text):
    crops = own(text)
    assert crops["radish"].spacing_cm == 4.5
    assert changed(crops) == {"radish"}


def test_choices_in_capitals_and_minus_signs_of_any_kind(own):
    crops = own("key,start,channel,killing_frost_c\nradish,Direct,YES,−3\n")
    radish = crops["radish"]
    assert (radish.start, radish.channel, radish.killing_frost_c) == ("direct", True, -3.0)


def test_text_cells_may_hold_commas_lines_and_any_letters(own):
    crops = own('key,note\nradish,"A bunch is ten, or twelve.\nGrüße, 青菜."\nkale,x\n')
    assert crops["radish"].note == "A bunch is ten, or twelve.\nGrüße, 青菜."
    assert crops["kale"].note == "x"


def test_a_table_with_a_header_alone_changes_nothing(own):
    assert own("key,spacing_cm\n") == SHIPPED
