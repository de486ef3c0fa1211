"""Quantities and dates in words: worked out by hand, and against exact definitions of the units."""

from __future__ import annotations

from datetime import date

import pytest

from sowplan.supply import wording as w


@pytest.mark.parametrize(
    ("metres", "metric", "imperial"),
    [
        # 1 in = 25.4 mm exactly (international yard and pound agreement of 1959).
        (0.0254 * 7.5, "19 cm", "7½ in"),
        (0.9, "90 cm", "35½ in"),  # 35.43 in
        (1.2192, "122 cm", "4 ft"),
        (1.4478, "145 cm", "4 ft 9 in"),
        (2.99, "299 cm", "9 ft 9½ in"),  # 117.7 in
        (3.048, "3.05 m", "10 ft"),
        (12.5, "12.5 m", "41 ft"),  # 492.1 in
        (0.125, "13 cm", "5 in"),
        (0.0, "0 cm", "0 in"),
    ],
)
def test_lengths(metres, metric, imperial):
    assert w.length_text(metres, "metric") == metric
    assert w.length_text(metres, "imperial") == imperial


def test_marks_along_a_bed_tell_the_unit_once():
    assert w.lengths_text([0.125, 0.275, 0.425], "metric") == "13, 28 and 43 cm"
    assert w.lengths_text([2.9, 3.1], "metric") == "2.9 and 3.1 m"
    assert w.lengths_text([0.3048, 0.6096], "imperial") == "12 in and 24 in"
    assert w.span_text(0.05, 0.8, "metric") == "5-80 cm"
    assert w.span_text(2.0, 3.25, "metric") == "2-3.25 m"
    assert w.span_text(0.0, 1.8288, "imperial") == "0 in to 6 ft"


@pytest.mark.parametrize(
    ("millimetres", "metric", "imperial"),
    [
        (5, "5 mm deep", "¼ in deep"),  # 0.197 in, nearest eighth 2/8
        (3, "3 mm deep", "⅛ in deep"),
        (12, "1.2 cm deep", "½ in deep"),  # 0.472 in
        (15, "1.5 cm deep", "⅝ in deep"),  # 0.591 in
        (40, "4 cm deep", "1⅝ in deep"),  # 1.575 in
        (100, "10 cm deep", "3⅞ in deep"),  # 3.937 in
        (0, "on the surface", "on the surface"),
    ],
)
def test_sowing_depths(millimetres, metric, imperial):
    assert w.depth_text(millimetres, "metric") == metric
    assert w.depth_text(millimetres, "imperial") == imperial


@pytest.mark.parametrize(
    ("kilograms", "metric", "imperial"),
    [
        # 1 lb = 0.45359237 kg exactly.
        (0.45359237, "450 g", "1 lb"),
        (0.1, "100 g", "4 oz"),  # 3.53 oz
        (0.738, "740 g", "1.6 lb"),
        (0.999, "1 kg", "2.2 lb"),
        (1.44, "1.4 kg", "3.2 lb"),
        (25.2, "25 kg", "56 lb"),
        (0.001, "10 g", "1 oz"),
    ],
)
def test_weights_are_as_coarse_as_a_forecast(kilograms, metric, imperial):
    assert w.weight_text(kilograms, "metric") == metric
    assert w.weight_text(kilograms, "imperial") == imperial


@pytest.mark.parametrize(
    ("amount", "unit", "text"),
    [
        (9.0, "head", "9 heads"),
        (4.8, "bunch", "5 bunches"),
        (2.4, "bunch", "2½ bunches"),
        (1.0, "head", "1 head"),
        (0.5, "bunch", "½ bunch"),
        (0.1, "head", "1 head"),  # nobody cuts a tenth of one
        (1.5, "head", "2 heads"),
        (0.1, "bunch", "½ bunch"),
        (0.0, "head", "0 heads"),
        (30.0, "plants", "30 plants"),
        (1.0, "plants", "1 plant"),
        (2.0, "piece", "2 pieces"),
        (0.0, "kg", "0 kg"),
        (1.2, "kg", "1.2 kg"),
    ],
)
def test_amounts(amount, unit, text):
    assert w.amount_text(amount, unit, "metric") == text


