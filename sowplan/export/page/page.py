"""The page: one HTML file with everything inside, made of the template and a plan."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import asdict
from itertools import groupby
from pathlib import Path

from sowplan.export.nearness import bound_told, distance_told, near_told
from sowplan.export.page.data import page_data
from sowplan.export.page.todo import done_whole, page_tasks
from sowplan.export.pictures.harvest import harvest_strip, strip_defs, sums
from sowplan.export.pictures.season import RIGHT, season_parts
from sowplan.export.pictures.style import DARK, LIGHT, Palette
from sowplan.export.pictures.svg import element, escape
from sowplan.export.pictures.tally import Tally, tallies
from sowplan.export.pictures.words import (
    amount,
    day_month,
    day_month_year,
    season_name,
    sowings_text,
    span,
    weekday_day,
)
from sowplan.export.wanted import help_told, why_text
from sowplan.quantity import kept_together
from sowplan.records.diary import Entry
from sowplan.season.plan import Plan
from sowplan.supply.cleared import as_cleared
from sowplan.supply.wording import count_text, month_text, percent_text

HERE = Path(__file__).parent
PX_A_DAY, CHART, NAMES = 2.6, 1034.0, 104.0  # at least so wide a day, a chart; its names
"""Of up to thirteen months all stands in the page's 74 rem, beside the names: nothing to scroll."""
ONE_SHEET = 1400.0  # px of a chart: a taller one goes on no sheet of paper with its heading


def page_html(plan: Plan, entries: Sequence[Entry] = ()) -> str:
    """Write a plan as one self-contained page.

    Parameters
    ----------
    plan : Plan
        A finished season.
    entries : sequence of Entry
        Its diary: what is done by it is shown so.

    Returns
    -------
    str
        HTML that needs no network; the same plan and diary give the same text.
    """
    site = plan.site
    days = (site.end - site.start).days + 1
    width = max(days * PX_A_DAY, CHART) + RIGHT
    names, chart = season_parts(as_cleared(plan), width, NAMES)
    season = season_name(site.start, site.end)
    filled = {
        "title": escape(f"{site.name}, {season}"),
        "name": escape(site.name),
        "season": escape(season),
        "facts": _text(_facts(plan)),
        "colours": colour_rules(),
        "style": (HERE / "page.css").read_text(encoding="utf-8"),
        "names_share": f"{100 * NAMES / (NAMES + width):.2f}",
        "season_kept": ' class="whole"' if _height(chart) <= ONE_SHEET else "",
        "season_names": names,
        "season_chart": chart,
        "shared": _shared(plan),
        "wants": _wants(plan),
        "count": _text(sowings_text(plan)),
        "jobs": _jobs(plan, entries),
        "notes": _notes(plan),
        "quality": _quality(plan),
        "data": page_data(plan, (width - RIGHT - 0.5) / days, entries),
        "script": _script(),
    }
    template = (HERE / "page.html").read_text(encoding="utf-8")
    return re.sub(r"\{\{(\w+)\}\}", lambda found: filled[found[1]], template)


def _height(picture: str) -> float:
    """Return how tall a picture is [px]."""
    return float(picture.split('height="', 1)[1].split('"', 1)[0])


def _script() -> str:
    """Return the page's script, the part that draws beds in its place."""
    script, beds = ((HERE / name).read_text(encoding="utf-8") for name in ("page.js", "beds.js"))
    return script.replace("  // {{beds.js}}\n", beds)


def _text(words: str) -> str:
    """Return words as markup, their figures kept with their units."""
    return escape(kept_together(words))


def colour_rules() -> str:
    """Return the style's colours as variables, for light, dark and paper."""

    def rules(colours: Palette) -> str:
        return " ".join(f"--{k.replace('_', '-')}: {v};" for k, v in asdict(colours).items())

    return (
        f":root {{ {rules(LIGHT)} }}\n"
        f"@media (prefers-color-scheme: dark) {{ :root {{ {rules(DARK)} }} }}\n"
        f"@media print {{ :root {{ {rules(LIGHT)} --paper: #fff; }} }}"
    )


