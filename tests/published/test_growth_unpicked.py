"""What a plant left unpicked does: which crops stop, and how soon they give again once cleared.

Encyclopaedia Britannica, article "vegetable farming", table of market maturity, gives the age of
the fruit when it is picked [d]; a plant that sets anew needs so long from its flowers on. Oregon
State University Extension Service (2010, on when to pick vegetables): regular picking has sugar
peas, cucumbers, squash, bush beans and broccoli produce more; a few ripe fruits on a cucumber plant
stop new fruit from setting, and a courgette that is let go to seed makes no more.
"""

import pytest

from sowplan.records.crop_table import read_crops

CROPS, _ = read_crops()

FRUIT_AGE = {
    "bean": ((7, 10), ("bush-bean", "climbing-bean", "runner-bean")),
    "cucumber": ((5, 20), ("cucumber", "gherkin")),
    "okra": ((4, 7), ("okra",)),
    "pea": ((10, 15), ("pea", "sugar-pea")),
    "summer squash": ((3, 7), ("courgette",)),
}


@pytest.mark.parametrize("fruit", FRUIT_AGE)
def test_a_cleared_plant_gives_again_after_the_age_of_its_fruit(fruit):
    (low, high), ours = FRUIT_AGE[fruit]
    for key in ours:
        assert low <= CROPS[key].unpicked_days <= high, key
        assert "fruit-age" in CROPS[key].source.split()


def test_those_that_must_be_kept_picked_are_the_published_ones():
    for key in ("sugar-pea", "cucumber", "courgette", "bush-bean", "broccoli"):
        assert CROPS[key].unpicked_days is not None, key
    # Ripe tomatoes and strawberries rot on the plant, which goes on (from memory); leaf that is
    # picked is no fruit.
    for key in ("tomato", "strawberry", "kale", "new-zealand-spinach"):
        assert CROPS[key].harvest == "pick" and CROPS[key].unpicked_days is None, key
