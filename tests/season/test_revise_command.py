"""`done`, `due` and `revise` on a plan folder, one after the other, as a season goes."""

import json
from dataclasses import replace
from datetime import date, timedelta

import icalendar
import pytest
from typer.testing import CliRunner

from sowplan.cli import app
from sowplan.commands import today
from sowplan.commands.progress_line import ProgressLine
from sowplan.export.calendar import calendar
from sowplan.export.outputs import BEFORE, CHANGES, MARK
from sowplan.problem import Exit
from sowplan.records.diary import diary_path, read_diary
from sowplan.records.garden_file import read_garden
from sowplan.season import sought
from sowplan.season.archive import read_plan, write_plan
from sowplan.season.plan import UNREASONED
from sowplan.season.planner import make_plan
from sowplan.season.reasons import why
from sowplan.season.revise import again
from sowplan.season.revise.search import Reviser
from sowplan.supply.tasks import tasks
from sowplan.supply.undone import undone

GARDEN = """\
[site]
name = "Gravel corner"
latitude = -41.0
longitude = 147.0
timezone = "Australia/Hobart"

[climate]
tmin = [12, 12, 10, 7, 5, 3, 2, 3, 5, 7, 9, 11]
tmax = [24, 24, 22, 19, 16, 14, 13, 14, 16, 18, 20, 22]

[season]
start = 2026-09-01
end = 2027-03-31
sow_on = ["Saturday"]

[[bed]]
name = "Near"
length = "2 m"
width = "90 cm"
depth = "40 cm"

[[tray]]
name = "Shelf"
cells = 40
temperature = "18 °C"
light = { hours = 14, ppfd = 180 }

[[want]]
crop = "lettuce-butterhead"
amount = 3
per = "week"
from = 2026-12-05
to = 2027-03-20

[[want]]
crop = "radish"
amount = 2
per = "week"
from = 2026-11-07
to = 2027-03-20
"""
NEW_BED = """
[[bed]]
name = "New"
length = "1.2 m"
width = "80 cm"
depth = "30 cm"
"""
TODAY = date(2027, 1, 6)
DAY = timedelta(days=1)


@pytest.fixture
def at_hand(tmp_path, monkeypatch, planned):
    """Return (runner, garden file, plan folder, plan), the clock standing on `TODAY`."""
    monkeypatch.setattr(today, "today_in", lambda plan: TODAY)
    garden, folder = tmp_path / "garden.toml", tmp_path / "plan"
    garden.write_text(GARDEN, encoding="utf-8")
    folder.mkdir()
    assert write_plan(planned, folder / MARK) == []
    monkeypatch.chdir(tmp_path)
    return CliRunner(), garden, folder, planned


@pytest.fixture(scope="module")
def planned(tmp_path_factory):
    path = tmp_path_factory.mktemp("planned") / "garden.toml"
    path.write_text(GARDEN, encoding="utf-8")
    reading = read_garden(path)
    plan, problems = make_plan(reading.garden, reading.crops, effort=0.2)
    assert not problems and not reading.problems
    return plan


def run(runner, *words):
    result = runner.invoke(app, [str(word) for word in words])
    assert not result.exception or isinstance(result.exception, SystemExit), result.output
    return result


def gathered(plan):
    """Return a task of the page that stands for several sowings, before `TODAY`."""
    return next(t for t in tasks(plan) if len(t.parts) > 1 and t.kind == "sow" and t.day < TODAY)


def test_the_line_of_the_page_is_entered_once(at_hand):
    runner, _, folder, plan = at_hand
    task = gathered(plan)
    line = f"{task.id}={task.day.isoformat()}"
    assert run(runner, "done", line).exit_code == 0
    path = diary_path(folder, plan.site.start)
    entries, problems = read_diary(path)
    assert problems == []
    assert {e.task for e in entries} == {part.id for part in task.parts}
    assert {e.day for e in entries} == {task.day}
    written = path.read_bytes()
    again = run(runner, "done", line)
    assert again.exit_code == 0 and "before" in again.output
    assert path.read_bytes() == written
    left = {job.id for t in undone(plan, entries) for job in t.jobs}
    assert left == {job.id for t in tasks(plan) for job in t.jobs} - {e.task for e in entries}


