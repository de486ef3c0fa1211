"""The calendar by the diary: what is done rings no more, what is gone is cancelled, UIDs stay."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import icalendar
from typer.testing import CliRunner

from sowplan.cli import app
from sowplan.export.calendar import calendar, entries, title
from sowplan.export.folder import write_folder
from sowplan.export.outputs import MARK, OUTPUTS
from sowplan.records.diary import Entry, add_to_diary, diary_path, read_diary
from sowplan.supply.tasks import tasks

ONLY_PLAN = [output for output in OUTPUTS if output.name == MARK]


def events(data: bytes) -> dict[str, icalendar.Event]:
    return {str(e["UID"]): e for e in icalendar.Calendar.from_ical(data).walk("VEVENT")}


def named(plan, planting):
    """Return the UIDs of events that tell of one planting alone, by what is done."""
    alone = {t.title: t.kind for t in tasks(plan) if {j.planting for j in t.jobs} == {planting}}
    return {
        alone[str(e["SUMMARY"])]: uid
        for uid, e in events(calendar(plan)).items()
        if str(e["SUMMARY"]) in alone
    }


def test_without_entries_nothing_changes(sample_plan):
    assert calendar(sample_plan, diary=()) == calendar(sample_plan)


def test_what_is_done_is_told_so_and_does_not_ring(sample_plan):
    p = next(p for p in sample_plan.plantings if p.id == "pak-choi-2")
    sown = Entry(date(2026, 9, 20), "sown", p.id)
    before, after = events(calendar(sample_plan)), events(calendar(sample_plan, diary=[sown]))
    assert before.keys() == after.keys()
    uid = named(sample_plan, p.id)["sow"]
    assert str(after[uid]["SUMMARY"]) == f"Done: {before[uid]['SUMMARY']}"
    assert before[uid].walk("VALARM") and not after[uid].walk("VALARM")
    assert after[uid]["STATUS"] == "CONFIRMED"
    others = before.keys() - {uid}
    assert all(before[one]["SUMMARY"] == after[one]["SUMMARY"] for one in others)
    # RFC 5546, section 2.1.5: of two with one UID the higher sequence counts, then the later stamp.
    assert all(int(e["SEQUENCE"]) == 1 for e in after.values())
    assert all(e["DTSTAMP"].dt.date() == sown.day for e in after.values())


def test_what_was_lost_or_never_sown_is_cancelled(sample_plan):
    """RFC 5545, section 3.8.1.11: an event that is no more has the status CANCELLED."""
    never = next(p for p in sample_plan.plantings if p.id == "pak-choi-2")
    after = events(calendar(sample_plan, diary=[Entry(date(2026, 9, 20), "skipped", never.id)]))
    alone = named(sample_plan, never.id)
    assert {"sow", "thin"} <= alone.keys()
    for uid in alone.values():
        assert after[uid]["STATUS"] == "CANCELLED" and not after[uid].walk("VALARM")
    assert "pak choi 2" not in " ".join(str(e["SUMMARY"]) for e in after.values()).casefold()


def test_of_an_event_of_several_sowings_what_is_left_is_told(sample_plan):
    names = {crop.key: crop.name for crop in sample_plan.crops}
    groups = [e for e in entries(tasks(sample_plan)) if e.kind == "sow"]
    group = next(e for e in groups if len({j.crop for t in e.tasks for j in t.jobs}) == 2)
    jobs = [job for task in group.tasks for job in task.jobs]
    lead = next(job for job in jobs if job.id == group.lead.id)  # its UID outlives it
    before = events(calendar(sample_plan))
    summary = title(group, names)
    (uid,) = [
        uid for uid, e in before.items() if (e["SUMMARY"], e["DTSTART"].dt) == (summary, group.day)
    ]
    sown = [Entry(group.day, "sown", job.planting) for job in jobs if job.crop == lead.crop]
    event = events(calendar(sample_plan, diary=sown))[uid]
    told = str(event["SUMMARY"])
    assert not told.startswith("Done: ") and event.walk("VALARM")
    assert names[lead.crop] in summary and names[lead.crop] not in told
    assert all(names[job.crop] in told for job in jobs if job.crop != lead.crop)


def test_the_command_goes_by_the_diary_in_the_folder(sample_plan, tmp_path):
    assert write_folder(sample_plan, tmp_path, ONLY_PLAN) == []
    entry = Entry(date(2026, 9, 20), "sown", "pak-choi-2")
    assert add_to_diary(diary_path(tmp_path, sample_plan.site.start), [(entry, "")]) == []
    done = CliRunner().invoke(app, ["calendar", str(tmp_path)])
    assert done.exit_code == 0, done.output
    assert (tmp_path / "season.ics").read_bytes() == calendar(sample_plan, diary=[entry])


def test_each_calendar_made_later_supersedes_the_ones_before(sample_plan):
    """RFC 5545, section 3.8.7.4: the number grows with each revision that is sent out."""
    sown = [Entry(date(2026, 9, 20), "sown", name) for name in ("pak-choi-2", "pak-choi-1")]
    again = replace(sample_plan, revision=1, revised=date(2026, 9, 26))
    more = [*sown, Entry(date(2026, 9, 27), "lost", "pak-choi-2", 1)]
    made = [
        calendar(sample_plan, diary=sown[:1]),
        calendar(sample_plan, diary=sown),
        calendar(again, sample_plan, diary=sown),
        calendar(again, sample_plan, diary=more),
    ]
    numbers = [{int(e["SEQUENCE"]) for e in events(data).values()} for data in made]
    assert all(len(some) == 1 for some in numbers)
    assert sorted(map(min, numbers)) == [min(some) for some in numbers]
    assert len(set(map(min, numbers))) == len(made)


def test_what_is_taken_back_never_counts_the_calendar_down(sample_plan, tmp_path):
    """RFC 5545, section 3.8.7.4: the number grows with each change, be it one back again."""
    assert write_folder(sample_plan, tmp_path, ONLY_PLAN) == []
    jobs, found = ["pak-choi-2:sow=2026-09-20", "pak-choi-1:sow=2026-09-20"], []
    told = ["done", "--in", str(tmp_path)]
    for step in (jobs[:1], jobs[1:], ["--undo"], jobs[1:], ["--undo"], ["--undo"]):
        made = CliRunner().invoke(app, [*told, *step])
        assert made.exit_code == 0, made.output
        made = CliRunner().invoke(app, ["calendar", str(tmp_path)])
        assert made.exit_code == 0, made.output
        now = events((tmp_path / "season.ics").read_bytes())
        assert len({int(e["SEQUENCE"]) for e in now.values()}) == 1
        found.append(int(next(iter(now.values()))["SEQUENCE"]))
    assert found == sorted(set(found))
    path = diary_path(tmp_path, sample_plan.site.start)
    assert read_diary(path) == ((), []) and path.read_text().count("taken back") == 1


def test_what_was_done_before_the_season_was_revised_stays_done(sample_plan):
    sown = Entry(date(2026, 9, 20), "sown", "pak-choi-2")
    jobs = named(sample_plan, "pak-choi-2")
    again = replace(sample_plan, revision=1, revised=date(2026, 9, 26))
    left = tuple(p for p in again.plantings if p.id != "pak-choi-2")
    lost = replace(again, plantings=left, retired=("pak-choi-2",))
    for made in (again, lost):
        after = events(calendar(made, sample_plan, diary=[sown]))
        assert str(after[jobs["sow"]]["SUMMARY"]).startswith("Done: ")
        assert after[jobs["sow"]]["STATUS"] == "CONFIRMED"
    assert after[jobs["thin"]]["STATUS"] == "CANCELLED"
