"""How and where a want or sowing is to be grown: what the keys say, and what cannot be."""

from __future__ import annotations

import pytest

from gardens import YEAR
from sowplan.problem import Exit
from sowplan.records.garden_file import read_garden_text

PLACES = """\
[[bed]]
name = "Field"
length = "8 ft"
width = "4 ft"
depth = "1 ft"
count = 3
[[channel]]
name = "Rail"
holes = 20
spacing = "8 in"
[[pot]]
name = "Pots"
count = 4
volume = "20 l"
"""
TRAY = '[[tray]]\nname = "Shelf"\ncells = 60\n'


def want(crop, *lines):
    return f'[[want]]\ncrop = "{crop}"\namount = 1\nper = "week"\n' + "".join(
        f"{line}\n" for line in lines
    )


def sowing(crop, *lines):
    return f'[[sowing]]\ncrop = "{crop}"\ndate = 2026-10-01\nnumber = 12\n' + "".join(
        f"{line}\n" for line in lines
    )


def reading(*tables, tray=TRAY, places=PLACES):
    return read_garden_text(YEAR + places + tray + "".join(tables), "g.toml")


def problems(*tables, **parts):
    return reading(*tables, **parts).problems


@pytest.mark.parametrize(
    ("line", "places"),
    [
        ('in = ["field 2", "pots"]', ("Field 2", "Pots")),
        ('in = "Field"', ("Field 1", "Field 2", "Field 3")),
        ('place = "Pots"', ("Pots",)),
        ('not_in = ["Rail", "Field 1"]', ("Field 2", "Field 3", "Pots")),
        ('in = ["Field"]\nnot_in = ["Field 3"]', ("Field 1", "Field 2")),
        ("priority = 1", ()),
    ],
)
def test_places_by_name(line, places):
    assert reading(want("chard", line)).garden.wants[0].places == places


@pytest.mark.parametrize(
    ("line", "raising"),
    [
        ('sow = "direct"', "direct"),
        ('sow = "In trays"', "in trays"),
        ('raise = "trays"', "in trays"),
        ('sow = "in a tray"', "in trays"),
        ('sow = "bought plants"', "bought plants"),
        ('sow = "Bought"', "bought plants"),
        ('raise = "as young plants"', "bought plants"),
        ("priority = 1", None),
    ],
)
def test_direct_in_trays_or_bought(line, raising):
    assert reading(want("chard", line)).garden.wants[0].raising == raising


def test_a_sowing_says_it_in_the_same_words_and_a_want_how_few():
    made = reading(sowing("chard", 'sow = "direct"'), want("chard", "sow_at_least = 24")).garden
    assert made.sowings[0].raising == "direct" and made.wants[0].sow_at_least == 24


@pytest.mark.parametrize(
    ("crop", "line", "key", "found", "words", "code"),
    [
        ("chard", 'sow = "drect"', "sow", "drect", "Did you mean 'direct'?", Exit.WRONG),
        ("carrot", 'sow = "in trays"', "sow", "in trays", "is sown direct", Exit.WRONG),
        (
            "carrot", 'sow = "bought plants"', "sow", "bought plants",
            "does not come as young plants", Exit.WRONG,
        ),
        (
            "garlic", 'sow = "bought"', "sow", "bought", "set where it grows", Exit.WRONG,
        ),
        ("celery", 'sow = "direct"', "sow", "direct", "too fine for the open", Exit.WRONG),
        (
            "mint", 'in = "Rail"\nsow = "direct"', "sow", "direct", "too fine", Exit.WRONG,
        ),
        (
            "chard", 'in = "Rail"\nsow = "direct"', "sow", "direct",
            "holes of a channel", Exit.IMPOSSIBLE,
        ),
        ("chard", 'in = "Feild 2"', "in", "Feild 2", "Did you mean 'Field 2'?", Exit.WRONG),
        ("chard", 'in = ["Pots", "Shelf"]', "in", "Shelf", "is a tray", Exit.WRONG),
        ("chard", 'not_in = "Yard"', "not_in", "Yard", "There are Field 1", Exit.WRONG),
        ("chard", "in = []", "in", "[]", "leave it out", Exit.WRONG),
        ("chard", "in = 3.5", "in", "3.5", "a text in quotes", Exit.WRONG),
        (
            "chard", 'in = "Pots"\nnot_in = "Pots"', "not_in", "Pots",
            "no place for it", Exit.WRONG,
        ),
        (
            "carrot", 'in = "Rail"', "in", "Rail", "does not suit a channel", Exit.IMPOSSIBLE,
        ),
        ("chard", "sow_at_least = 0", "sow_at_least", "0", "above 0", Exit.WRONG),
        (
            "basil", "sow_at_least = 72", "sow_at_least", "72",
            "largest tray has 60 cells", Exit.IMPOSSIBLE,
        ),
    ],
)  # fmt: skip
def test_what_a_want_cannot_ask(crop, line, key, found, words, code):
    (problem,) = problems(want(crop, line))
    assert problem.where == f"[[want]] 1 ({crop}), {key}"
    assert (problem.found, problem.exit) == (found, code) and words in problem.message
    assert (YEAR + PLACES + TRAY + want(crop, line)).split("\n")[problem.line - 1].startswith(key)


def test_what_is_raised_may_be_sown_direct_where_there_is_no_tray():
    assert not problems(want("lettuce-butterhead", 'sow = "direct"'), tray="")
    (problem,) = problems(want("lettuce-butterhead"), tray="")
    assert "the garden has no tray" in problem.message
    assert 'buy the plants, sow = "bought plants"' in problem.message
    assert not problems(want("lettuce-butterhead", 'sow = "bought plants"'), tray="")
    assert not problems(want("basil", 'sow = "bought plants"', "sow_at_least = 72"))
    (problem,) = problems(want("chard", 'sow = "in trays"'), tray="")
    assert problem.where.endswith(", sow") and problem.exit == Exit.IMPOSSIBLE


@pytest.mark.parametrize(
    ("line", "words"),
    [
        ('sow = "in trays"\nplace = "Field 1"', "is sown direct"),
        ('sow = "somewhere"', "one of"),
    ],
)
def test_what_a_sowing_cannot_ask(line, words):
    (problem,) = problems(sowing("carrot", line))
    assert problem.where == "[[sowing]] 1 (carrot), sow" and words in problem.message


def test_a_sowing_direct_into_a_channel():
    (problem,) = problems(sowing("chard", 'sow = "direct"\nplace = "Rail"'))
    assert "holes of a channel" in problem.message and problem.exit == Exit.IMPOSSIBLE


DAYS = "from = 2026-12-01\nto = 2027-02-28"
LATER = "from = 2027-03-01\nto = 2027-04-30"


def test_two_wants_of_a_crop_differ_on_days_of_their_own_only():
    one = want("chard", 'sow = "direct"', 'in = "Pots"', DAYS)
    assert not problems(one, want("chard", 'sow = "in trays"', LATER))
    (problem,) = problems(one, want("chard", 'sow = "in trays"', DAYS))
    assert problem.where == "[[want]] 2 (chard), sow"
    assert "[[want]] 1 (chard) wants this crop on the same days" in problem.message
    (problem,) = problems(one, want("chard", 'sow = "direct"'))
    assert problem.where == "[[want]] 2 (chard), in" and problem.found == ""
    assert not problems(one, want("chard", 'in = ["pots"]', 'sow = "direct"', DAYS))