def test_a_part_that_lends_its_task_the_id_is_entered_alone_and_the_rest_later(at_hand):
    runner, _, folder, plan = at_hand
    task = gathered(plan)
    line = f"{task.id}={task.day.isoformat()}"
    assert run(runner, "done", "--only", line).exit_code == 0
    path = diary_path(folder, plan.site.start)
    assert [e.task for e in read_diary(path)[0]] == [task.id]
    assert run(runner, "done", line).exit_code == 0
    entries, _ = read_diary(path)
    assert sorted(e.task for e in entries) == sorted(part.id for part in task.parts)


def test_plain_words_on_other_days_and_as_json(at_hand):
    runner, _, folder, plan = at_hand
    job = next(t for t in tasks(plan) if t.kind == "plant out" and t.day < TODAY).jobs[0]
    result = run(runner, "done", job.id, "--on", "yesterday", "--in", folder, "--json")
    told = json.loads(result.stdout)
    assert told["entered"][0]["about"] == job.planting
    assert told["entered"][0]["what"] == "planted"
    assert told["entered"][0]["day"] == (TODAY - timedelta(days=1)).isoformat()
    assert told["diary"] == str(diary_path(folder, plan.site.start))


def test_whatever_is_wrong_nothing_is_entered(at_hand):
    runner, _, folder, plan = at_hand
    good = next(t for t in tasks(plan) if t.kind == "sow")
    result = run(
        runner, "done", good.id, good.id.replace("radish", "raddish").replace("lettuce", "letuce"),
        f"{good.id}=2027-06-01", "--lost", f"{good.planting}=9999", "--lost", f"{good.planting}=x",
        "--skipped", "nothing-1",
    )  # fmt: skip
    assert result.exit_code == Exit.WRONG
    assert len(result.stderr.strip().splitlines()) == 5
    assert f"Did you mean '{good.id}'?" in result.stderr and "ahead" in result.stderr
    assert not diary_path(folder, plan.site.start).exists()
    nothing = run(runner, "done")
    assert nothing.exit_code == Exit.USAGE


def test_nothing_is_lost_long_before_it_is_sown_unless_it_was_sown_early(at_hand):
    runner, garden, folder, plan = at_hand
    p = next(p for p in plan.plantings if p.sow > TODAY + timedelta(7) and p.plants > 1)
    path, loss = diary_path(folder, plan.site.start), ("--lost", f"{p.id}=1", "--in", folder)
    refused = run(runner, "done", *loss)
    assert refused.exit_code == Exit.WRONG and f"to be sown on {p.sow}" in refused.stderr
    assert f"sowplan done {p.id}:sow=" in refused.stderr and not path.exists()
    sown = TODAY - timedelta(5)
    assert run(runner, "done", "--only", f"{p.id}:sow={sown}", *loss).exit_code == 0
    assert run(runner, "revise", garden, "--out", folder).exit_code == 0
    after = next(q for q in read_plan(folder / "plan.json")[0].plantings if q.id == p.id)
    assert (after.sow, after.plants, after.lost) == (sown, p.plants - 1, 1)


def test_a_loss_written_by_hand_before_the_sowing_counts_as_sown_by_then(at_hand):
    runner, garden, folder, plan = at_hand
    p = next(p for p in plan.plantings if p.sow > TODAY + timedelta(7) and p.plants > 1)
    path = diary_path(folder, plan.site.start)
    path.write_text(f"{TODAY} lost {p.id} 1\n", encoding="utf-8")
    entries, _ = read_diary(path)
    assert f"{p.id}:sow" not in {job.id for t in undone(plan, entries) for job in t.jobs}
    assert run(runner, "revise", garden, "--out", folder).exit_code == 0
    after = next(q for q in read_plan(folder / "plan.json")[0].plantings if q.id == p.id)
    assert (after.sow, after.plants, after.lost) == (TODAY, p.plants - 1, 1)


def test_what_revise_would_refuse_done_refuses(at_hand):
    runner, _, folder, plan = at_hand
    p = next(p for p in plan.plantings if p.sow > TODAY)
    result = run(runner, "done", f"{p.id}:clear", "--in", folder)
    assert result.exit_code == Exit.WRONG and "enter when it was sown" in result.stderr
    assert not diary_path(folder, plan.site.start).exists()
    # Sown after what is entered already: the entry it goes against is named with its line.
    path = diary_path(folder, plan.site.start)
    early, p = TODAY - timedelta(30), next(p for p in plan.plantings if p.tray)
    path.write_text(f"{early} sown {p.id}\n{early + timedelta(20)} planted {p.id}\n")
    late = run(runner, "done", f"{p.id}:sow={TODAY}", "--in", folder)
    assert late.exit_code == Exit.WRONG and f"{path.name}:2" in late.stderr


