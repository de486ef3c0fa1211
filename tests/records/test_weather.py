"""Weather records: what is read, and what is told of a record that is not whole."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from vega_datasets import data

from sowplan.records.weather import read_weather


def rows(days: int = 365, first: date = date(2014, 1, 1)) -> list[str]:
    return [f"{first + timedelta(days=n)},{n % 9},{10 + n % 9},{n % 3}" for n in range(days)]


@pytest.fixture
def record(tmp_path):
    """Write lines to a file and read them."""

    def read(lines, *units):
        path = tmp_path / "weather.csv"
        path.write_text("\n".join(lines) + "\n", encoding="utf-8")
        return read_weather(path, *units)

    return read


def test_a_whole_year(record):
    days, problems = record(["date,tmin,tmax,rain", *rows()])
    assert problems == []
    assert len(days) == 365
    assert (days[10].day, days[10].tmin, days[10].tmax, days[10].rain) == (
        date(2014, 1, 11),
        1.0,
        11.0,
        1.0,
    )


def test_seattle_as_it_is_published(record):
    """Daily weather of Seattle, NOAA, in the package vega_datasets; columns as they come there."""
    table = data.seattle_weather()
    path = record(["date"])  # any file: the table is written over it below
    assert path[0] == ()
    lines = table.assign(date=table["date"].dt.strftime("%Y-%m-%d")).to_csv(index=False)
    days, problems = record(lines.splitlines())
    assert problems == []
    assert len(days) == len(table) == 1461
    assert days[0].tmin == table["temp_min"].iloc[0]
    assert sum(day.rain for day in days) == pytest.approx(table["precipitation"].sum())


def test_a_leap_year_and_rows_in_any_order(record):
    lines = rows(366, date(2016, 1, 1))
    days, problems = record(["date,tmin,tmax,rain", *reversed(lines)])
    assert problems == []
    assert [d.day for d in days] == [date(2016, 1, 1) + timedelta(days=n) for n in range(366)]


def test_fahrenheit_by_heading_or_by_key(record):
    lines = [f"{row.split(',')[0]},50,68,1" for row in rows()]
    for days, problems in (
        record(["date,tmin_f,tmax_f,rain_in", *lines]),
        record(["Date,TMIN (°F),TMAX (°F),PRCP (in)", *lines]),
        record(["date,tmin,tmax,rain", *lines], "F", "in"),
    ):
        assert problems == []
        assert (days[0].tmin, days[0].tmax, days[0].rain) == pytest.approx((10.0, 20.0, 25.4))


def test_semicolons_and_decimal_commas(record):
    lines = [f"{row.split(',')[0]};1,5;12,5;" for row in rows()]
    days, problems = record(["date;tmin;tmax;rain", *lines])
    assert problems == []
    assert (days[0].tmin, days[0].tmax, days[0].rain) == (1.5, 12.5, None)


def test_a_gap(record):
    lines = ["date,tmin,tmax,rain", *rows(400)]
    del lines[20:24]  # lines 21 to 24 of the file: 20 to 23 January
    days, (problem,) = record(lines)
    assert days == ()
    assert problem.line == 21 and problem.found == "2014-01-24"
    assert "2014-01-20 to 2014-01-23 (4 days) are missing" in problem.message


def test_a_day_twice(record):
    lines = ["date,tmin,tmax,rain", *rows()]
    lines.insert(30, lines[29])
    _, (problem,) = record(lines)
    assert (problem.line, problem.where, problem.found) == (31, "date", "2014-01-29")
    assert "first on line 30" in problem.message


@pytest.mark.parametrize(
    ("cells", "where", "found", "words"),
    [
        ("2014-01-05,x,12,0", "tmin", "x", "tmin is a number"),
        ("2014-01-05,3.1C,12,0", "tmin", "3.1C", "and nothing else"),
        ('2014-01-05,"3,1",12,0', "tmin", "3,1", "Decimals have a point"),
        ("2014-01-05,,12,0", "tmin", "", "tmin is blank"),
        ("2014-01-05,14,12,0", "tmin", "tmin 14, tmax 12", "above tmax"),
        ("2014-01-05,4,-9999,0", "tmax", "-9999", "between -90 and 60 °C"),
        ("2014-01-05,4,88,0", "tmax", "88", 'temperature_unit = "F"'),
        ("2014-01-05,4,12,-1", "rain", "-1", "between 0 and"),
        ("2014-01-05,4,12,T", "rain", "T", "rain is a number"),
        ("05/01/2014,4,12,0", "date", "05/01/2014", "year-month-day"),
        ("2014-02-30,4,12,0", "date", "2014-02-30", "has 28 days"),
        ("yesterday,4,12,0", "date", "yesterday", "year-month-day"),
    ],
)
def test_one_row_wrong(record, cells, where, found, words):
    lines = ["date,tmin,tmax,rain", *rows()]
    lines[5] = cells
    days, (problem,) = record(lines)
    assert days == ()
    assert (problem.line, problem.where, problem.found) == (6, where, found)
    assert words in problem.message


def test_of_many_alike_the_first_and_their_number(record):
    lines = [row.replace("-", "/", 2) for row in rows()]
    day_first = [f"{r[8:10]}/{r[5:7]}/{r[:4]}{r[10:]}" for r in lines]
    _, problems = record(["date,tmin,tmax,rain", *day_first])
    assert [p.line for p in problems] == [2, 3, 4]
    assert "So in 362 more rows" in problems[-1].message


def test_less_than_a_year(record):
    _, (problem,) = record(["date,tmin,tmax", *(r.rsplit(",", 1)[0] for r in rows(364))])
    assert "one whole year" in problem.message and "covers 364" in problem.message


@pytest.mark.parametrize(
    ("header", "words"),
    [
        ("date,tmin,tmaxx,rain", "Should 'tmaxx' be 'tmax'?"),
        ("date,low,high,rain", "'tmin' and 'tmax' are not there"),
        ("2013-12-31,3,12,0", "'date' and 'tmin' and 'tmax' are not there"),
    ],
)
def test_a_header_that_lacks_a_column(record, header, words):
    _, (problem,) = record([header, *rows()])
    assert (problem.line, problem.where) == (1, "header")
    assert words in problem.message


@pytest.mark.parametrize("lines", [[], [""], ["date,tmin,tmax"]])
def test_nothing_in_it(record, lines):
    days, problems = record(lines)
    assert days == () and len(problems) == 1
