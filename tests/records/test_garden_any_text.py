"""Whatever is handed over, the answer is a garden or problems in words; never an exception."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sowplan.problem import Exit
from sowplan.records.garden_file import read_garden, read_garden_text

ROOT = Path(__file__).resolve().parents[2]
COURTYARD = (ROOT / "examples/courtyard/garden.toml").read_text(encoding="utf-8")
LINES = COURTYARD.split("\n")


def told(text: str) -> None:
    reading = read_garden_text(text, "g.toml")
    assert (reading.garden is None) == bool(reading.problems)
    for problem in reading.problems:
        assert problem.message and "Traceback" not in problem.message
        assert problem.line is None or 1 <= problem.line <= text.count("\n") + 1
        assert len(str(problem)) < 1000


@settings(deadline=None)
@given(st.text())
def test_any_text(text):
    told(text)


@settings(deadline=None)
@given(st.text(alphabet="[]{}=\"'#.,:-\n ab1\\\t", max_size=80))
def test_any_text_of_the_signs_of_toml(text):
    told(text)


@settings(max_examples=60, deadline=None)
@given(st.integers(0, len(LINES) - 1), st.text(max_size=20))
def test_any_text_in_place_of_a_line(number, text):
    told("\n".join([*LINES[:number], text, *LINES[number + 1 :]]))


@settings(max_examples=60, deadline=None)
@given(st.integers(0, len(LINES) - 1), st.data())
def test_any_value_in_place_of_a_value(number, data):
    value = data.draw(
        st.one_of(
            st.sampled_from(
                "nan inf -inf true 1e400 0x1F 1979-05-27 07:32:00 1979-05-27T07:32:00Z [] {} [[]] "
                "[{}] '' 0 -1 [1,'a',{}] {a=1}".split(" ")
            ),
            st.integers().map(str),
            st.floats().map(str),
            st.text(alphabet="0123456789.,-/ mcftin°CF'xW", max_size=12).map(
                lambda text: '"' + text + '"'
            ),
        )
    )
    line = re.sub(r"=.*$", lambda _: f"= {value}", LINES[number])
    told("\n".join([*LINES[:number], line, *LINES[number + 1 :]]))


@settings(max_examples=40, deadline=None)
@given(st.lists(st.integers(0, len(LINES) - 1), max_size=30))
def test_any_lines_left_out(numbers):
    told("\n".join(line for n, line in enumerate(LINES) if n not in numbers))


@settings(max_examples=40, deadline=None)
@given(st.integers(0, len(COURTYARD)))
def test_any_half_of_a_file(end):
    told(COURTYARD[:end])


@given(st.binary(max_size=200))
def test_any_bytes(tmp_path_factory, raw):
    path = tmp_path_factory.mktemp("any") / "garden.toml"
    path.write_bytes(raw)
    assert read_garden(path).problems


@pytest.mark.parametrize(
    "text", ["[" * 3000, "a = " + "[" * 3000, "a = " + "1" * 5000, "a." * 3000]
)
def test_depths_and_lengths(text):
    told(text)


def test_files_that_are_none(tmp_path):
    (tmp_path / "garden.toml").write_text(COURTYARD, encoding="utf-8")
    (tmp_path / "wide.toml").write_bytes("[site]".encode("utf-16"))
    (tmp_path / "empty.toml").write_text("", encoding="utf-8")
    (tmp_path / "remarks.toml").write_text("# later\n", encoding="utf-8")
    for name, words, line in (
        ("gardn.toml", "Did you mean 'garden.toml'?", None),
        ("", "This is a folder", None),
        ("wide.toml", "UTF-16", None),
        ("empty.toml", "The file is empty", None),
        ("remarks.toml", "The file is empty", None),
        ("no\0name", "cannot be opened", None),
    ):
        (problem,) = read_garden(f"{tmp_path}/{name}").problems
        assert words in problem.message, problem
        assert problem.exit == Exit.UNREADABLE and problem.line == line


def test_what_else_is_wrong_in_a_file_saved_otherwise_is_told_too(tmp_path):
    """Saved as editors of old save it: letters with accents are those of western Europe."""
    garden = tmp_path / "latin.toml"
    text = COURTYARD.replace('name = "Wall box"', 'name = "Jardín"').replace('"90 cm"', '"90"', 1)
    garden.write_bytes(text.encode("cp1252"))
    first, second = read_garden(garden).problems
    number = next(n for n, line in enumerate(text.split("\n"), 1) if not line.isascii())
    assert "not saved as UTF-8" in first.message and first.line == number
    assert not first.found.isascii() and first.found in text.split("\n")[number - 1]
    assert "needs a unit" in second.message and second.found == "90"
    garden.write_bytes(text.replace('"90"', '"90 cm"').encode("cp1252"))
    reading = read_garden(garden)
    assert reading.garden is None and reading.problems == (first,)
