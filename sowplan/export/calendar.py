"""The season as an iCalendar file for the phone (RFC 5545).

One all-day event a task, or a day's group of like tasks, so that a busy day is a few lines and
not twenty. An event is free time, not busy. The evening before a day with work in it the phone
rings once, with the first event that is no harvest, and names the others; what stands ready to
harvest can wait, and rings only where it is asked to.

What keeps a re-imported calendar from doubling: an event's UID is made from the plan's identity
and the identity of one task in it, its lead, the first of its tasks by id. Dates play no part.
So in every revision the event of one UID holds the same lead task, wherever that has moved to;
other tasks may join it or leave it. Where a lead comes to share a day with an earlier one, its
own event ends; programs that merge rather than replace are told so: such events come out
cancelled. A revised plan keeps them (`Plan.ended`), so that each calendar of a season says it of
all those before it, and none of these has to have been imported.

By the diary an event is told as done, or as what is left of it, or cancelled where nothing is: it
keeps its UID, and its day stays the plan's until that is revised.

There is no UID for the calendar as a whole (RFC 7986 allows one): at least one common sync
client takes the first UID of the file for the first event's.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, time, timedelta
from typing import Literal
from uuid import UUID, uuid5

from sowplan.export.by_diary import left_and_done
from sowplan.records.diary import Entry as Told
from sowplan.season.plan import EndedEvent, Plan
from sowplan.supply.gather import gathered
from sowplan.supply.tasks import ORDER, Task, TaskKind, tasks
from sowplan.supply.wording import join_words, one_line

NAMESPACE = UUID("6f0d4a52-7f3e-5c0b-9a41-5d1c2b8e7a60")
"""Name space of the UIDs, fixed once for all; RFC 7986, section 5.3 asks for UUIDs."""

PRODID = "-//sowplan//season//EN"
EVENING_BEFORE = timedelta(hours=-6)  # 18:00, as an all-day event starts at midnight
LASTING: frozenset[TaskKind] = frozenset({"harden off"})
"""Tasks that are work on every one of their days; all others are shown on their first day."""
TITLE_LENGTH = 38  # characters; a phone's list shows about so many


@dataclass(frozen=True)
class Entry:
    """One event: like tasks of one day, led by the first of them by id."""

    kind: TaskKind
    day: date
    last: date  # included
    tasks: tuple[Task, ...]

    @property
    def lead(self) -> Task:
        """Return the task that gives the event its identity."""
        return min(self.tasks, key=lambda task: task.id)


State = Literal["open", "done", "cancelled"]
"""What has become of an event: only open ones ring."""


def calendar(
    plan: Plan,
    before: Plan | None = None,
    ring_harvests: bool = False,
    diary: Sequence[Told] = (),
    taken_back: int = 0,
) -> bytes:
    """Return a season as iCalendar.

    Parameters
    ----------
    plan : Plan
        The season.
    before : Plan, optional
        An earlier plan whose calendar may have been imported; its events that are no more
        come out cancelled (RFC 5545, section 3.8.1.11), besides those that the plan itself knows.
    ring_harvests : bool
        Whether days on which there is nothing but to harvest ring as well.
    diary : sequence of sowplan.records.diary.Entry
        What happened so far.
    taken_back : int
        How many entries were taken out of the diary again, ever.

    Returns
    -------
    bytes
        UTF-8 with CRLF line ends, lines folded; the same for the same plans and diary.
    """
    from icalendar import Calendar

    out = Calendar()
    out.add("prodid", PRODID)
    out.add("version", "2.0")
    out.add("calscale", "GREGORIAN")
    out["X-WR-CALNAME"] = _text(f"Garden: {one_line(plan.site.name)}")
    changed = [plan.revised or plan.site.start, *(entry.day for entry in diary)]
    stamp = datetime.combine(max(changed), time(), UTC)
    crops = {crop.key: crop.name for crop in plan.crops}
    events = [(uid, e, state, crops) for uid, e, state in _by_diary(plan, diary)]
    rings = _rings([e for _, e, state, _ in events if state == "open"], crops, ring_harvests)
    sequence = _sequence(plan, diary, taken_back)
    for uid, entry, state, names in events:
        event = _event(uid, entry, stamp, names, state, sequence)
        if state == "open" and entry in rings:
            event.add_component(_alarm(rings[entry]))
        out.add_component(event)
    gone = _ended(plan, before, diary)
    for event in gone:
        out.add_component(_ended_event(event, stamp, sequence))
    for number, span in enumerate(plan.site.away, 1):
        out.add_component(_away(plan, number, span, stamp, sequence))
    if not events and not gone:
        out.add_component(_nothing(plan, stamp))
    return out.to_ical()


def with_ended(plan: Plan, before: Plan, diary: Sequence[Told] = ()) -> Plan:
    """Return a revised plan that knows what calendars of its season had before, and it has not.

    Parameters
    ----------
    plan : Plan
        The season as it now is.
    before : Plan
        The plan that it was made of, with what had ended by then.
    diary : sequence of sowplan.records.diary.Entry
        What happened so far: what was done is not cancelled.
    """
    return replace(plan, ended=_ended(plan, before, diary))


def _ended(plan: Plan, before: Plan | None, diary: Sequence[Told]) -> tuple[EndedEvent, ...]:
    """Return what earlier calendars had and this one has not, by day."""
    found = {event.uid: event for event in plan.ended}
    if before is not None:
        found |= {event.uid: event for event in before.ended}
        names = {crop.key: crop.name for crop in before.crops}
        for uid, e, state in _by_diary(before, diary):
            found[uid] = EndedEvent(
                uid, _heading(e), title(e, names), e.day, e.last, state == "done"
            )
        for number, (first, last) in enumerate(before.site.away, 1):
            uid = _away_uid(before, number)
            found[uid] = EndedEvent(
                uid, "Away", _away_title(before, (first, last)), first, last, False
            )
    there = {_uid(plan, entry) for entry in entries(tasks(plan))}
    there |= {_away_uid(plan, number + 1) for number in range(len(plan.site.away))}
    ended = (event for event in found.values() if event.uid not in there)
    return tuple(sorted(ended, key=lambda event: (event.day, event.uid)))


def entries(all_tasks: Iterable[Task]) -> tuple[Entry, ...]:
    """Return tasks as calendar entries: like tasks of one day together, in the order of work."""
    together: dict[tuple[date, int, date], list[Task]] = {}
    for task in all_tasks:
        last = task.until if task.kind in LASTING else task.day
        together.setdefault((task.day, ORDER.index(task.kind), last), []).append(task)
    return tuple(
        Entry(ORDER[kind], day, last, tuple(group))
        for (day, kind, last), group in sorted(together.items(), key=lambda item: item[0])
    )


def _by_diary(plan: Plan, diary: Sequence[Told]) -> list[tuple[str, Entry, State]]:
    """Return each event with its UID and what the diary has made of it.

    Events are those of the whole plan, so that each keeps its UID when its lead is done.
    """
    left, done = left_and_done(plan, diary)
    open_ = {job.id: job for task in left for job in task.jobs}
    known = {job.id for task in done for job in task.jobs}
    found: list[tuple[str, Entry, State]] = []
    for entry in entries(tasks(plan)):
        uid, jobs = _uid(plan, entry), [job for task in entry.tasks for job in task.jobs]
        mine = [open_[job.id] for job in jobs if job.id in open_]
        if mine == jobs:
            found.append((uid, entry, "open"))
        elif mine:
            found.append((uid, replace(entry, tasks=gathered(plan, mine)), "open"))
        else:
            was = any(job.id in known for job in jobs)
            found.append((uid, entry, "done" if was else "cancelled"))
    return found


def _sequence(plan: Plan, diary: Sequence[Told], taken_back: int) -> int:
    """Return how often the calendar may have changed before: by each revision and each entry.

    An entry taken back changed it twice: it never counts down (RFC 5545, section 3.8.7.4).
    """
    return plan.revision + len(diary) + 2 * taken_back


def title(entry: Entry, crop_names: dict[str, str]) -> str:
    """Return an entry's one line: the task's own, or ``"Sow: Radish, Rocket and 2 more"``."""
    jobs = [one for task in entry.tasks for one in task.jobs]
    if len(jobs) == 1 or (len(entry.tasks) == 1 and len(entry.tasks[0].title) <= TITLE_LENGTH):
        return entry.tasks[0].title
    names = list(dict.fromkeys(one_line(crop_names.get(one.crop, one.crop)) for one in jobs))
    told, rest = names[:1], names[1:]
    while rest:
        more = [f"{len(rest) - 1} more"] if len(rest) > 1 else []
        if len(f"{_heading(entry)}: {join_words([*told, rest[0], *more])}") > TITLE_LENGTH:
            break
        told.append(rest.pop(0))
    return f"{_heading(entry)}: {join_words([*told, *([f'{len(rest)} more'] if rest else [])])}"


def details(entry: Entry) -> str:
    """Return what an entry says below its title: one paragraph a job, of what is bought a crop."""
    if entry.kind == "buy":
        return "\n".join(task.details for task in entry.tasks)
    jobs = [one for task in entry.tasks for one in task.jobs]
    if len(jobs) == 1:
        return jobs[0].details
    return "\n\n".join(f"{one.title}\n{one.details}" for one in jobs)


def _heading(entry: Entry) -> str:
    return {
        "protect": "Frost watch",
        "leave": "Before you go",
        "take off": "Clear what overgrew",
    }.get(entry.kind, entry.kind.capitalize())


def _uid(plan: Plan, entry: Entry) -> str:
    return str(uuid5(NAMESPACE, f"{plan.site.plan_id}\n{entry.lead.id}"))


def _event(
    uid: str,
    entry: Entry,
    stamp: datetime,
    names: dict[str, str],
    state: State,
    sequence: int,
):
    """Return one event, without an alarm.

    Its sequence number rises with each revision of the plan and each entry made in its diary, or
    taken back (RFC 5545, section 3.8.7.4).
    """
    cancelled = state == "cancelled"
    words = ("Done: " if state == "done" else "") + title(entry, names)
    event = _whole_days(uid, entry.day, entry.last, words, stamp)
    event.add("description", _text(details(entry)))
    event.add("categories", [_heading(entry)])
    event.add("status", "CANCELLED" if cancelled else "CONFIRMED")
    if cancelled or sequence:
        event.add("sequence", max(sequence, 1))
    return event


def _ended_event(ended: EndedEvent, stamp: datetime, sequence: int):
    """Return an event of an earlier calendar as what became of it: done, or cancelled.

    A cancelled event keeps its UID, and its sequence number grows (RFC 5546, section 3.2.5).
    """
    words = ("Done: " if ended.done else "") + ended.title
    event = _whole_days(ended.uid, ended.day, ended.last, words, stamp)
    event.add("categories", [ended.heading])
    event.add("status", "CONFIRMED" if ended.done else "CANCELLED")
    event.add("sequence", max(sequence, 1))
    return event


def _whole_days(uid: str, first: date, last: date, words: str, stamp: datetime):
    """Return an event of whole days that leaves the days free, with nothing but its title."""
    from icalendar import Event

    event = Event()
    event.add("uid", uid)
    event.add("dtstamp", stamp)
    event.add("dtstart", first)
    event.add("dtend", last + timedelta(days=1))  # exclusive: RFC 5545, section 3.6.1
    event.add("summary", _text(words))
    event.add("transp", "TRANSPARENT")
    return event


def _rings(live: Iterable[Entry], names: dict[str, str], harvests: bool) -> dict[Entry, str]:
    """Return the events that ring, one a day, each with what it says: all that day's work."""
    by_day: dict[date, list[Entry]] = {}
    for entry in live:
        by_day.setdefault(entry.day, []).append(entry)
    found = {}
    for day in by_day.values():
        first = next((entry for entry in day if entry.kind != "harvest" or harvests), None)
        if first is not None:
            told = [first, *(entry for entry in day if entry is not first)]
            found[first] = "\n".join(title(entry, names) for entry in told)
    return found


