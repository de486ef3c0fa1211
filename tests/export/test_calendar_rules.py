"""The calendar against RFC 5545, by a checker of our own that reads bytes and knows no library.

Libraries forgive much of what a phone does not; each rule below names its section.
The checker itself is tried on broken calendars first: a rule that never fails says nothing.
"""

from __future__ import annotations

import dataclasses
import re
from datetime import date

import icalendar
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from sowplan.export.calendar import calendar, details, entries, title
from sowplan.supply.tasks import tasks

NAME = r"[A-Za-z0-9-]+"
QUOTED_OR_PLAIN = r'(?:"[^"\x00-\x08\x0a-\x1f\x7f]*"|[^";:,\x00-\x08\x0a-\x1f\x7f]*)'
PARAM = rf";{NAME}={QUOTED_OR_PLAIN}(?:,{QUOTED_OR_PLAIN})*"
CONTENT_LINE = re.compile(rf"({NAME})((?:{PARAM})*):([^\x00-\x08\x0a-\x1f\x7f]*)", re.S)
TIME = r"T(?:\d+H)?(?:\d+M)?(?:\d+S)?"
DURATION = re.compile(rf"[+-]?P(?:\d+W|\d+D(?:{TIME})?|{TIME})")
TEXT_PROPERTIES = {"SUMMARY", "DESCRIPTION", "X-WR-CALNAME", "PRODID", "UID"}
ONCE = {
    "CLASS", "CREATED", "DESCRIPTION", "DTSTART", "DTEND", "DURATION", "LAST-MODIFIED", "LOCATION",
    "ORGANIZER", "PRIORITY", "RRULE", "SEQUENCE", "STATUS", "SUMMARY", "TRANSP", "URL",
}  # fmt: skip


def broken_rules(data: bytes) -> list[str]:
    """Return every rule that a calendar breaks, each with its section."""
    found = list(_lines_of_the_stream(data))
    lines = data.decode("utf-8", "replace").replace("\r\n ", "").replace("\r\n\t", "")
    parsed = []
    for line in lines.split("\r\n")[:-1]:
        match = CONTENT_LINE.fullmatch(line)
        if match is None:
            found.append(f"3.1 not a content line: {line!r}")
        else:
            parsed.append((match[1].upper(), match[2], match[3]))
    return found + _tree(parsed)


def _lines_of_the_stream(data: bytes):
    """Section 3.1: lines end with CRLF and hold at most 75 octets, characters are never split."""
    if not data.endswith(b"\r\n"):
        yield "3.1 the stream does not end with CRLF"
    for line in data.split(b"\r\n"):
        if b"\r" in line or b"\n" in line:
            yield f"3.1 a bare CR or LF: {line!r}"
        if len(line) > 75:
            yield f"3.1 {len(line)} octets in a line"
        try:
            line.decode("utf-8")
        except UnicodeDecodeError:
            yield f"3.1 a character split by folding: {line!r}"


def _tree(lines) -> list[str]:
    """Section 3.6: components nest; then each by its own rules."""
    found, open_components, done = [], [], []
    for name, params, value in lines:
        if name == "BEGIN":
            open_components.append((value, [], []))
            continue
        if not open_components:
            found.append(f"3.4 a property outside of all components: {name}")
        elif name == "END":
            component = open_components.pop()
            if component[0] != value:
                found.append(f"3.6 END:{value} closes {component[0]}")
            (open_components[-1][2] if open_components else done).append(component)
        else:
            open_components[-1][1].append((name, params, value))
            found += _escapes(name, value)
    if open_components or [name for name, *_ in done] != ["VCALENDAR"]:
        return [*found, "3.4 not exactly one whole VCALENDAR"]
    return found + _vcalendar(done[0])


def _escapes(name: str, value: str):
    """Section 3.3.11: in TEXT a backslash escapes ``\\ ; , n N``; ``;`` ``,`` never stand alone."""
    if name in TEXT_PROPERTIES | {"CATEGORIES"}:
        if re.search(r"\\(?![\\;,nN])", value.replace("\\\\", "")):
            yield f"3.3.11 a backslash that escapes nothing in {name}"
        rest = re.sub(r"\\.", "", value)
        if ";" in rest or ("," in rest and name != "CATEGORIES"):
            yield f"3.3.11 an unescaped ; or , in {name}: {value}"


