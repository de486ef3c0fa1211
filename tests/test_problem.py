"""Problems as values: their order, their words, the exit code."""

from __future__ import annotations

from sowplan.problem import Exit, Problem, did_you_mean, exit_code, in_reading_order


def test_as_text_the_place_comes_first_and_what_was_found_last():
    problem = Problem("g.toml", 7, "[[bed]] 2 (Long), width", "1.2", "width needs a unit.")
    assert str(problem) == "g.toml:7: [[bed]] 2 (Long), width: width needs a unit. (found: 1.2)"
    assert str(Problem("g.toml", None, "", "", "No such file.")) == "g.toml: No such file."
    assert str(Problem("", None, "", "", "Nothing.")) == "Nothing."


def test_as_plain_values():
    values = Problem("g.toml", 7, "[site]", "x", "No.", Exit.IMPOSSIBLE).as_dict()
    assert values == {
        "file": "g.toml",
        "line": 7,
        "where": "[site]",
        "found": "x",
        "message": "No.",
        "exit": 5,
    }


def test_reading_order_is_by_file_then_line_and_none_comes_first():
    problems = [Problem(f, n, "", "", "m") for f, n in (("b", 1), ("a", 9), ("a", None), ("a", 2))]
    ordered = [(p.file, p.line) for p in in_reading_order(problems)]
    assert ordered == [("a", None), ("a", 2), ("a", 9), ("b", 1)]


def test_the_exit_code_is_of_the_gravest_class():
    def problem(code):
        return Problem("g", 1, "", "", "m", code)

    assert exit_code([]) == Exit.OK == 0
    assert exit_code([problem(Exit.IMPOSSIBLE), problem(Exit.WRONG)]) == Exit.WRONG
    assert exit_code([problem(Exit.WRONG), problem(Exit.UNREADABLE)]) == Exit.UNREADABLE


def test_did_you_mean_is_near_or_nothing():
    assert did_you_mean("Widht", ["width", "length"]) == " Did you mean 'width'?"
    assert did_you_mean("colour", ["width", "length"]) == ""
    assert did_you_mean("x", []) == ""
