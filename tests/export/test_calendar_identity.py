"""The identity of events: what must stay the same when a season is planned again."""

from __future__ import annotations

import dataclasses
import re
from datetime import date, timedelta
from uuid import UUID

import icalendar

from sowplan.export.calendar import Entry, calendar, entries, title, with_ended
from sowplan.supply.tasks import Task, tasks


def events(data: bytes) -> dict[str, icalendar.Event]:
    return {str(e["UID"]): e for e in icalendar.Calendar.from_ical(data).walk("VEVENT")}


def moved(plan, planting: str, days: int):
    """Return the plan with one planting some days later, from sowing to clearing."""
    shift = timedelta(days=days)

    def later(p):
        if p.id != planting:
            return p
        return dataclasses.replace(
            p,
            sow=p.sow + shift,
            emergence=p.emergence + shift,
            planting_out=p.planting_out and p.planting_out + shift,
            harvest_start=p.harvest_start + shift,
            harvest_start_early=p.harvest_start_early + shift,
            harvest_start_late=p.harvest_start_late + shift,
            harvest_end=p.harvest_end + shift,
            cleared=p.cleared + shift,
            lots=tuple(
                dataclasses.replace(lot, ready=lot.ready + shift, last=lot.last + shift)
                for lot in p.lots
            ),
        )

    return dataclasses.replace(plan, plantings=tuple(later(p) for p in plan.plantings))


def test_same_plan_same_bytes(sample_plan):
    assert calendar(sample_plan) == calendar(sample_plan)


def test_uids_are_uuids_and_hold_no_date(sample_plan):
    """RFC 7986, section 5.3: a UID should be a UUID: it tells nothing and meets no other."""
    for uid in events(calendar(sample_plan)):
        assert str(UUID(uid)) == uid


def test_the_order_of_plantings_does_not_matter(sample_plan):
    turned = dataclasses.replace(sample_plan, plantings=sample_plan.plantings[::-1])
    assert calendar(turned) == calendar(sample_plan)


def test_two_gardens_share_no_event(sample_plan):
    site = dataclasses.replace(sample_plan.site, plan_id="another-yard")
    other = dataclasses.replace(sample_plan, site=site)
    assert not events(calendar(sample_plan)).keys() & events(calendar(other)).keys()


def test_a_moved_task_keeps_its_event(sample_plan):
    """Pak choi 2 is sown, thinned and so on alone on its days; all of it moves by two days."""
    before = events(calendar(sample_plan))
    after = events(calendar(moved(sample_plan, "pak-choi-2", 2)))
    sown = [uid for uid, e in before.items() if e["SUMMARY"].startswith("Sow Pak choi: 9 cells")]
    (first, second) = sown
    day = {uid: (before[uid]["DTSTART"].dt, after[uid]["DTSTART"].dt) for uid in sown}
    assert day[first][0] == day[first][1]
    assert (day[second][1] - day[second][0]).days == 2


def test_an_event_holds_its_lead_through_every_revision(sample_plan):
    """Whatever moves, an event of one UID is about one and the same lead task before and after."""

    def leads(plan):
        uids = [str(e["UID"]) for e in icalendar.Calendar.from_ical(calendar(plan)).walk("VEVENT")]
        return dict(zip(uids, (e.lead.id for e in entries(tasks(plan))), strict=True))

    before = leads(sample_plan)
    for p in sample_plan.plantings[::4]:
        after = leads(moved(sample_plan, p.id, 3))
        assert all(after[uid] == lead for uid, lead in before.items() if uid in after)


def test_a_group_keeps_its_uid_while_its_lead_stays(sample_plan):
    """On 1 September two crops are sown; the one that does not lead goes, the event stays."""
    before = events(calendar(sample_plan))
    (uid,) = (
        u for u, e in before.items() if e["SUMMARY"].startswith("Sow: Butterhead lettuce and")
    )
    after = events(calendar(moved(sample_plan, "spring-onion-3", 4)))
    assert after[uid]["SUMMARY"].startswith("Sow Butterhead lettuce")
    assert after[uid]["DTSTART"].dt == before[uid]["DTSTART"].dt
    # and where the lead itself goes, its event goes with it
    lead_moved = events(calendar(moved(sample_plan, "lettuce-butterhead-1", 4)))
    assert (lead_moved[uid]["DTSTART"].dt - before[uid]["DTSTART"].dt).days == 4


def test_events_that_are_no_more_are_cancelled_and_no_others(sample_plan):
    gone = "radish-2"
    later = dataclasses.replace(
        sample_plan, plantings=tuple(p for p in sample_plan.plantings if p.id != gone)
    )
    old, new = events(calendar(sample_plan)), events(calendar(later, before=sample_plan))
    assert new.keys() >= old.keys()
    cancelled = {uid for uid, e in new.items() if e["STATUS"] == "CANCELLED"}
    assert cancelled == old.keys() - events(calendar(later)).keys()
    assert cancelled and all("Radish" in old[uid]["SUMMARY"] for uid in cancelled)
    assert all(not new[uid].walk("VALARM") for uid in cancelled)