def _vcalendar(component) -> list[str]:
    found = []
    _, properties, children = component
    count = _counts(properties)
    for name in ("PRODID", "VERSION"):
        if count.get(name) != 1:
            found.append(f"3.6 {name} is not there once")
    for name in ("CALSCALE", "METHOD"):
        if count.get(name, 0) > 1:
            found.append(f"3.6 {name} is there twice")
    if _value(properties, "VERSION") != "2.0":
        found.append("3.7.4 the version is not 2.0")
    if not children:
        found.append("3.6 no component in the calendar")
    events = [child for child in children if child[0] == "VEVENT"]
    uids = [_value(event[1], "UID") for event in events]
    found += [f"3.8.4.7 UID twice: {uid}" for uid in set(uids) if uids.count(uid) > 1]
    for event in events:
        found += _vevent(event, has_method="METHOD" in count)
    return found


def _vevent(component, has_method: bool) -> list[str]:
    _, properties, children = component
    count, found = _counts(properties), []
    for name in ("UID", "DTSTAMP"):
        if count.get(name) != 1:
            found.append(f"3.6.1 {name} is not there once")
    if not has_method and count.get("DTSTART") != 1:
        found.append("3.6.1 DTSTART is not there once")
    found += [f"3.6.1 {name} is there twice" for name in ONCE if count.get(name, 0) > 1]
    if "DTEND" in count and "DURATION" in count:
        found.append("3.6.1 both DTEND and DURATION")
    if not re.fullmatch(r"\d{8}T\d{6}Z", _value(properties, "DTSTAMP") or ""):
        found.append("3.8.7.2 DTSTAMP is not a date and time in UTC")
    start, end = _date(properties, "DTSTART"), _date(properties, "DTEND")
    if start is None or end is None:
        found.append("3.3.4, 3.8.2.4 an all-day event starts and ends with VALUE=DATE")
    elif end <= start:
        found.append("3.8.2.2 DTEND is not later than DTSTART")
    if _value(properties, "TRANSP") not in ("OPAQUE", "TRANSPARENT", None):
        found.append("3.8.2.7 no such TRANSP")
    if _value(properties, "STATUS") not in ("TENTATIVE", "CONFIRMED", "CANCELLED", None):
        found.append("3.8.1.11 no such STATUS of an event")
    for child in children:
        found += _valarm(child)
    return found


def _valarm(component) -> list[str]:
    name, properties, _ = component
    if name != "VALARM":
        return [f"3.6.1 {name} in an event"]
    count, found = _counts(properties), []
    for required in ("ACTION", "TRIGGER"):
        if count.get(required) != 1:
            found.append(f"3.6.6 {required} is not there once")
    if _value(properties, "ACTION") == "DISPLAY" and count.get("DESCRIPTION") != 1:
        found.append("3.6.6 a DISPLAY alarm without its DESCRIPTION")
    if not DURATION.fullmatch(_value(properties, "TRIGGER") or ""):
        found.append("3.3.6, 3.8.6.3 TRIGGER is not a duration")
    return found


def _counts(properties) -> dict[str, int]:
    names = [name for name, _, _ in properties]
    return {name: names.count(name) for name in names}


def _value(properties, wanted: str) -> str | None:
    return next((value for name, _, value in properties if name == wanted), None)


def _date(properties, wanted: str) -> date | None:
    for name, params, value in properties:
        if name == wanted and params.upper() == ";VALUE=DATE" and re.fullmatch(r"\d{8}", value):
            return date.fromisoformat(value)
    return None


# --- the checker can fail ------------------------------------------------------

