"""What is wrong in a gardener's crop table is named, all of it, where it stands."""

import pytest

from sowplan.problem import Exit, exit_code
from sowplan.records.crop_table import read_crops

SHIPPED, _ = read_crops()


@pytest.fixture
def broken(tmp_path):
    """Write a table and return its problems; the file is named as the user did."""

    def write(text):
        path = tmp_path / "mine.csv"
        path.write_bytes(text.encode("utf-8") if isinstance(text, str) else text)
        crops, problems = read_crops(path)
        assert problems
        assert all(p.file == str(path) for p in problems)
        for key in SHIPPED:
            assert key in crops
        return problems

    return write


CELLS = [
    ("spacing_cm", "wide", "a number from 1 to 200 (cm)"),
    ("spacing_cm", "5 cm", "the number alone: the unit is in the column's name"),
    ("spacing_cm", "500", "from 1 to 200 (cm)"),
    ("spacing_cm", "0", "from 1 to 200 (cm)"),
    ("spacing_cm", "-5", "from 1 to 200 (cm)"),
    ("spacing_cm", "nan", "a number from 1 to 200"),
    ("spacing_cm", "1e400", "a number from 1 to 200"),
    ("spacing_cm", "1_0", "a number from 1 to 200"),
    ("spacing_cm", '"4,5"', "with a decimal point: 4.5"),
    ("seeds_per_cell", "2.5", "a whole number from 1 to 12"),
    ("start", "rased", "Did you mean 'raised'?"),
    ("channel", "maybe", "one of yes, no"),
    ("harvest", "all", "one of once, cut, pick"),
    ("family", "cabbages", "Latin family"),
    ("emergence_table", "radich", "There is no such row of emergence_days.csv"),
    ("source", "bok", "is not a row of sources.csv"),
    ("name", "-", "This is needed"),
    ("picking_days", "12", "harvest = pick alone"),
    ("bolt_effect", "-", "belong together"),
    ("start", "raised", "A crop with start = raised needs this."),
    ("maturity_from", "transplanting", "always sown direct counts from sowing"),
    ("like", "raddish", "Did you mean 'radish'?"),
]


@pytest.mark.parametrize(("column", "cell", "right"), CELLS, ids=lambda x: str(x)[:20])
def test_a_wrong_cell_of_a_known_crop(broken, column, cell, right):
    problems = broken(f"key,height_m,{column}\nkale,0.6,\nradish,0.2,{cell}\n")
    assert any(right in p.message for p in problems), problems
    assert all(p.line == 3 and p.where.startswith("crop 'radish', ") for p in problems)
    assert exit_code(problems) == Exit.WRONG


def test_a_reference_temperature_must_let_the_crop_grow(broken):
    radish = SHIPPED["radish"]
    (problem,) = broken(f"key,maturity_temp_c\nradish,{radish.ceiling_c:g}\n")
    assert f"above {radish.base_c:g} and below {radish.ceiling_c:g} °C" in problem.message


def test_the_optimum_must_be_above_the_base(broken):
    base = SHIPPED["bush-bean"].base_c
    problems = broken(f"key,optimum_c\nbush-bean,{base:g}\n")
    assert any(f"above base_c ({base:g} °C)" in p.message for p in problems)


def test_the_offending_text_is_shown(broken):
    (problem,) = broken("key,spacing_cm\nradish,5 cm\n")
    assert problem.found == "5 cm"
    assert problem.where == "crop 'radish', spacing_cm"
    assert str(problem).endswith("(found: 5 cm)")


def test_a_row_with_something_wrong_leaves_the_crop_as_it_was(tmp_path):
    path = tmp_path / "mine.csv"
    path.write_text("key,spacing_cm,height_m\nradish,5,99\nkale,44,\n", encoding="utf-8")
    crops, problems = read_crops(path)
    assert len(problems) == 1
    assert crops["radish"] == SHIPPED["radish"]
    assert crops["kale"].spacing_cm == 44.0


def test_all_problems_come_at_once_and_in_order(broken):
    problems = broken(
        "key,spacing_cm,maturty_days,spacing_cm\n"
        "radish,wide,5,\n"
        "radish,5,5,\n"
        ",5,,\n"
        "oca,5,,\n"
        "kale,5,,,12\n"
    )
    assert [p.line for p in problems] == [1, 1, 2, 3, 4, 5, 6]
    text = "\n".join(map(str, problems))
    assert "Did you mean 'maturity_days'?" in text
    assert "The column stands twice" in text
    assert "on line 2" in text
    assert "The row has no key" in text
    assert "no crop of that key to change" in text
    assert "The row has 5 cells, the header 4" in text


def test_lines_are_counted_through_cells_of_many_lines(broken):
    (problem,) = broken('key,note,spacing_cm\nkale,"one\ntwo\nthree",\n\nradish,,wide\n')
    assert problem.line == 6


def test_lines_are_counted_past_a_separator_line(broken):
    (problem,) = broken("sep=;\nkey;spacing_cm\nradish;wide\n")
    assert problem.line == 3


def test_a_header_problem_names_the_header_s_line(broken):
    (problem,) = broken("# my crops\n\nkey,spaceing_cm\nradish,5\n")
    assert problem.line == 3
    assert "Did you mean 'spacing_cm'?" in problem.message


def test_a_new_crop_says_what_it_lacks_and_what_might_be_meant(broken):
    (problem,) = broken("key,spacing_cm\nraddish,5\n")
    assert "Did you mean 'radish'?" in problem.message
    assert "'like'" in problem.message
    (problem,) = broken("key,spacing_cm\nzucchini,5\n")
    assert "Here it goes by 'courgette'." in problem.message


def test_like_must_not_point_down_the_table(broken):
    (problem,) = broken("key,like\nmine,yours\nyours,kale\n")
    assert "further down" in problem.message
    assert (problem.line, problem.found) == (2, "yours")


def test_a_cut_crop_needs_its_cuts(broken):
    problems = broken("key,harvest\nradish,cut\n")
    assert {p.where for p in problems} == {"crop 'radish', cuts", "crop 'radish', regrowth_days"}


def test_keys_are_plain(broken):
    (problem,) = broken("key,like\nMy Kale,kale\n")
    assert "lower-case letters, digits and hyphens" in problem.message


def test_no_key_column(broken):
    problems = broken("crop,spacing_cm\nradish,5\n")
    assert any("needs a column 'key'" in p.message for p in problems)


@pytest.mark.parametrize(
    ("raw", "says"),
    [
        (b"", "empty"),
        (b"\n\n,,\n", "empty"),
        (b"PK\x03\x04 sheet", "spreadsheet's own format"),
        ("key,name\n".encode("utf-16"), "UTF-16"),
        ("key,note\nradish,grün\n".encode("latin-1"), "UTF-8"),
        (b"key,na\0me\n", "not a text file"),
        (b'key,note\nradish,"open\n' + b"x" * 140_000, "stray quotation mark"),
    ],
    ids="nothing blank sheet utf16 latin1 nul quote".split(),
)
def test_what_is_no_table_is_unreadable(broken, raw, says):
    problems = broken(raw)
    assert says in problems[0].message
    assert exit_code(problems) == Exit.UNREADABLE


def test_a_missing_file_and_a_folder_are_unreadable(tmp_path):
    for path in (tmp_path / "none.csv", tmp_path):
        crops, problems = read_crops(path)
        assert crops == SHIPPED
        assert [p.exit for p in problems] == [Exit.UNREADABLE]