def test_cancelling_against_the_same_plan_changes_nothing(sample_plan):
    assert calendar(sample_plan, before=sample_plan) == calendar(sample_plan)


def test_what_ended_two_revisions_ago_is_cancelled_still_and_may_come_back(sample_plan):
    """RFC 5546, section 3.2.5: what is cancelled keeps its UID, and its sequence number grows."""

    def without(number, *gone):
        left = tuple(p for p in sample_plan.plantings if p.id not in gone)
        return dataclasses.replace(sample_plan, plantings=left, revision=number)

    plans = [sample_plan]
    for number, gone in enumerate((["radish-2"], ["radish-2", "pak-choi-2"], ["pak-choi-2"]), 1):
        plans.append(with_ended(without(number, *gone), plans[-1]))
    first, one, two, three = (events(calendar(plan)) for plan in plans)

    def cancelled(some):
        return {uid for uid, event in some.items() if event["STATUS"] == "CANCELLED"}

    assert not cancelled(first)
    assert first.keys() <= one.keys() <= two.keys() <= three.keys()
    assert cancelled(one) and cancelled(one) < cancelled(two)
    assert all(int(two[uid]["SEQUENCE"]) > int(one[uid]["SEQUENCE"]) for uid in one)
    assert not cancelled(one) & first.keys() & cancelled(three)  # radishes are sown after all
    assert cancelled(two) - cancelled(one) <= cancelled(three)
    assert calendar(plans[2], before=plans[1]) == calendar(plans[2])


def test_days_away_are_an_event_that_moves_and_is_cancelled(sample_plan):
    """RFC 5545, section 3.6.1: the end of an all-day event is the day after its last."""

    def away(*spans):
        return dataclasses.replace(
            sample_plan, site=dataclasses.replace(sample_plan.site, away=spans), revision=1
        )

    def gone(data):
        return {u: e for u, e in events(data).items() if str(e["SUMMARY"]).startswith("Away")}

    july = (date(2026, 11, 5), date(2026, 11, 25))
    later = tuple(day + timedelta(days=3) for day in july)
    ((uid, event),) = gone(calendar(away(july))).items()
    assert (event["DTSTART"].dt, event["DTEND"].dt) == (date(2026, 11, 5), date(2026, 11, 26))
    assert event["TRANSP"] == "TRANSPARENT" and not event.walk("VALARM")
    assert list(gone(calendar(away(later), away(july)))) == [uid]
    assert gone(calendar(away(), away(july)))[uid]["STATUS"] == "CANCELLED"
    assert not gone(calendar(away()))
    assert "Let somebody water" in event["DESCRIPTION"]
    tended = dataclasses.replace(away(july).site, watered=(july,))
    ((same, event),) = gone(calendar(dataclasses.replace(away(july), site=tended))).items()
    assert same == uid and event["SUMMARY"] == "Away: somebody waters"
    assert "Let somebody water" not in event["DESCRIPTION"]


def test_the_stamp_is_the_seasons_start(sample_plan):
    """RFC 5545, section 3.8.7.2 wants a stamp; the hour of the run would change the bytes."""
    stamps = set(re.findall(rb"DTSTAMP:(\S+)", calendar(sample_plan)))
    assert stamps == {b"20260901T000000Z"}


def _entry(plan, *crops: str) -> Entry:
    day = plan.site.start
    jobs = tuple(
        Task(f"{crop}-1:sow", "sow", day, day, f"{crop}-1", crop, "Shelf", f"Sow {crop}", "")
        for crop in crops
    )
    return Entry("sow", day, day, jobs)


def test_titles_of_busy_days_stay_short(sample_plan):
    names = {crop.key: crop.name for crop in sample_plan.crops}
    two = _entry(sample_plan, "radish", "chard")
    many = _entry(sample_plan, *(crop.key for crop in sample_plan.crops))
    assert title(two, names) == "Sow: Radish and Chard"
    assert title(many, names) == "Sow: Basil, Carrot, Chard and 9 more"
    same = _entry(sample_plan, "radish", "radish")
    assert title(same, names) == "Sow: Radish"


def test_like_tasks_of_a_day_share_an_event(sample_plan):
    seen = set()
    for entry in entries(tasks(sample_plan)):
        key = (entry.day, entry.kind, entry.last)
        assert key not in seen
        seen.add(key)
    told = [task.id for entry in entries(tasks(sample_plan)) for task in entry.tasks]
    assert sorted(told) == sorted(task.id for task in tasks(sample_plan))