@pytest.mark.parametrize(
    ("numbers", "text"),
    [
        ([1, 2, 3, 4], "holes 1-4"),
        ([5], "hole 5"),
        ([1, 2, 4, 5, 6], "holes 1, 2 and 4-6"),
        ([1, 3, 5, 7], "every second hole from 1 to 7"),
        ([2, 5, 8, 11], "every third hole from 2 to 11"),
        ([1, 3], "holes 1 and 3"),
    ],
)
def test_holes(numbers, text):
    assert w.numbers_text(numbers, "hole") == text
    assert w.numbers_text(numbers[::-1], "hole") == text


def test_names_are_sorted_as_their_numbers_count():
    names = ["Bed 10", "Bed 2", "Bed", "2nd bed", "Bed 2a", "Bed 1"]
    assert sorted(names, key=w.by_number) == [
        "2nd bed", "Bed", "Bed 1", "Bed 2", "Bed 2a", "Bed 10",
    ]  # fmt: skip


def test_dates():
    day = date(2026, 11, 3)
    assert w.day_text(day) == "Tue 3 November"  # a Tuesday by any calendar
    assert w.day_text(day, year=True) == "Tue 3 November 2026"
    assert w.days_text(day, date(2026, 11, 17)) == "3 to 17 November"
    assert w.days_text(date(2026, 12, 28), date(2027, 1, 5)) == "28 December to 5 January"
    assert (
        w.days_text(date(2026, 12, 28), date(2027, 1, 5), year=True)
        == "28 December 2026 to 5 January 2027"
    )
    assert w.days_text(day, day) == "3 November"
    assert w.month_text(day) == "November 2026"


def test_small_words():
    assert w.join_words(["a"]) == "a"
    assert w.join_words(["a", "b", "c"]) == "a, b and c"
    assert w.percent_text(0.004) == "under 1 %"
    assert w.percent_text(0.996) == "over 99 %"
    assert w.percent_text(0.0) == "0 %" and w.percent_text(1.0) == "100 %"
    assert w.percent_text(0.734) == "73 %"
    assert w.one_year_in(0.10) == "one year in 10"
    assert w.one_line(" a\n b\tc ") == "a b c"
    assert [w.every_text(n) for n in (7, 14, 30, 10)] == [
        "a week", "a fortnight", "a month", "every 10 days",
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("step_m", "many", "units", "words"),
    [
        (0.275, 2, "metric", "28 cm"),  # half a centimetre, twice: 1 cm
        (0.2165, 13, "metric", "21.7 cm"),  # 22 would be 4.6 cm too far at the last
        (0.2165, 48, "metric", "21.65 cm"),  # 21.7 would be 2.4 cm
        (0.2, 150, "metric", "20 cm"),
        (0.45, 26, "imperial", "17¾ in"),  # 17.717 in: 0.9 in over; 17½ would be 5.6 in short
        (0.25, 20, "imperial", "9⅞ in"),  # 9.8425 in: 0.65 in over; 9¾ would be 1.9 in short
        (0.04, 30, "imperial", "1 9/16 in"),  # 1.5748 in: 0.4 in short; 1⅝ would be 1.5 in over
        (0.45, 2, "imperial", "17½ in"),  # 0.43 in short
        (0.254, 100, "imperial", "10 in"),
    ],
)
def test_a_step_is_as_fine_as_its_many_repeats_ask_for(step_m, many, units, words):
    assert w.step_text(step_m, many, units) == words


@pytest.mark.parametrize(
    ("names", "told"),
    [
        (["Wall"], "Wall"),
        (["Wall", "Bed 2"], "Wall and Bed 2"),
        (["Bed 1", "Bed 2"], "Bed 1 and Bed 2"),
        (["Bed 1", "Bed 3", "Bed 4"], "Bed 1, 3 and 4"),
        (["Bed 1", "Bed 2", "Bed 3", "Bed 5"], "Bed 1-3 and 5"),
        (["Bed 1", "Bed 2", "Bed 3", "Wall", "Bed 5"], "Bed 1-3, 5; Wall"),
        (["A 9", "B 9", "A 10", "A 11", "B 11"], "A 9-11; B 9, 11"),
        (["Bed 01", "Bed 02", "Bed 3"], "Bed 01, Bed 02 and Bed 3"),
        (["7", "8", "9"], "7, 8 and 9"),
        (["Bed", "Bed 2", "Bed 4"], "Bed; Bed 2, 4"),
        (["Bed 9", "Bed 10", "Bed 8"], "Bed 8-10"),
    ],
)
def test_places_that_differ_by_a_number_are_named_together(names, told):
    assert w.names_text(names) == told
