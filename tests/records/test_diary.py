"""The diary: read as a person writes it, told off line by line, added to without losing a byte."""

from datetime import date, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sowplan.problem import Exit
from sowplan.records.diary import (
    JOB_NAMES,
    WHATS,
    Entry,
    add_to_diary,
    diary_path,
    entry_for,
    read_diary,
    read_entries,
)
from sowplan.supply.tasks import ORDER, tasks

KEPT = """\
# my first season
2026-09-05 sown lettuce-butterhead-1   # in drizzle

2026-10-03 planted out lettuce-butterhead-1
2026-10-10 LOST lettuce-butterhead-1 3  # slugs
2026-12-05 picked chard-1 1,5
2026-10-20 done lettuce-butterhead-1:thin
2026-12-06 harvested chard:harvest-96
2026/12/07 cleared radish-2
2026-12-07 skipped radish-3
2026-09-05 sown lettuce-butterhead-1
"""


def test_a_diary_reads_as_a_person_keeps_it():
    entries, problems = read_entries(KEPT, "diary.txt")
    assert problems == []
    assert [(e.day.day, e.what, e.about, e.number, e.line) for e in entries] == [
        (5, "sown", "lettuce-butterhead-1", None, 2),  # and not once more from line 11
        (3, "planted", "lettuce-butterhead-1", None, 4),
        (10, "lost", "lettuce-butterhead-1", 3, 5),
        (5, "harvested", "chard-1", 1.5, 6),
        (20, "done", "lettuce-butterhead-1:thin", None, 7),
        (6, "harvested", "chard:harvest-96", None, 8),
        (7, "cleared", "radish-2", None, 9),
        (7, "skipped", "radish-3", None, 10),
    ]


def test_every_job_of_a_plan_has_a_name_that_the_diary_knows(sample_plan):
    """Kinds of jobs, with the number behind those that repeat; a name that is none is told."""
    for kind in ORDER:
        job = kind.replace(" ", "-")
        job += "" if job in JOB_NAMES else "-2"
        entries, problems = read_entries(f"2026-10-20 done kale-1:{job}\n", "diary.txt")
        assert not problems and entries[0].task == f"kale-1:{job}"
    for task in tasks(sample_plan):
        for job in task.jobs:
            told = str(entry_for(job.id, date(2026, 11, 1)))
            assert read_entries(told, "diary.txt")[1] == [], told
    for job in ("harvset-3", "thin-2x", "take-off", "sow-1"):
        (problem,) = read_entries(f"2026-10-20 done kale-1:{job}\n", "diary.txt")[1]
        assert problem.found == f"kale-1:{job}" and job in problem.message


def test_entries_know_the_task_they_tick():
    entries, _ = read_entries(KEPT, "diary.txt")
    assert [e.task for e in entries] == [
        "lettuce-butterhead-1:sow",
        "lettuce-butterhead-1:plant-out",
        None,
        None,
        "lettuce-butterhead-1:thin",
        "chard:harvest-96",
        "radish-2:clear",
        None,
    ]


@pytest.mark.parametrize("mark", ["sow", "plant-out", "clear", "thin", "protect-1", "harvest-3"])
def test_a_task_comes_back_from_its_entry(mark):
    assert entry_for(f"kale-2:{mark}", date(2026, 9, 5)).task == f"kale-2:{mark}"


def test_everything_wrong_is_told_at_once_with_its_line():
    text = (
        "2026-13-05 sown kale-1\n"
        "2026-09-05 sewn kale-1\n"
        "2026-09-05 sown\n"
        "2026-09-05 lost kale-1\n"
        "2026-09-05 lost kale-1 2.5\n"
        "2026-09-05 sown kale-1 4\n"
        "2026-09-05 done kale-1\n"
        "yesterday sown kale-1\n"
    )
    entries, problems = read_entries(text, "d.txt")
    assert entries == ()
    assert [p.line for p in problems] == [1, 2, 3, 4, 5, 6, 7, 8]
    assert all(p.file == "d.txt" and p.exit is Exit.WRONG for p in problems)
    told = [p.message for p in problems]
    assert "There is no month 13" in told[0]
    assert "Did you mean 'sown'?" in told[1]
    assert "2026-10-03 planted kale-1" in told[2]
    assert "2026-09-05 lost kale-1 3" in told[3]
    assert "kale-1:thin" in told[6]


def test_no_diary_is_an_empty_one(tmp_path):
    assert read_diary(tmp_path / "none.txt") == ((), [])


def test_what_is_no_text_is_a_problem(tmp_path):
    path = tmp_path / "d.txt"
    path.write_bytes(b"2026-09-05 sown k\xfcmmel-1\n")
    entries, (problem,) = read_diary(path)
    assert entries == () and problem.exit is Exit.UNREADABLE and problem.line == 1


@pytest.mark.parametrize("old", [b"", b"2026-09-05 sown a-1", b"# x\r\n2026-09-05 sown a-1\r\n"])
def test_what_stands_in_the_file_stays_byte_by_byte(tmp_path, old):
    path = tmp_path / "d.txt"
    if old:
        path.write_bytes(old)
    new = Entry(date(2026, 9, 6), "lost", "a-1", 2)
    assert add_to_diary(path, [(new, "slugs, again")], ["A heading."]) == []
    written = path.read_bytes()
    assert written.startswith(old)
    assert [p.name for p in tmp_path.iterdir()] == ["d.txt"]
    assert b"\r\n" not in written or written.count(b"\n") == written.count(b"\r\n")
    entries, problems = read_diary(path)
    assert problems == [] and entries[-1].told == new.told
    assert (b"A heading" in written) == (not old)


def test_nothing_is_written_where_nothing_can_be(tmp_path):
    (problem,) = add_to_diary(
        tmp_path / "no" / "d.txt", [(Entry(date(2026, 9, 6), "sown", "a-1"), "")]
    )
    assert problem.exit is Exit.UNWRITABLE
    assert list(tmp_path.iterdir()) == []


def test_each_season_has_a_diary_of_its_own(tmp_path):
    assert diary_path(tmp_path, date(2026, 9, 1)) != diary_path(tmp_path, date(2027, 9, 1))


entries = st.builds(
    Entry,
    st.dates(date(2000, 1, 1), date(2100, 1, 1)),
    st.sampled_from([what for what in WHATS if what not in ("lost", "done", "harvested")]),
    st.from_regex(r"[a-z]{1,8}(-[a-z]{1,6})?-[1-9][0-9]?", fullmatch=True),
) | st.builds(
    Entry,
    st.dates(date(2000, 1, 1), date(2100, 1, 1)) | st.just(date(2026, 1, 1) + timedelta(1)),
    st.just("lost"),
    st.from_regex(r"[a-z]{1,8}-[1-9]", fullmatch=True),
    st.integers(1, 999),
)


@settings(max_examples=40, deadline=None)
@given(st.lists(entries, max_size=6, unique_by=lambda e: e.told))
def test_what_is_entered_reads_back(some):
    text = "\n".join(f"{entry}  # any remark" for entry in some)
    found, problems = read_entries(text, "d.txt")
    assert problems == []
    assert [entry.told for entry in found] == [entry.told for entry in some]