def _facts(plan: Plan) -> str:
    site = plan.site
    dated = [(site.last_frost, "last frost"), (site.first_frost, "first frost")]
    words = [f"{name} {day_month_year(day)}" for day, name in sorted(d for d in dated if d[0])]
    if words:
        words.append(f"at {percent_text(site.frost_risk)} risk")
    if site.frost_note:
        words.append(site.frost_note)
    text = ", ".join(words)
    return text[:1].upper() + text[1:] + "." if text else ""


def _quality(plan: Plan) -> str:
    """Say how good the plan is, and against what."""
    q = plan.quality
    if q.wanted <= 0:
        return element("p", "Nothing is wanted in this plan.")
    met = percent_text(1 - q.missing_share)
    words = f"{met[0].upper()}{met[1:]} of all that is wanted comes, from "
    words += f"{sowings_text(plan)}."
    known = distance_told(q)
    known = element("p", _text(f"{known[0].upper()}{known[1:]} {bound_told(q)}"))
    known = element("details", element("summary", "How this is known") + known)
    return element("p", _text(f"{words} {near_told(plan)}")) + known


def _wants(plan: Plan) -> str:
    """Return a card a crop: what is asked for, its weeks, what is missing and why."""
    rows = tallies(plan)
    if not rows:
        return element("p", "Nothing is wanted and nothing grows.", class_="quiet")
    cards = "".join(_want(plan, row) for row in rows)
    return element("div", cards, class_="wants")


def _shared(plan: Plan) -> str:
    """Return the hatches and months that pictures all over the page draw with, never folded."""
    look = {"width": 0, "height": 0, "aria_hidden": "true", "style": "position:absolute"}
    return element("svg", element("defs", strip_defs(plan)), **look)


def _want(plan: Plan, row: Tally) -> str:
    said = []
    for words in sums(row):
        kind = {"missing": "lack", "over": "spare"}.get(words.rsplit(" ", 1)[-1])
        said.append(element("span", _text(words), class_=kind) if kind else _text(words))
    whys = [
        element(
            "li",
            _text(f"{span(first, last)}: {amount(lack, row.unit, row.units)} missing")
            + (_text(f". {why_text(why)}") if why else ""),
        )
        for why, first, last, lack in row.whys
    ]
    reasons = element("ul", "".join(whys)) if whys else ""
    numbers = sorted({w.want for w in plan.wants if w.crop == row.crop.key and w.unit == row.unit})
    told = dict.fromkeys(help_told(plan, number) for number in numbers)
    reasons += "".join(element("p", _text(words)) for words in told if words)
    if reasons:
        why = f"Why {row.crop.name} goes short"
        reasons = element("details", element("summary", escape(why)) + reasons)
    head = element("h4", _text(f"{row.crop.name}, {row.asked or 'not asked for'}"))
    body = element("p", ", ".join(said), class_="sums")
    return element("div", head + body + harvest_strip(plan, row) + reasons, class_="want")


def _jobs(plan: Plan, entries: Sequence[Entry]) -> str:
    """Return every job by month and day; the script reads the titles here, in this order."""
    todo, known = page_tasks(plan, entries)
    if not todo:
        return element("p", "Nothing to do.", class_="quiet")
    parts = []
    for month, its in groupby(todo, key=lambda task: month_text(task.day)):
        lines = ""
        for day, jobs in groupby(its, key=lambda task: task.day):
            lines += element("dt", _text(weekday_day(day)))
            for job in jobs:
                note = f"until {day_month(job.until)}" if job.until > day else ""
                note = "done" if done_whole(job, known) else note
                lines += element(
                    "dd", _text(job.title) + (element("i", _text(note)) if note else "")
                )
        parts.append(element("h3", month) + element("dl", lines))
    return "".join(parts)


def _notes(plan: Plan) -> str:
    if not plan.notes:
        return ""
    items = "".join(element("li", _text(note)) for note in plan.notes)
    notes = count_text(len(plan.notes), "note")
    return element("details", element("summary", f"{notes} of the plan") + element("ul", items))