def _alarm(words: str):
    """Return an alarm for the evening before (RFC 5545, section 3.6.6)."""
    from icalendar import Alarm

    alarm = Alarm()
    alarm.add("action", "DISPLAY")
    alarm.add("trigger", EVENING_BEFORE)
    alarm.add("description", _text(words))
    return alarm


def _away(
    plan: Plan,
    number: int,
    span: tuple[date, date],
    stamp: datetime,
    sequence: int,
):
    """Return a time in which nobody is there as an event without alarm, named by its number."""
    event = _whole_days(_away_uid(plan, number), *span, _away_title(plan, span), stamp)
    water = "" if span in plan.site.watered else " Let somebody water."
    event.add("description", f"Nothing is sown, planted out or wanted.{water}")
    event.add("status", "CONFIRMED")
    if sequence:
        event.add("sequence", sequence)
    return event


def _away_uid(plan: Plan, number: int) -> str:
    return str(uuid5(NAMESPACE, f"{plan.site.plan_id}\naway-{number}"))


def _away_title(plan: Plan, span: tuple[date, date]) -> str:
    return "Away: somebody waters" if span in plan.site.watered else "Away: nobody in the garden"


def _nothing(plan: Plan, stamp: datetime):
    """Return the one event of an empty season: a calendar needs one (RFC 5545, section 3.6)."""
    from icalendar import Event

    event = Event()
    event.add("uid", str(uuid5(NAMESPACE, f"{plan.site.plan_id}\n")))
    event.add("dtstamp", stamp)
    event.add("dtstart", plan.site.start)
    event.add("dtend", plan.site.start + timedelta(days=1))
    event.add("summary", "The garden's season begins: nothing is planned")
    event.add("transp", "TRANSPARENT")
    return event


def _text(text: str):
    """Return text without control characters: RFC 5545, section 3.3.11 has no room for them."""
    from icalendar import vText

    lines = text.replace("\r\n", "\n").replace("\r", "\n")
    return vText("".join(c for c in lines if c in "\n\t" or unicodedata.category(c) != "Cc"))
