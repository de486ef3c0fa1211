"""What gardeners write instead of the right thing, and what they are told; as heard, no source."""

from __future__ import annotations

import pytest

from gardens import PLACE, YEAR
from sowplan.records.crop_table import read_crops
from sowplan.records.crop_table.names import find_crop
from sowplan.records.garden_file.read import read_garden_text

CROPS, _ = read_crops()
BED = '[[bed]]\nname = "Bed 1"\nlength = "2 m"\nwidth = "1 m"\ndepth = "30 cm"\n'
TRAY = '[[tray]]\nname = "T"\ncells = 40\ntemperature = "18 °C"\n'
WANT = '[[want]]\ncrop = "garlic"\namount = 4\nper = "week"\n'
TEXT = YEAR + BED + BED.replace("Bed 1", "Bed 2") + TRAY + WANT
SOWN = '[[sowing]]\ncrop = "garlic"\ndate = 2026-10-16\nnumber = 24\n'
REST = '[[rotation]]\nfamily = "all"\nrest = "none"\n'
PAST = '[[past]]\nplace = "Bed 1"\nfamily = "kale"\nuntil = 2026-07-15\n'


def problems(old, new, text=TEXT + SOWN + REST + PAST):
    assert text.count(old) >= 1
    return read_garden_text(text.replace(old, new, 1), "g.toml").problems


def test_the_garden_itself_is_right():
    assert problems("[[want]]", "[[want]]") == ()


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ("cells = 40", 'cells = "5 x 8"', "5 x 8 are 40"),
        ("number = 24", 'number = "24 cloves"', "number = 24"),
        ('"18 °C"', '"18-22 °C"', "one temperature"),
        ('crop = "garlic"', 'crop = ["garlic", "kale"]', "One table is for one crop"),
        ('family = "kale"', 'family = ["kale", "onion-sets"]', "One table is for one family"),
        ('rest = "none"', "rest = 3", '"3 years" or "3 months"'),
        ("date = 2026-10-16", 'date = "16 October"', "the day, the month and the year"),
        ('per = "week"\n', 'per = "week"\nin = "Bed"\n', "Did you mean one of Bed 1, Bed 2?"),
        ("cells = 40", "cells = 40;", "cells = 40."),
        ("latitude = -41.3", "latitude = –41.3", "latitude = -41.3"),
        ('crop = "garlic"', 'crop = "asparagus"', "Did you mean 'yardlong-bean'?"),
    ],
)
def test_one_slip_is_one_message_with_what_would_be_right(old, new, words):
    (one,) = problems(old, new)
    assert words in one.message


def test_a_key_by_another_name_is_told_by_ours():
    found = problems('length = "2 m"\nwidth = "1 m"', 'size = "2 m x 1 m"')
    assert any("Write length and width." in one.message for one in found)


@pytest.mark.parametrize(
    ("written", "cover"),
    [("greenhouse", "glass"), ("polytunnel", "tunnel"), ("row cover", "fleece")],
)
def test_covers_by_their_everyday_names(written, cover):
    text = TEXT.replace('depth = "30 cm"', f'depth = "30 cm"\ncover = "{written}"', 1)
    assert read_garden_text(text, "g.toml").garden.beds[0].cover == cover


def test_weekends_are_two_days():
    text = f'{PLACE}[season]\nstart = 2026-09-01\nend = 2027-08-31\nsow_on = "weekends"\n{BED}'
    assert read_garden_text(text, "g.toml").garden.season.sow_on == (5, 6)


@pytest.mark.parametrize(
    ("text", "key"),
    [
        ("asparagus bean", "yardlong-bean"),
        ("asparagus", None),  # another plant, of another family
        ("marrow", "courgette"),
        ("butterhead", "lettuce-butterhead"),
        ("snake beans", "yardlong-bean"),
    ],
)
def test_part_of_another_name_does_not_make_a_crop(text, key):
    found = find_crop(text, CROPS)
    assert (found.key if found else None) == key
