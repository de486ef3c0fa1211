"""Crops are found by what people call them."""

import pytest

from sowplan.records.crop_table import read_crops
from sowplan.records.crop_table.names import find_crop, matching_keys, other_names, suggest_crops

CROPS, _ = read_crops()


@pytest.mark.parametrize(
    ("said", "key"),
    [
        ("radish", "radish"),
        ("Radish", "radish"),
        ("butterhead lettuce", "lettuce-butterhead"),
        ("Lettuce Butterhead", "lettuce-butterhead"),
        ("tomatoes", "tomato"),
        ("potatoes", "potato"),
        ("broad beans", "broad-bean"),
        ("zucchini", "courgette"),
        ("arugula", "rocket"),
        ("silverbeet", "chard"),
        ("capsicum", "pepper"),
        ("eggplant", "aubergine"),
        ("cilantro", "coriander"),
        ("rutabaga", "swede"),
        ("bok choy", "pak-choi"),
        ("lamb’s lettuce", "lambs-lettuce"),
        ("edamame", "soybean"),
        ("brussels sprouts", "brussels-sprouts"),
        ("cavolo nero", "kale"),
        ("NZ spinach", "new-zealand-spinach"),
    ],
)
def test_a_crop_by_any_of_its_names(said, key):
    assert find_crop(said, CROPS) is CROPS[key]


@pytest.mark.parametrize("said", ["", " ", "-", "lettuce", "bean", "onion", "xyz", "grass"])
def test_no_crop_where_none_or_several_are_meant(said):
    assert find_crop(said, CROPS) is None


def test_every_crop_is_found_by_each_of_its_names():
    for crop in CROPS.values():
        for name in (crop.key, crop.name, *other_names(crop)):
            assert find_crop(name, CROPS) is crop, name


def test_suggestions_name_keys_to_write():
    assert suggest_crops("zucchini", CROPS) == " Here it goes by 'courgette'."
    assert suggest_crops("raddish", CROPS) == " Did you mean 'radish'?"
    assert suggest_crops("arugla", CROPS) == " Did you mean 'rocket'?"
    assert suggest_crops("qqqq", CROPS) == ""
    beans = suggest_crops("bean", CROPS)
    assert beans.startswith(" Did you mean one of bush-bean, climbing-bean")


def test_a_long_list_of_suggestions_is_cut():
    assert " more?" in suggest_crops("brassica", CROPS)


def test_words_match_the_beginnings_of_words_in_any_name():
    assert matching_keys("lettuce butter", CROPS) == ["lettuce-butterhead"]
    assert set(matching_keys("solanaceae potato", CROPS)) == {"potato", "potato-early"}
    assert matching_keys("adish", CROPS) == []
    assert matching_keys("", CROPS) == []


def test_a_slip_in_a_word_brings_all_crops_of_that_word():
    lettuces = suggest_crops("lettuse", CROPS)
    for key in ("lettuce-butterhead", "lettuce-romaine", "lettuce-loose-leaf"):
        assert key in lettuces
    assert suggest_crops("broad baens", CROPS) == " Did you mean 'broad-bean'?"
    assert suggest_crops("butterhed", CROPS) == " Did you mean 'lettuce-butterhead'?"