def test_a_slip_is_taken_back(at_hand):
    runner, _, folder, plan = at_hand
    path = diary_path(folder, plan.site.start)
    assert run(runner, "done", "--undo", "--in", folder).exit_code == Exit.WRONG
    task = gathered(plan)
    kept = f"# mine\r\n{TODAY} lost {task.planting} 1  # slugs\r\n".encode()
    path.write_bytes(kept)
    assert run(runner, "done", f"{task.id}={task.day}", "--in", folder).exit_code == 0
    back = run(runner, "done", "--undo", "--in", folder, "--json")
    many = len(task.parts)
    assert len(json.loads(back.stdout)["taken_back"]) == many
    # What was entered is gone, and counted; all else stands, byte by byte.
    assert path.read_bytes().startswith(kept + f"# {many} ".encode())
    season = plan.site.start - timedelta(5)
    early = run(runner, "done", f"{task.id}={season}", "--in", folder)
    assert early.exit_code == 0 and "days before its day" in early.stderr
    assert run(runner, "done", "--undo", task.id, "--in", folder).exit_code == 0
    assert path.read_bytes().startswith(kept + f"# {2 * many} ".encode())
    assert run(runner, "done", "--undo", task.id, "--in", folder).exit_code == Exit.WRONG
    assert run(runner, "done", "--undo", task.planting, "--in", folder).exit_code == 0
    assert path.read_bytes().startswith(b"# mine\r\n# %d entries" % (2 * many + 1))
    assert read_diary(path) == ((), [])


def test_due_leaves_out_what_is_done_and_tells_what_is_overdue(at_hand):
    runner, _, folder, plan = at_hand
    late = [
        t for t in tasks(plan)
        if t.kind in ("sow", "plant out", "thin") and TODAY - timedelta(28) <= t.until < TODAY
    ]  # fmt: skip
    first, *others = late
    assert others
    run(runner, "done", f"{first.id}={first.day}")
    shown = run(runner, "due", folder, "--json")
    told = json.loads(shown.stdout)
    listed = {task["id"] for task in told["lately"]}
    assert {task.id for task in others} <= listed and first.id not in listed
    assert "Overdue" in run(runner, "due", folder).output


def test_what_revising_took_as_done_is_overdue_no_more(at_hand):
    """Nobody is told that a sowing is taken as done, and then to do it."""
    runner, garden, folder, plan = at_hand
    late = [t for t in tasks(plan) if t.kind in ("sow", "plant out") and t.day < TODAY]
    lost = next(p for p in plan.plantings if p.sow < TODAY < p.harvest_start and p.plants > 2)
    run(runner, "done", "--lost", f"{lost.id}={lost.plants}", "--on", "yesterday")
    before = json.loads(run(runner, "due", folder, "--json").stdout)["lately"]
    assert {task["kind"] for task in before} & {"sow", "plant out"} and late
    run(runner, "revise", garden, "--out", folder)
    told = json.loads(run(runner, "due", folder, "--json").stdout)
    assert not {task["kind"] for task in told["lately"]} & {"sow", "plant out"}
    # What is still to come is told all the same, on its day.
    made, _ = read_plan(folder / "plan.json")
    ahead = [t for t in tasks(made) if t.day > TODAY and t.kind in ("sow", "plant out", "harvest")]
    on = min(t.day for t in ahead)
    due = json.loads(run(runner, "due", folder, "--on", on, "--json").stdout)
    assert {t.id for t in ahead if t.day == on} <= {one["id"] for one in due["today"]}


