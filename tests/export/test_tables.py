"""The tables, read back by other readers: the csv module, pandas, openpyxl and zipfile."""

from __future__ import annotations

import csv
import dataclasses
import io
import re
import zipfile
from datetime import date

import openpyxl
import pandas
import pytest

from sowplan.export.tables import tables, to_csv
from sowplan.export.workbook import workbook as to_xlsx
from sowplan.supply.tasks import tasks


@pytest.fixture(scope="module")
def read(sample_plan):
    """Return every table as a list of dicts, read back by the csv module."""
    return {
        t.name: list(csv.DictReader(io.StringIO(to_csv(t).decode()))) for t in tables(sample_plan)
    }


def test_every_row_has_a_cell_a_column(sample_plan):
    for table in tables(sample_plan):
        assert len(set(table.columns)) == len(table.columns)
        assert table.rows
        assert all(len(row) == len(table.columns) for row in table.rows)


def test_plantings_tell_the_plan(sample_plan, read):
    rows = {row["id"]: row for row in read["plantings"]}
    assert len(rows) == len(sample_plan.plantings)
    on = {t["planting"]: t["day"] for t in read["tasks"] if t["kind"] == "clear"}
    for p in sample_plan.plantings:
        row = rows[p.id]
        for name in ("crop", "place", "kind", "tray"):
            assert row[name] == (getattr(p, name) or "")
        for name in ("sow", "emergence", "planting_out", "harvest_start"):
            day = getattr(p, name)
            assert row[name] == (day.isoformat() if day else "")
        # It is cleared on the day of the job, and has nothing more to give then.
        assert p.id not in on or row["cleared"] == on[p.id]
        assert row["harvest_end"] == min(p.harvest_end.isoformat(), row["cleared"])
        assert (int(row["plants"]), int(row["cells"]), int(row["seeds"])) == (
            p.plants, p.cells, p.seeds,
        )  # fmt: skip
        assert row["fixed"] == ("yes" if p.fixed else "no")
        assert float(row["harvest"]) == pytest.approx(sum(x.amount for x in p.lots), abs=0.001)
    # Long bed, strip from 1.35 m inside a margin of 5 cm, 45 cm long.
    assert (rows["radish-1"]["from_m"], rows["radish-1"]["to_m"]) == ("1.4", "1.85")
    assert rows["basil-1"]["slots"] == "13 14 15 16 17 18"
    assert rows["basil-1"]["from_m"] == ""


def test_tasks_and_harvests_are_all_there(sample_plan, read):
    assert [row["id"] for row in read["tasks"]] == [t.id for t in tasks(sample_plan)]
    assert all(row["weekday"] == f"{date.fromisoformat(row['day']):%A}" for row in read["tasks"])
    lots = [(p, lot) for p in sample_plan.plantings for lot in p.lots]
    assert len(read["harvests"]) == len(lots)
    assert sum(float(row["amount"]) for row in read["harvests"]) == pytest.approx(
        sum(lot.amount for _, lot in lots), abs=0.01
    )
    # A butterhead weighs 250 g by the sample's table: nine of them 2.25 kg.
    (row,) = [r for r in read["harvests"] if r["planting"] == "lettuce-butterhead-1"]
    assert (row["amount"], row["unit"], row["weight_kg"]) == ("9", "head", "2.25")


def test_wants_balance(read):
    for row in read["wants"]:
        assert float(row["met"]) + float(row["missing"]) == pytest.approx(float(row["wanted"]))
        assert bool(row["why"]) == (float(row["missing"]) > 0)


def test_water_balances_week_by_week(sample_plan, read):
    assert {row["place"] for row in read["water"]} == {place.name for place in sample_plan.places}
    for row in read["water"]:
        drink, rain, give = (
            float(row[f"{n}_l"]) for n in ("crops_drink", "rain_brings", "to_give")
        )
        assert give == pytest.approx(drink - rain, abs=0.11)
        assert rain == 0 or row["place"] != "Rail"  # a channel under a tunnel
        assert bool(row["reservoir_fillings"]) == (row["place"] == "Long bed")
        if row["reservoir_fillings"]:
            litres = sample_plan.place(row["place"]).reservoir_l
            days = litres * int(row["days"]) / max(drink, 0.01)
            told = row["filling_lasts_days"]
            assert (
                days > 58 if told == "months" else abs(int(told) - days) < 1 + days * 0.05 / drink
            )
    first = [date.fromisoformat(row["week_from"]) for row in read["water"]]
    assert first == sorted(first) and {day.weekday() for day in first} == {0}


