"""The day a command is about: written out, or yesterday, today or tomorrow in the garden."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from typing import TYPE_CHECKING

import typer

if TYPE_CHECKING:
    from sowplan.season.plan import Plan


def day_meant(text: str | None, plan: Plan, option: str = "--on") -> date:
    """Return the day meant: one written out, or yesterday, today or tomorrow in the garden."""
    from sowplan.records.garden_file.values.months import read_day

    near = {"yesterday": -1, "today": 0, "tomorrow": 1}
    word = "today" if text is None else text.strip().casefold()
    if word in near:
        return today_in(plan) + timedelta(days=near[word])
    try:
        return read_day(text)
    except ValueError as error:
        right = f"Write a day such as 2026-11-05, today or tomorrow. {error}".strip()
        raise typer.BadParameter(f"{right} (found: {text})", param_hint=option) from None


def today_in(plan: Plan) -> date:
    """Return today's date in the garden, which may be tomorrow's here."""
    from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

    try:
        return datetime.now(ZoneInfo(plan.site.timezone)).date()
    except (ZoneInfoNotFoundError, ValueError):
        return date.today()