def test_a_season_goes_on(at_hand):
    """Lost and a bed more: the folder is written whole, the calendar moves, twice is once."""
    runner, garden, folder, plan = at_hand
    lost = next(p for p in plan.plantings if p.sow < TODAY < p.harvest_start and p.plants > 2)
    run(runner, "done", "--lost", f"{lost.id}={lost.plants}", "--on", "yesterday")
    garden.write_text(GARDEN + NEW_BED, encoding="utf-8")
    result = run(runner, "revise", garden, "--json")
    assert result.exit_code == 0, result.output
    told = json.loads(result.stdout)
    made, problems = read_plan(folder / MARK)
    assert problems == [] and (made.revision, made.revised) == (1, TODAY)
    assert told["coming"] == sum(p.sow >= TODAY for p in plan.plantings)
    gone = [c for c in told["changes"] if c["kind"] == "gone"]
    assert [c["before"]["id"] for c in gone] == [lost.id]
    assert read_plan(folder / BEFORE)[0] == plan
    text = (folder / CHANGES).read_text(encoding="utf-8")
    assert "6 January 2027" in text and lost.id in text
    assert max(len(line) for line in text.splitlines()) <= 78
    diary, _ = read_diary(diary_path(folder, plan.site.start))
    check_calendar(plan, made, diary, (folder / "season.ics").read_bytes())
    assert diary_path(folder, plan.site.start).exists()
    before = (folder / MARK).read_bytes()
    assert "nothing changes" in run(runner, "revise", garden).output
    assert (folder / MARK).read_bytes() == before
    refused = run(runner, "plan", garden, "--effort", "0")
    assert refused.exit_code == Exit.UNWRITABLE and "sowplan revise" in refused.stderr
    assert (folder / MARK).read_bytes() == before


def check_calendar(old, new, diary, written):
    """RFC 5545, sections 3.8.4.7, 3.8.7.4 and 3.8.1.11: same event, same UID; sequence; status."""

    was, now = events_of(calendar(old)), events_of(written)
    assert was.keys() <= now.keys()
    assert all("SEQUENCE" not in e for e in was.values())  # which is 0
    by_diary = {int(e["SEQUENCE"]) for e in events_of(calendar(old, diary=diary)).values()}
    numbers = {int(e["SEQUENCE"]) for e in now.values()}
    assert len(numbers) == 1 and min(numbers) > max(by_diary) > 0
    live = events_of(calendar(replace(new, ended=())))
    for uid, event in now.items():
        if not str(event["SUMMARY"]).startswith("Done: "):
            assert (event["STATUS"] == "CANCELLED") == (uid not in live)
    assert all(e["DTSTAMP"].dt.date() == new.revised for e in now.values())


def test_a_phone_that_missed_two_revisions_is_told_of_all_that_is_no_more(at_hand, monkeypatch):
    """RFC 5546, section 3.2.5: what is cancelled keeps its UID, and its sequence number grows."""
    runner, garden, folder, plan = at_hand
    told, ended = [events_of(calendar(plan))], []
    for revision, day in enumerate((TODAY, TODAY + 7 * DAY, TODAY + 14 * DAY), 1):
        monkeypatch.setattr(today, "today_in", lambda plan, day=day: day)
        old, _ = read_plan(folder / MARK)
        lost = next(p for p in old.plantings if p.sow < day < p.harvest_start and p.plants > 2)
        run(runner, "done", "--lost", f"{lost.id}={lost.plants}", "--on", "yesterday")
        result = run(runner, "revise", garden)
        assert result.exit_code == 0, result.output
        made, _ = read_plan(folder / MARK)
        assert made.revision == revision
        written = (folder / "season.ics").read_bytes()
        told.append(events_of(written))
        ended.append(told[-1].keys() - events_of(calendar(replace(made, ended=()))).keys())
        assert run(runner, "calendar", folder, "--out", "-").stdout_bytes == written
    assert ended[0] and ended[0] < ended[1] < ended[2]
    last = told[-1]
    for number, earlier in enumerate(told[:-1]):
        assert earlier.keys() <= last.keys()
        for uid, event in earlier.items():
            assert int(last[uid]["SEQUENCE"]) > int(event.get("SEQUENCE", 0)) >= number
    for uid in ended[-1]:
        event = last[uid]
        done = str(event["SUMMARY"]).startswith("Done: ")
        assert event["STATUS"] == ("CONFIRMED" if done else "CANCELLED")
        assert not event.walk("VALARM")
        first = next(some[uid] for some in told if uid in some)
        assert event["CATEGORIES"].to_ical() == first["CATEGORIES"].to_ical()
    assert any(last[uid]["STATUS"] == "CANCELLED" for uid in ended[0] & told[0].keys())


def events_of(data):
    return {str(e["UID"]): e for e in icalendar.Calendar.from_ical(data).walk("VEVENT")}