def test_imperial_gardens_get_imperial_headers(sample_plan):
    site = dataclasses.replace(sample_plan.site, units="imperial")
    found = {t.name: t for t in tables(dataclasses.replace(sample_plan, site=site))}
    columns = found["plantings"].columns
    assert {"from_ft", "to_ft"} <= set(columns) and "from_m" not in columns
    row = next(row for row in found["plantings"].rows if row[0] == "radish-1")
    assert row[columns.index("from_ft")] == pytest.approx(1.4 / 0.3048, abs=0.001)
    columns = found["harvests"].columns
    (row,) = [r for r in found["harvests"].rows if "lettuce-butterhead-1" in r]
    assert row[columns.index("weight_lb")] == pytest.approx(2.25 / 0.45359237, abs=0.001)
    metric = next(t for t in tables(sample_plan) if t.name == "water")
    at, at_l = found["water"].columns.index("to_give_us_gal"), metric.columns.index("to_give_l")
    for row, row_l in zip(found["water"].rows, metric.rows, strict=True):
        assert row[at] == pytest.approx(row_l[at_l] / 3.785411784, abs=0.07)


def test_csv_is_utf8_with_line_feeds_and_pandas_reads_it(sample_plan):
    for table in tables(sample_plan):
        data = to_csv(table)
        assert b"\r" not in data and data.endswith(b"\n")
        frame = pandas.read_csv(io.BytesIO(data))
        assert list(frame.columns) == list(table.columns)
        assert len(frame) == len(table.rows)


def test_an_imperial_garden_reads_no_kilogram(sample_plan):
    """The pound is 0.45359237 kg (international yard and pound agreement, 1959)."""
    site = dataclasses.replace(sample_plan.site, units="imperial")
    crops = tuple(
        dataclasses.replace(c, harvest_unit="kg") if c.key == "carrot" else c
        for c in sample_plan.crops
    )
    metric = {t.name: t for t in tables(dataclasses.replace(sample_plan, crops=crops))}
    found = {t.name: t for t in tables(dataclasses.replace(sample_plan, site=site, crops=crops))}
    for name, figures in (
        ("plantings", ("harvest",)), ("harvests", ("amount",)), ("wants", ("wanted", "met")),
    ):  # fmt: skip
        seen = 0
        columns = found[name].columns
        for row, old in zip(found[name].rows, metric[name].rows, strict=True):
            assert "kg" not in row
            if "lb" in row and "kg" in old:
                seen += 1
                for at in (columns.index(figure) for figure in figures):
                    assert row[at] == pytest.approx(old[at] / 0.45359237, abs=0.002)
        assert seen, name
        assert not any("kg" in column for column in columns)


AWKWARD = 'Bed "A", north;\nby the wall 🥕'


def renamed(plan, name: str):
    old = plan.places[0].name
    return dataclasses.replace(
        plan,
        places=(dataclasses.replace(plan.places[0], name=name), *plan.places[1:]),
        plantings=tuple(
            dataclasses.replace(p, place=name) if p.place == old else p for p in plan.plantings
        ),
    )


def test_awkward_names_come_back_whole(sample_plan):
    """RFC 4180, section 2, rules 5 to 7: fields with breaks, quotes and commas are quoted."""
    plan = renamed(sample_plan, AWKWARD)
    rows = list(csv.DictReader(io.StringIO(to_csv(tables(plan)[0]).decode(), newline="")))
    assert {row["place"] for row in rows} == {place.name for place in plan.places}


@pytest.fixture(scope="module")
def workbook(sample_plan) -> bytes:
    return to_xlsx(sample_plan)


def test_workbook_has_every_table(sample_plan, workbook):
    book = openpyxl.load_workbook(io.BytesIO(workbook))
    assert book.sheetnames == ["Plantings", "Tasks", "Harvests", "Wants", "Seeds", "Water"]
    for table, sheet in zip(tables(sample_plan), book.worksheets, strict=True):
        rows = list(sheet.iter_rows(values_only=True))
        assert rows[0] == table.columns
        assert len(rows) == len(table.rows) + 1
        assert sheet.freeze_panes == "A2" and sheet["A1"].font.bold
    frame = pandas.read_excel(io.BytesIO(workbook), sheet_name="Plantings")
    assert list(frame["sow"].dt.date) == [p.sow for p in sample_plan.plantings]
    assert list(frame["plants"]) == [p.plants for p in sample_plan.plantings]


def test_workbook_bytes_know_nothing_of_the_clock(sample_plan, workbook):
    """No date inside but the season's start, nor a zip entry of another day than its first."""
    with zipfile.ZipFile(io.BytesIO(workbook)) as file:
        assert file.testzip() is None
        assert {info.date_time for info in file.infolist()} == {(1980, 1, 1, 0, 0, 0)}
        core = file.read("docProps/core.xml").decode()
    assert set(re.findall(r"\d{4}-\d\d-\d\dT[\d:]+Z", core)) == {"2026-09-01T00:00:00Z"}
    assert to_xlsx(sample_plan) == workbook


def test_a_name_is_never_a_formula_and_control_characters_do_no_harm(sample_plan):
    book = openpyxl.load_workbook(io.BytesIO(to_xlsx(renamed(sample_plan, "=1+1\x07"))))
    sheet = book["Plantings"]
    place = [cell.value for cell in sheet[1]].index("place")
    cells = [row[place] for row in sheet.iter_rows(min_row=2)]
    assert book.properties.title == "Quince Yard"
    assert all(cell.data_type == "s" for cell in cells)
    assert "=1+1" in {cell.value for cell in cells}
