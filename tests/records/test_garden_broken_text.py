"""Broken TOML: each test's docstring is the file; every break is named, and the rest is read on."""

from __future__ import annotations

import inspect
from datetime import date

import pytest

from sowplan.problem import Exit
from sowplan.records.toml.text import read_toml


@pytest.fixture
def document(request):
    """Read the docstring of the test that asks."""
    return read_toml(inspect.cleandoc(request.function.__doc__), "g.toml")


def told(document):
    return [(p.line, p.where, p.found) for p in document.problems]


def test_text_without_quotes(document):
    """
    [[bed]]
    name = Long bed
    length = 1.8 m   # inside the boards
    """
    assert told(document) == [
        (2, "[[bed]] 1, name", "name = Long bed"),
        (3, "[[bed]] 1, length", "length = 1.8 m   # inside the boards"),
    ]
    assert 'name = "Long bed"' in document.problems[0].message
    assert document.values == {"bed": [{"name": "Long bed", "length": "1.8 m"}]}
    assert all(p.exit == Exit.UNREADABLE for p in document.problems)


def test_decimal_comma(document):
    """
    [site]
    latitude = -41,3
    """
    assert told(document) == [(2, "[site], latitude", "latitude = -41,3")]
    assert "latitude = -41.3" in document.problems[0].message
    assert document.values == {"site": {"latitude": -41.3}}


def test_curly_quotes(document):
    """
    [site]
    name = “Home”
    """
    assert told(document) == [(2, "[site], name", "name = “Home”")]
    assert "straight" in document.problems[0].message
    assert document.values == {"site": {"name": "Home"}}


def test_curly_quotes_in_a_list(document):
    """
    sow_on = [“Saturday”, “Sunday”]
    away = [[2027-02-06, 2027-02-14, “watered”]]
    """
    assert [line for line, *_ in told(document)] == [1, 2]
    assert all("straight" in problem.message for problem in document.problems)
    gone = [date(2027, 2, 6), date(2027, 2, 14), "watered"]
    assert document.values == {"sow_on": ["Saturday", "Sunday"], "away": [gone]}


def test_a_curly_mark_within_a_name_stays(document):
    """
    tmin = [1, 2
    in = ["Ann’s bed"]
    """
    assert [line for line, *_ in told(document)] == [1]
    assert document.values == {"tmin": [1, 2], "in": ["Ann’s bed"]}


def test_a_closing_quote_forgotten(document):
    """
    [site]
    name = "Home
    latitude = 3
    """
    assert told(document) == [(2, "[site], name", 'name = "Home')]
    assert "closing quote" in document.problems[0].message
    assert document.values == {"site": {"name": "Home", "latitude": 3}}


def test_quotes_within_quotes(document):
    """
    name = "the "long" bed"
    """
    assert told(document) == [(1, "name", 'name = "the "long" bed"')]
    assert document.values == {"name": "the 'long' bed"}


def test_a_colon_for_the_sign(document):
    """
    units: metric
    """
    assert told(document) == [(1, "", "units: metric")]
    assert 'units = "metric"' in document.problems[0].message
    assert document.values == {"units": "metric"}


def test_a_heading_half_closed(document):
    """
    [site
    name = "Home"
    [[bed]
    name = "Bed"
    """
    assert [(line, found) for line, _, found in told(document)] == [(1, "[site"), (3, "[[bed]")]
    assert document.values == {"site": {"name": "Home"}, "bed": [{"name": "Bed"}]}


def test_beds_in_single_brackets(document):
    """
    [bed]
    name = "One"

    [bed]
    name = "Two"
    """
    assert told(document) == [(4, "[bed]", "[bed]")]
    assert "[[bed]]" in document.problems[0].message
    assert document.values == {"bed": [{"name": "One"}, {"name": "Two"}]}


def test_a_key_twice(document):
    """
    [season]
    start = 2026-09-01
    start = 2026-10-01
    """
    assert told(document) == [(3, "[season], start", "start = 2026-10-01")]
    assert "first on line 2" in document.problems[0].message


def test_a_table_twice(document):
    """
    [site]
    name = "Home"
    [season]
    [site]
    latitude = 3
    """
    assert told(document) == [(4, "[site]", "[site]")]
    assert "first on line 1" in document.problems[0].message


def test_no_such_day(document):
    """
    [season]
    end = 2027-02-30
    """
    assert told(document) == [(2, "[season], end", "end = 2027-02-30")]
    assert "no such day" in document.problems[0].message
    assert document.left_out == {2}


