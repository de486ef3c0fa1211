"""Days, months and weekdays as people write them. English names; nothing depends on a locale."""

from __future__ import annotations

import calendar
import re
from contextlib import suppress
from datetime import date, datetime
from typing import Any

WEEKDAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
MONTHS = (
    *("January", "February", "March", "April", "May", "June", "July", "August"),
    *("September", "October", "November", "December"),
)
EARLIEST, LATEST = 1900, 2200


def read_weekday(text: str) -> int | None:
    """Return a weekday, Monday 0, from its name, plural or first three letters; else None."""
    word = text.strip().rstrip(".").casefold().removesuffix("s")
    for number, name in enumerate(WEEKDAYS):
        if len(word) >= 3 and name.casefold().startswith(word):
            return number
    return None


def _month(text: str) -> int | None:
    word = text.strip().rstrip(".").casefold()
    for number, name in enumerate(MONTHS, 1):
        if len(word) >= 3 and name.casefold().startswith(word) or word == "sept" and number == 9:
            return number
    return None


def read_day(value: Any) -> date:
    """Read a day: a TOML date, ``"2026-09-01"``, ``"1 Sep 2026"`` or ``"September 1, 2026"``.

    Raises
    ------
    ValueError
        With what is wrong in a sentence, where more than the form can be said.
    """
    if isinstance(value, datetime):
        value = value.date()
    if isinstance(value, date):
        return _in_our_time(value)
    if not isinstance(value, str):
        raise ValueError("")
    text = value.strip()
    match = re.fullmatch(r"(\d{4})[-/. ](\d{1,2})[-/. ](\d{1,2})(?:[T ]00:00(?::00)?)?", text)
    if match:
        return _day(int(match[1]), int(match[2]), int(match[3]))
    match = re.fullmatch(r"(\d{1,2})(?:st|nd|rd|th)?\.?\s*([A-Za-z.]+),?\s*(\d{4})", text)
    if match and (month := _month(match[2])):
        return _day(int(match[3]), month, int(match[1]))
    match = re.fullmatch(r"([A-Za-z.]+)\s*(\d{1,2})(?:st|nd|rd|th)?,?\s*(\d{4})", text)
    if match and (month := _month(match[1])):
        return _day(int(match[3]), month, int(match[2]))
    match = re.fullmatch(r"(\d{1,2})[-/. ](\d{1,2})[-/. ](\d{4}|\d{2})", text)
    if match:
        raise ValueError(_year_last(*map(int, match.groups())))
    if re.fullmatch(r"(?:\d{1,2}(?:st|nd|rd|th)?\.?\s*)?[A-Za-z]+\.?(?:\s*\d{1,2})?", text):
        if any(_month(word) for word in re.findall(r"[A-Za-z]{3,}", text)):
            raise ValueError("Write the day, the month and the year.")
    raise ValueError("")


def _year_last(one: int, two: int, year: int) -> str:
    """Return what to write instead of a day with its year last: the one it is, or may be."""
    right = "Write year, month and day in this order, so that none is mistaken"
    days = []
    for month, day in {(one, two), (two, one)}:
        with suppress(ValueError):
            days.append(date(year if year > 99 else 2000 + year, month, day).isoformat())
    return f"{right}: {' or '.join(sorted(days))}." if days else f"{right}."


def _day(year: int, month: int, day: int) -> date:
    if not 1 <= month <= 12:
        raise ValueError(f"There is no month {month}: the order is year, month, day.")
    if not EARLIEST <= year <= LATEST:
        raise ValueError(f"The year {year} is far off.")
    last = calendar.monthrange(year, month)[1]
    if not 1 <= day <= last:
        raise ValueError(f"{MONTHS[month - 1]} {year} has {last} days.")
    return date(year, month, day)


def _in_our_time(day: date) -> date:
    if not EARLIEST <= day.year <= LATEST:
        raise ValueError(f"The year {day.year} is far off.")
    return day


def read_month_day(value: Any) -> tuple[int, int]:
    """Read month and day: ``"10-15"``, ``"15 October"`` or ``"October 15"``.

    Raises
    ------
    ValueError
        With what is wrong, in a sentence.
    """
    if isinstance(value, date):
        raise ValueError("Leave out the year.")
    if not isinstance(value, str):
        raise ValueError("Write it in quotes.")
    text = value.strip()
    match = re.fullmatch(r"(?:--)?(\d{1,2})-(\d{1,2})", text)
    words = re.fullmatch(r"(?:(\d{1,2})\.?\s*)?([A-Za-z.]{3,})(?:\s*(\d{1,2}))?", text)
    if match:
        month, day = int(match[1]), int(match[2])
    elif words and bool(words[1]) != bool(words[3]) and _month(words[2]):
        month, day = _month(words[2]) or 0, int(words[1] or words[3])
    elif re.fullmatch(r"\d{4}-\d{1,2}-\d{1,2}", text):
        raise ValueError("Leave out the year.")
    else:
        raise ValueError("The month comes first.")
    if not 1 <= month <= 12:
        raise ValueError(f"There is no month {month}: the month comes first.")
    if (month, day) == (2, 29):
        raise ValueError("29 February comes in leap years only: write 02-28.")
    last = calendar.monthrange(2001, month)[1]
    if not 1 <= day <= last:
        raise ValueError(f"{MONTHS[month - 1]} has {last} days.")
    return month, day