GOOD = (
    "BEGIN:VCALENDAR\r\nPRODID:-//a//b//EN\r\nVERSION:2.0\r\n"
    "BEGIN:VEVENT\r\nUID:1\r\nDTSTAMP:20260901T000000Z\r\n"
    "DTSTART;VALUE=DATE:20260901\r\nDTEND;VALUE=DATE:20260902\r\nSUMMARY:Sow\\, then \\; water\r\n"
    "BEGIN:VALARM\r\nACTION:DISPLAY\r\nDESCRIPTION:Sow\r\nTRIGGER:-PT6H\r\nEND:VALARM\r\n"
    "END:VEVENT\r\nEND:VCALENDAR\r\n"
)
BREAKS = (
    ("UID:1\r\n", "", "3.6.1 UID"),
    ("UID:1\r\n", "UID:1\r\nUID:1\r\n", "3.6.1 UID"),
    ("DTSTAMP:20260901T000000Z\r\n", "", "3.6.1 DTSTAMP"),
    ("T000000Z", "T000000", "3.8.7.2"),
    ("DATE:20260902", "DATE:20260901", "3.8.2.2"),
    ("DTEND;VALUE=DATE:20260902", "DTEND:20260902T000000Z", "3.3.4"),
    ("\r\nVERSION:2.0", "", "3.6 VERSION"),
    ("PRODID:-//a//b//EN\r\n", "", "3.6 PRODID"),
    ("ACTION:DISPLAY\r\n", "", "3.6.6 ACTION"),
    ("DESCRIPTION:Sow\r\n", "", "3.6.6 a DISPLAY"),
    ("TRIGGER:-PT6H", "TRIGGER:-6H", "3.3.6"),
    ("END:VALARM\r\n", "", "3.6 END"),
    ("SUMMARY:Sow\\,", "SUMMARY:Sow,", "3.3.11 an unescaped"),
    ("SUMMARY:Sow\\,", "SUMMARY:Sow\\x", "3.3.11 a backslash"),
    ("\r\nSUMMARY", "\nSUMMARY", "3.1 a bare"),
    ("SUMMARY:", "SUMMARY" + "x" * 80 + ":", "3.1 107 octets"),
    ("SUMMARY:Sow", "SUM MARY:Sow", "3.1 not a content line"),
    ("SUMMARY:Sow", "SUMMARY:Sow\x07", "3.1 not a content line"),
    ("END:VCALENDAR\r\n", "END:VCALENDAR", "3.1 the stream"),
)  # fmt: skip


def test_the_checker_lets_a_right_calendar_pass():
    assert broken_rules(GOOD.encode()) == []


@pytest.mark.parametrize(("right", "wrong", "rule"), BREAKS)
def test_the_checker_finds_each_break(right, wrong, rule):
    assert right in GOOD
    found = broken_rules(GOOD.replace(right, wrong, 1).encode())
    assert any(text.startswith(rule) for text in found), found


def test_the_checker_finds_a_split_character_and_two_events_of_one_uid():
    split = GOOD.encode().replace(b"SUMMARY:Sow", b"SUMMARY:\xc3\r\n \xbcber")
    assert any("split" in text for text in broken_rules(split))
    event = GOOD[GOOD.index("BEGIN:VEVENT") : GOOD.index("END:VCALENDAR")]
    twice = GOOD.replace("END:VCALENDAR", event + "END:VCALENDAR")
    assert broken_rules(twice.encode()) == ["3.8.4.7 UID twice: 1"]


# --- the calendar ----------------------------------------------------------------


def test_the_sample_breaks_no_rule(sample_plan):
    assert broken_rules(calendar(sample_plan)) == []


def test_every_example_breaks_no_rule(example_folder):
    data = (example_folder / "season.ics").read_bytes()
    assert data.count(b"BEGIN:VEVENT") > 10
    assert broken_rules(data) == []
    assert _house_rules(data) == []


def test_an_empty_season_breaks_no_rule(sample_plan):
    empty = dataclasses.replace(sample_plan, plantings=(), wants=())
    assert broken_rules(calendar(empty)) == []


def test_a_calendar_with_cancelled_events_breaks_no_rule(sample_plan):
    fewer = dataclasses.replace(sample_plan, plantings=sample_plan.plantings[:-6])
    data = calendar(fewer, before=sample_plan)
    assert b"STATUS:CANCELLED" in data
    assert broken_rules(data) == []


def _house_rules(data: bytes) -> list[str]:
    """What the project asks beyond the RFC, for clients that read less than all of it."""
    text = data.replace(b"\r\n ", b"").decode()
    head = text[: text.index("BEGIN:VEVENT")]
    found = [f"{name} in the calendar's head" for name in ("UID:", "METHOD:") if name in head]
    found += [f"{name} in the calendar" for name in ("VTIMEZONE", "TZID") if name in text]
    events = text.split("BEGIN:VEVENT")[1:]
    live = [event for event in events if "STATUS:CANCELLED" not in event]
    found += ["an event that is busy" for event in events if "TRANSP:TRANSPARENT" not in event]
    # Section 3.8.6.3: before an all-day event's start, which is midnight; six hours: 18:00.
    rung = [event for event in live if "BEGIN:VALARM" in event]
    found += ["an alarm at another time" for event in rung if "TRIGGER:-PT6H" not in event]
    days = [re.search(r"DTSTART;VALUE=DATE:(\d{8})", event)[1] for event in rung]
    found += ["two alarms of one evening"] * (len(set(days)) != len(days))
    return found + ["several stamps"] * (len(set(re.findall("DTSTAMP:.*", text))) != 1)