def test_a_day_without_its_noughts_is_read_all_the_same(document):
    """
    start = 2026-9-1
    """
    assert told(document) == [(1, "start", "start = 2026-9-1")]
    assert document.values == {"start": date(2026, 9, 1)}
    assert "start = 2026-09-01" in document.problems[0].message


def test_a_list_without_commas(document):
    """
    tmin = [12 12.5 10]
    sow_on = [Saturday, Sunday]
    """
    assert [line for line, *_ in told(document)] == [1, 2]
    assert "[12, 12.5, 10]" in document.problems[0].message
    assert document.values == {"tmin": [12, 12.5, 10], "sow_on": ["Saturday", "Sunday"]}


def test_one_comma_forgotten_and_text_within_pairs(document):
    """
    tmin = [12 12.5, 10]
    away = [[2027-02-06, 2027-02-14, watered], [2027-04-01, 2027-04-03]]
    """
    assert [line for line, *_ in told(document)] == [1, 2]
    assert "Perhaps: [12, 12.5, 10]." in document.problems[0].message
    gone = [[date(2027, 2, 6), date(2027, 2, 14), "watered"], [date(2027, 4, 1), date(2027, 4, 3)]]
    assert document.values == {"tmin": [12, 12.5, 10], "away": gone}


def test_a_list_never_closed(document):
    """
    tmin = [12, 12,
            10, 7   # autumn
    tmax = [24, 25, 22, 19]
    """
    assert told(document) == [(1, "tmin", "tmin = [12, 12,")]
    assert "no ]" in document.problems[0].message
    assert document.values == {"tmin": [12, 12, 10, 7], "tmax": [24, 25, 22, 19]}


def test_a_remark_of_another_kind(document):
    """
    // my garden
    units = "metric"
    """
    assert told(document) == [(1, "", "// my garden")]
    assert "begins with #" in document.problems[0].message


def test_prose(document):
    """
    units = "metric"
    This is my garden.
    """
    assert told(document) == [(2, "", "This is my garden.")]
    assert document.left_out == {2}


def test_nothing_after_the_sign(document):
    """
    [site]
    name =
    """
    assert told(document) == [(2, "[site], name", "name =")]


def test_a_key_of_two_words(document):
    """
    [season]
    sow on = ["Saturday"]
    """
    assert told(document) == [(2, "[season], sow on", 'sow on = ["Saturday"]')]
    assert document.values == {"season": {"sow_on": ["Saturday"]}}


def test_a_folder_with_backslashes(document):
    r"""
    crops = "C:\garden\own.csv"
    """
    assert told(document) == [(1, "crops", r'crops = "C:\garden\own.csv"')]
    assert document.values == {"crops": "C:/garden/own.csv"}


def test_numbers_in_other_clothes(document):
    """
    a = .5
    b = 5.
    c = 08
    """
    assert [line for line, *_ in told(document)] == [1, 2, 3]
    assert document.values == {"a": 0.5, "b": 5, "c": 8}


def test_one_bed_in_single_brackets_among_others(document):
    """
    [bed]
    name = "Long bed"
    length = "1.8 m"

    [[bed]]
    name = "Short bed"
    length = "1 m"
    """
    assert told(document) == [(1, "[bed]", "[bed]")]
    assert "[[bed]]" in document.problems[0].message
    assert [bed["name"] for bed in document.values["bed"]] == ["Long bed", "Short bed"]


def test_the_last_bed_in_single_brackets(document):
    """
    [[bed]]
    name = "Long bed"

    [bed]
    name = "Short bed"
    """
    assert told(document) == [(4, "[bed]", "[bed]")]
    assert [bed["name"] for bed in document.values["bed"]] == ["Long bed", "Short bed"]


def test_a_day_last_to_first(document):
    """
    [season]
    start = 30/11/2026
    end = 29.11.2027   # a year later
    """
    assert told(document) == [
        (2, "[season], start", "start = 30/11/2026"),
        (3, "[season], end", "end = 29.11.2027   # a year later"),
    ]
    assert "start = 2026-11-30" in document.problems[0].message
    assert {k: str(v) for k, v in document.values["season"].items()} == {
        "start": "2026-11-30",
        "end": "2027-11-29",
    }


def test_a_day_that_may_be_either_is_asked_for_and_not_guessed(document):
    """
    [season]
    start = 3/4/2027
    end = 31/31/2027
    """
    either, none = document.problems
    assert "2027-03-04 or 2027-04-03" in either.message
    assert "no such day" in none.message
    assert document.values == {"season": {}}
