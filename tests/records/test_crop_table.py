"""The shipped crop table, row by row against its schema, and the schema against the class."""

import dataclasses
import typing

from sowplan.records import tables
from sowplan.records.crop import Crop
from sowplan.records.crop_table import emergence_tables, read_crops, sources
from sowplan.records.crop_table import read as crop_table
from sowplan.records.crop_table.columns import columns, read_cell
from sowplan.records.crop_table.names import other_names

CROPS, PROBLEMS = read_crops()
SHEET, SHEET_PROBLEMS = tables.read_table(tables.crops_folder() / "crops.csv")


def test_the_shipped_table_has_no_problem():
    assert PROBLEMS == []
    assert SHEET_PROBLEMS == []


def test_it_has_the_kitchen_garden_in_all_its_groups():
    by_group = {}
    for crop in CROPS.values():
        by_group.setdefault(crop.group, set()).add(crop.key)
    assert len(CROPS) >= 45
    assert set(by_group) == set(next(c for c in columns() if c.name == "group").choices)
    lettuces = {key.removeprefix("lettuce-") for key in CROPS if key.startswith("lettuce-")}
    assert {"butterhead", "crisphead", "romaine", "loose-leaf", "baby-leaf"} <= lettuces
    leaves = "rocket spinach chard pak-choi tatsoi mizuna komatsuna mustard-greens lambs-lettuce"
    assert set(leaves.split()) <= by_group["leaf"]
    hot = {"amaranth", "malabar-spinach", "kang-kong", "new-zealand-spinach", "yardlong-bean"}
    assert hot <= set(CROPS)
    assert len(by_group["herb"]) >= 5
    assert min(map(len, by_group.values())) >= 5


def test_the_class_has_the_columns_of_the_schema_in_their_order():
    fields = [f.name for f in dataclasses.fields(Crop)]
    derived = ["emergence_c", "emergence_table_days", "table_gap_months"]
    assert fields == [c.name for c in columns()] + derived


def test_the_class_has_the_types_of_the_schema():
    kinds = {"number": float, "integer": int, "text": str, "key": str, "keys": str}
    for column in columns():
        hint = typing.get_type_hints(Crop)[column.name]
        args = typing.get_args(hint)
        optional = type(None) in args
        if column.type == "choice" and column.choices == ("yes", "no"):
            assert hint is bool
        elif column.type == "choice":
            literal = next((a for a in args if typing.get_args(a)), hint) if optional else hint
            assert typing.get_args(literal) == column.choices, column.name
        else:
            bare = next(a for a in args if a is not type(None)) if optional else hint
            assert bare is kinds[column.type], column.name
        if column.name not in ("note", "also"):
            assert optional == (not column.required), column.name


def test_every_cell_of_every_row_keeps_to_the_schema():
    for row in SHEET.rows:
        for column in columns():
            text = row.cells[column.name]
            place = f"{row.cells['key']}, {column.name}: {text}"
            if not text:
                assert not column.required, place
                continue
            _, wrong = read_cell(column, text)
            assert wrong == "", f"{place}: {wrong}"
            if column.low is not None:
                assert column.low <= float(text) <= column.high, place
            if column.choices:
                assert text in column.choices, place


def test_ranges_are_narrow_enough_to_mean_something():
    for column in columns():
        if column.type in ("number", "integer"):
            assert column.low is not None and column.high is not None, column.name
            assert column.low < column.high, column.name
            values = [getattr(c, column.name) for c in CROPS.values()]
            used = [v for v in values if v is not None]
            assert used, f"{column.name} is never used"


def test_the_sheet_is_one_line_a_crop_and_plain_to_any_spreadsheet():
    raw = (tables.crops_folder() / "crops.csv").read_bytes()
    assert raw.count(b"\n") == len(CROPS) + 1
    assert b"\r" not in raw
    assert not raw.startswith(b"\xef\xbb\xbf")
    assert list(CROPS) == [row.cells["key"] for row in SHEET.rows]
    for row in SHEET.rows:
        assert not any(cell.startswith(("=", "+", "@")) for cell in row.cells.values())


def test_names_are_plain_and_no_two_crops_share_one():
    names = [name.casefold() for crop in CROPS.values() for name in (crop.name, *other_names(crop))]
    assert len(names) == len(set(names))


def test_every_source_is_explained_and_used():
    used = {key for crop in CROPS.values() for key in crop.source.split()}
    assert used | {"own"} == set(sources())
    known = {c.name for c in columns()}
    for source in sources().values():
        assert source.kind in ("published", "common practice", "from memory", "own")
        assert source.title and source.about and source.taken
        assert set(source.columns) <= known


def test_emergence_tables_are_whole():
    for key, (temperatures, days) in emergence_tables().items():
        assert len(temperatures) == len(days) >= 3, key
        assert list(temperatures) == sorted(set(temperatures)), key
    used = {crop.emergence_table for crop in CROPS.values()} - {None}
    assert used == set(emergence_tables())


def test_a_crop_carries_the_emergence_table_it_names():
    assert CROPS["tomato"].emergence_c == (0, 5, 10, 15, 20, 25, 30, 35, 40)
    never = float("inf")
    assert CROPS["tomato"].emergence_table_days == (never, never, 43, 14, 8, 6, 6, 9, never)
    assert CROPS["basil"].emergence_c == CROPS["basil"].emergence_table_days == ()


def test_reading_twice_gives_equal_crops_and_separate_dicts():
    again, _ = read_crops()
    assert again == CROPS
    again.pop("radish")
    assert "radish" in read_crops()[0]


def test_the_tables_are_found_in_the_package_first(tmp_path, monkeypatch):
    package = tmp_path / "lib" / "sowplan"
    (package / "records").mkdir(parents=True)
    monkeypatch.setattr(tables, "__file__", str(package / "records" / "tables.py"))
    tables.crops_folder.cache_clear()
    try:
        assert tables.crops_folder() == tmp_path / "lib" / "crops"
        (package / "crops").mkdir()
        (package / "crops" / "columns.csv").write_text("column\n")
        tables.crops_folder.cache_clear()
        assert tables.crops_folder() == package / "crops"
    finally:
        tables.crops_folder.cache_clear()


def test_a_damaged_shipped_table_is_a_problem_and_not_a_crash(tmp_path, monkeypatch):
    for name in ("columns.csv", "sources.csv", "emergence_days.csv", "crops.csv"):
        (tmp_path / name).write_bytes((tables.crops_folder() / name).read_bytes())
    text = (tmp_path / "crops.csv").read_text(encoding="utf-8")
    head, radish = text.splitlines()[0], next(x for x in text.splitlines() if x[:7] == "radish,")
    (tmp_path / "crops.csv").write_text(f"{head}\n{radish.replace('direct', '')}\n", "utf-8")
    monkeypatch.setattr(crop_table, "crops_folder", lambda: tmp_path)
    crop_table._shipped.cache_clear()
    try:
        crops, problems = read_crops()
        assert crops == {}
        assert [(p.line, p.where) for p in problems] == [(2, "crop 'radish', row")]
        assert "start" in problems[0].message
    finally:
        crop_table._shipped.cache_clear()