def test_the_house_rules_hold(sample_plan):
    assert _house_rules(calendar(sample_plan)) == []


def test_each_evening_before_work_rings_once_and_names_all_of_it(sample_plan):
    """For what only waits to be harvested nothing rings, unless it is asked to."""
    from icalendar import Calendar

    for harvests in (False, True):
        told, rung = {}, {}
        for event in Calendar.from_ical(calendar(sample_plan, None, harvests)).walk("VEVENT"):
            day = event["DTSTART"].dt
            told.setdefault(day, []).append(event)
            for alarm in event.walk("VALARM"):
                rung.setdefault(day, []).append(str(alarm["DESCRIPTION"]))
        for day, events in told.items():
            kinds = {str(event["CATEGORIES"].cats[0]) for event in events}
            if kinds == {"Harvest"} and not harvests:
                assert day not in rung
                continue
            (words,) = rung[day]
            assert sorted(words.split("\n")) == sorted(str(event["SUMMARY"]) for event in events)


def test_a_library_reads_back_what_was_said(sample_plan):
    """icalendar's parser, a general reference library, is the outside reader."""
    read = icalendar.Calendar.from_ical(calendar(sample_plan)).walk("VEVENT")
    names = {crop.key: crop.name for crop in sample_plan.crops}
    meant = entries(tasks(sample_plan))
    assert len(read) == len(meant)
    for event, entry in zip(read, meant, strict=True):
        assert event["SUMMARY"] == title(entry, names)
        assert event["DESCRIPTION"] == details(entry)
        assert event["DTSTART"].dt == entry.day
        last = max(t.until for t in entry.tasks) if entry.kind == "harden off" else entry.day
        assert (event["DTEND"].dt - last).days == 1
        assert [str(c).casefold() for c in event["CATEGORIES"].cats] in (
            [entry.kind],
            ["frost watch"],
        )


AWKWARD = (
    "Bed; with, all\\sorts: \"of\" 'signs'",
    "two\nlines\r\nand\rmore",
    "Gemüsebeet Süd–Ost № 7",
    "🥕" * 60,
    "é" * 200,
    "名前" * 50,
    "ends in a backslash\\",
    "\\n is no line break",
    "tab\tbell\x07null\x00delete\x7f",
    "BEGIN:VEVENT",
    " leading and trailing ",
    "",
)


def renamed(plan, name: str):
    """Return the plan with its site, first bed, first tray and first crop renamed."""
    old, tray = plan.places[0].name, plan.trays[0].name
    return dataclasses.replace(
        plan,
        site=dataclasses.replace(plan.site, name=name),
        places=(dataclasses.replace(plan.places[0], name=name + " 1"), *plan.places[1:]),
        trays=(dataclasses.replace(plan.trays[0], name=name + " 2"), *plan.trays[1:]),
        crops=tuple(dataclasses.replace(crop, name=f"{name} {crop.name}") for crop in plan.crops),
        plantings=tuple(
            dataclasses.replace(
                p,
                place=name + " 1" if p.place == old else p.place,
                tray=name + " 2" if p.tray == tray else p.tray,
            )
            for p in plan.plantings[:8]
        ),
    )


@pytest.mark.parametrize("name", AWKWARD)
def test_awkward_names_break_no_rule_and_come_back(sample_plan, name):
    plan = renamed(sample_plan, name)
    data = calendar(plan)
    assert broken_rules(data) == []
    names = {crop.key: crop.name for crop in plan.crops}
    read = icalendar.Calendar.from_ical(data).walk("VEVENT")
    for event, entry in zip(read, entries(tasks(plan)), strict=True):
        told = "".join(c for c in title(entry, names) if c >= " " and c != "\x7f")
        assert event["SUMMARY"] == told


@settings(
    max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(name=st.text(st.characters(exclude_categories=["Cs"]), max_size=120))
def test_no_name_breaks_a_rule(sample_plan, name):
    few = dataclasses.replace(sample_plan, plantings=sample_plan.plantings[:3])
    assert broken_rules(calendar(renamed(few, name))) == []