def test_a_season_over_and_a_diary_wrong_change_nothing(at_hand):
    runner, garden, folder, plan = at_hand
    before = (folder / MARK).read_bytes()
    late = run(runner, "revise", garden, "--today", "2027-05-01")
    assert late.exit_code == Exit.IMPOSSIBLE
    diary_path(folder, plan.site.start).write_text("2026-10-01 sown nothing-1\n", encoding="utf-8")
    wrong = run(runner, "revise", garden)
    assert wrong.exit_code == Exit.WRONG and ":1: " in wrong.stderr
    assert [p.name for p in folder.iterdir() if p.suffix != ".txt"] == [MARK]
    assert (folder / MARK).read_bytes() == before


def test_asked_to_plan_anew_it_says_how_much_it_changed(at_hand):
    runner, garden, folder, plan = at_hand
    wish_more(garden, folder, plan)
    told = json.loads(run(runner, "revise", garden, "--anew", "--effort", "0.05", "--json").stdout)
    made, problems = read_plan(folder / MARK)
    assert problems == [] and made.quality.method.startswith("planned anew")
    coming = {p for p in plan.plantings if p.sow >= TODAY}
    assert told["coming"] == len(coming) and told["had_to_change"] == 0
    assert told["changed"] <= len(coming - set(made.plantings))
    stood = {p for p in plan.plantings if p.sow < TODAY}
    assert stood <= set(made.plantings)


def stop(*_, **__):
    raise KeyboardInterrupt


def wish_more(garden, folder, plan):
    """Change the garden so that there is something to plan again: a bed, and more lettuce."""
    more = GARDEN.replace("amount = 3", "amount = 6") + NEW_BED
    garden.write_text(more, encoding="utf-8")
    return {path.name: path.read_bytes() for path in folder.iterdir()}


def test_ctrl_c_keeps_the_best_so_far_and_says_so(at_hand, monkeypatch):
    """Pressed once some changes have been tried, of which not a whole go has been made."""
    runner, garden, folder, plan = at_hand
    wish_more(garden, folder, plan)
    told = []

    def show(self, now):
        told.append(now)
        if sum(some.of > 0 for some in told) == 4 and now.of:
            raise KeyboardInterrupt

    monkeypatch.setattr(ProgressLine, "show", show)
    said = " ".join(run(runner, "revise", garden).stdout.split())
    assert "this is the best plan found so far" in said
    steps = [now for now in told if now.of]
    assert len(steps) == 4 and all(now.done < now.of for now in steps)
    assert all(now.bound <= now.missing for now in steps)
    made, problems = read_plan(folder / MARK)
    assert problems == [] and made.revision == 1 and "stopped" in made.quality.method
    assert made.quality.missing_share >= made.quality.missing_share_bound - 1e-9


@pytest.mark.parametrize(
    ("where", "name"), [(again, "relax"), (Reviser, "finish"), (sought, "tidy")]
)
def test_stopped_after_the_search_there_is_a_plan_all_the_same(at_hand, monkeypatch, where, name):
    runner, garden, folder, plan = at_hand
    wish_more(garden, folder, plan)
    monkeypatch.setattr(where, name, stop)
    said = " ".join(run(runner, "revise", garden).stdout.split())
    assert "this is the best plan found so far" in said
    made, problems = read_plan(folder / MARK)
    assert problems == [] and made.revision == 1 and made.plantings
    assert made.quality.method.count("stopped") == 1


def test_stopped_at_the_reasons_all_else_of_the_plan_is_whole(at_hand, monkeypatch):
    runner, garden, folder, plan = at_hand
    wish_more(garden, folder, plan)
    monkeypatch.setattr(why, "reasons_in_turn", stop)
    said = " ".join(run(runner, "revise", garden).stdout.split())
    assert "not every lack has its reason" in said and "best plan found so far" not in said
    made, problems = read_plan(folder / MARK)
    assert problems == [] and made.revision == 1 and made.quality.method.endswith(UNREASONED)


def test_ctrl_c_before_there_is_any_writes_nothing(at_hand, monkeypatch):
    runner, garden, folder, plan = at_hand
    before = wish_more(garden, folder, plan)
    monkeypatch.setattr(again, "begin_again", stop)
    done = runner.invoke(app, ["revise", str(garden)])
    assert done.exit_code == Exit.STOPPED and "Stopped: nothing is written." in done.stderr
    assert f"{folder.name} is as it was." in done.stderr
    assert {path.name: path.read_bytes() for path in folder.iterdir()} == before
