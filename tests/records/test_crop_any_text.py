"""Whatever a crop table holds, reading it ends in crops or in problems, never in an exception."""

import csv
import io
import math

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from sowplan.records.crop import Crop
from sowplan.records.crop_table import read_crops
from sowplan.records.crop_table.columns import columns, read_cell

SHIPPED, _ = read_crops()
NAMES = [column.name for column in columns()] + ["like"]
few = settings(
    max_examples=60,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)
cell = st.one_of(
    st.text(max_size=12),
    st.sampled_from(["", "-", "yes", "once", "kale", "1", "1e9", "-5", "0.5", "4,5", "nan", "own"]),
    st.floats().map(str),
)


def read(tmp_path, raw):
    path = tmp_path / "any.csv"
    path.write_bytes(raw)
    crops, problems = read_crops(path)
    assert list(crops)[: len(SHIPPED)] == list(SHIPPED)
    for crop in crops.values():
        assert isinstance(crop, Crop)
        for column in columns():
            value = getattr(crop, column.name)
            assert value is not None or not column.required
            if column.low is not None and value is not None:
                assert column.low <= value <= column.high and math.isfinite(value)
    for problem in problems:
        assert problem.file == str(path) and problem.message
    return crops, problems


@few
@given(raw=st.binary(max_size=200))
def test_any_bytes(tmp_path, raw):
    read(tmp_path, raw)


@few
@given(text=st.text(max_size=200))
def test_any_text(tmp_path, text):
    read(tmp_path, text.encode("utf-8", "surrogatepass"))


@few
@given(
    header=st.lists(st.sampled_from(NAMES), min_size=1, max_size=5),
    body=st.lists(st.lists(cell, min_size=1, max_size=6), max_size=4),
    key=st.sampled_from(["radish", "tomato", "new", "zucchini"]),
)
def test_any_cells_under_known_columns(tmp_path, header, body, key):
    text = io.StringIO()
    writer = csv.writer(text)
    writer.writerow(["key", *header])
    writer.writerows([key, *row] for row in body)
    crops, problems = read(tmp_path, text.getvalue().encode("utf-8", "replace"))
    if not problems:
        assert not body or key in crops


@few
@given(crop=st.sampled_from(list(SHIPPED.values())), data=st.data())
def test_a_shipped_row_written_out_reads_back_as_the_same_crop(tmp_path, crop, data):
    """A sheet of the gardener's that repeats shipped cells changes nothing but the source."""
    picked = data.draw(st.lists(st.sampled_from(NAMES[1:-1]), unique=True, min_size=1))
    # The germination cells put the published table aside unless the sheet names it too.
    picked = list(dict.fromkeys([*picked, "emergence_table", "source"]))
    row = {"key": crop.key}
    for name in picked:
        value = getattr(crop, name)
        row[name] = ("yes" if value else "no") if isinstance(value, bool) else value
    text = io.StringIO()
    writer = csv.DictWriter(text, row)
    writer.writeheader()
    writer.writerow(row)
    crops, problems = read(tmp_path, text.getvalue().encode())
    assert problems == []
    assert crops[crop.key] == crop


@given(value=st.floats(allow_nan=False, allow_infinity=False), comma=st.booleans())
@settings(deadline=None)
def test_a_number_reads_back_as_itself_or_is_out_of_range(value, comma):
    column = next(c for c in columns() if c.name == "base_c")
    text = repr(value).replace(".", ",") if comma else repr(value)
    read_value, wrong = read_cell(column, text, decimal_comma=comma)
    inside = column.low <= value <= column.high
    assert (read_value == value and not wrong) if inside else (read_value is None and wrong)
