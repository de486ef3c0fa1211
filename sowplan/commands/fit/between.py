"""Catch crops between a slow one, as ``sowplan fit … --between`` finds and tells them."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import TYPE_CHECKING, Any

from sowplan.commands.fit.input import ANY
from sowplan.commands.fit.words import in_sentence, spacing_words
from sowplan.quantity import format_spacing

if TYPE_CHECKING:
    from sowplan.bed.intercrop import Intercrop, Stay
    from sowplan.bed.layout import Layout
    from sowplan.commands.fit.question import Question
    from sowplan.growth.courses import Course
    from sowplan.records.crop import Crop

MOST_TOLD = 12
LONGEST_DAYS = 80
"""A crop that takes longer in fair weather is not offered as a catch crop."""


@dataclass(frozen=True, eq=False)
class Found:
    """A catch crop between the slow one; courses where there are dates; why not, if not."""

    catch: Crop
    between: Intercrop | None
    main: Course | None = None
    quick: Course | None = None
    why: str = ""

    @property
    def plants(self) -> int:
        """Number of plants (or clumps) between."""
        return 0 if self.between is None else self.between.plants


def look(asked: Question, layout: Layout) -> list[Found]:
    """Return what was asked between the plants of a layout: one crop, or all that do."""
    if asked.between != ANY:
        return [_Season(asked).found(asked.between, layout)]
    found = []
    for crop in _candidates(asked):
        one = _usual(asked, crop, layout)
        if one.plants:
            found.append(one)
    wanted = {want.crop for want in asked.here.wants} if asked.here else set()
    found.sort(key=lambda f: (f.catch.key not in wanted, f.between.catch_stay.out_days))
    if asked.on is None:
        return found[:MOST_TOLD]
    season = _Season(asked)
    dated = (season.found(f.catch, layout) for f in found[: 2 * MOST_TOLD])
    return [f for f in dated if f.plants][:MOST_TOLD]


def _candidates(asked: Question) -> list[Crop]:
    from sowplan.bed.intercrop import is_quick, usual_stay

    main = asked.crop
    return [
        crop
        for crop in asked.known.values()
        if crop.key != main.key
        and is_quick(crop)
        and crop.height_m <= main.height_m + 0.1
        and usual_stay(crop, crop.start == "raised").out_days <= LONGEST_DAYS
    ]


def _usual(asked: Question, catch: Crop, layout: Layout) -> Found:
    """Return a catch crop in the fair weather of the crops' own figures."""
    from sowplan.bed.intercrop import usual_stay

    main = asked.crop
    stays = (usual_stay(main, main.start == "raised"), usual_stay(catch, catch.start == "raised"))
    return _placed(asked, catch, stays, layout)


def _placed(
    asked: Question,
    catch: Crop,
    stays: tuple[Stay, Stay],
    layout: Layout,
    courses: tuple[Course | None, Course | None] = (None, None),
) -> Found:
    from sowplan.bed.intercrop import intercrop, is_quick

    main, (slow, quick) = asked.crop, stays
    if not is_quick(catch):
        why = "it climbs" if catch.support != "none" else "it is picked for weeks"
        return Found(catch, None, *courses, f"{why}: it is no catch crop")
    if quick.out_days > slow.ready_days:
        why = f"it takes {quick.out_days:.0f} days, {in_sentence(main.name)} {slow.ready_days:.0f}"
        return Found(catch, None, *courses, why)
    bed = {"outline": asked.shape.outline, "keep_outs": asked.keep_outs}
    found = intercrop(main, catch, slow, quick, layout, margin_m=asked.margin_m, **bed)
    width, name = format_spacing(found.reach_m, asked.units), in_sentence(main.name)
    why = f"when it is out, after {quick.out_days:.0f} days, the {name} is {width} wide"
    return Found(catch, found, *courses, "" if found.plants else why)


class _Season:
    """The garden's own weather about the day asked for; read once for all crops."""

    def __init__(self, asked: Question):
        self.asked, self.sky, self.main = asked, None, None
        if asked.on is None:
            return
        from sowplan.bed.intercrop import AFTER_DAYS, BEFORE_DAYS
        from sowplan.site.sky import sky

        here = asked.here
        start = asked.on - timedelta(days=BEFORE_DAYS)
        self.sky = sky(here.site, here.climate, start, BEFORE_DAYS + AFTER_DAYS)
        tray = next(iter(here.trays), None) if asked.crop.usually_raised else None
        self.main = self._course(asked.crop, tray, asked.on)

    def _course(self, crop: Crop, tray: Any, day: date) -> Course:
        from sowplan.bed.intercrop import course_entering
        from sowplan.growth.conditions import conditions_of

        here = self.asked.here
        conditions = conditions_of(crop, self.asked.where, tray, here.site)
        return course_entering(crop, self.sky, conditions, day, here.climate.frost_risk)

    def found(self, catch: Crop, layout: Layout) -> Found:
        """Return a catch crop between the plants of a layout, with dates where there is a day."""
        from sowplan.bed.intercrop import stay_of

        if self.sky is None:
            return _usual(self.asked, catch, layout)
        main = self.main
        if not main.feasible:
            name = in_sentence(self.asked.crop.name)
            return Found(catch, None, main, None, f"{name} cannot go in then: {_low(main.reason)}")
        trays = self.asked.here.trays
        tray = next(iter(trays), None) if catch.start == "raised" else None
        quick = self._course(catch, tray, main.planting_out or main.sow)
        if not quick.feasible:
            return Found(catch, None, main, quick, _low(quick.reason))
        stays = (stay_of(main), stay_of(quick))
        late = ((quick.planting_out or quick.sow) - (main.planting_out or main.sow)).days
        quick_stay = replace(stays[1], out_days=stays[1].out_days + late)
        return _placed(self.asked, catch, (stays[0], quick_stay), layout, (main, quick))


def _low(reason: str) -> str:
    return reason[:1].lower() + reason[1:].rstrip(".")


def catch_layout(found: Found, layout: Layout) -> Layout:
    """Return the catch crop's plants as a layout of their own, to be set out."""
    crop, points = found.catch, found.between.positions
    return replace(
        layout,
        positions=points,
        pattern="rows",
        spacing_m=crop.spacing_cm / 100,
        row_spacing_m=crop.row_spacing_cm / 100,
        along=layout.along,
    )


def told(found: Found, asked: Question, layout: Layout) -> list[str]:
    """Return what is said of one catch crop, line by line."""
    from sowplan.bed.marks import instructions

    name, main = in_sentence(found.catch.name), in_sentence(asked.crop.name)
    if not found.plants:
        return [f"No {name} between: {found.why}."]
    own = catch_layout(found, layout)
    each, one = found.catch.plants_per_cell, found.plants == 1
    what = (
        ("plant" if each == 1 else "clump")
        + ("" if one else "s")
        + (f" of {each}" if each > 1 else "")
    )
    lines = [f"Between them: {found.plants} {what} of {name}, {spacing_words(own, asked.units)}."]
    lines += [f"  {line}" for line in _times(found, name, main, asked.units)]
    lines += ["", f"  Setting out the {name}"]
    return lines + [f"  {line}" for line in instructions(own, asked.units)]


def _times(found: Found, name: str, main: str, units: Any) -> list[str]:
    """Return from when to when, and how wide the slow crop is by then."""
    from sowplan.supply.wording import day_text

    between, width = found.between, format_spacing(round(found.between.reach_m, 2), units)
    out, met = between.catch_stay.out_days, between.met_days
    slow, quick = found.main, found.quick
    comes = "planted out" if between.catch_stay.raised else "sown"
    if slow is None:
        you = "plant out" if between.main_stay.raised else "sow"
        reached = f"after about {met:.0f} days" if met else ""
        lines = [
            f"{comes.capitalize()} when you {you} {main}: fit after about "
            f"{between.catch_stay.ready_days:.0f} days, out within {out:.0f}."
        ]
    else:
        begun, entered = slow.planting_out or slow.sow, quick.planting_out or quick.sow
        goes = "planted out" if between.main_stay.raised else "sown"
        reached = f"about {_day(begun, met)}" if met else ""
        lines = [
            f"{main[:1].upper()}{main[1:]}: {goes} {day_text(begun, year=True)}, first harvest "
            f"about {day_text(slow.harvest_start, weekday=False, year=True)}.",
            f"{name[:1].upper()}{name[1:]}: {comes} {day_text(entered)}, fit about "
            f"{day_text(quick.harvest_start, weekday=False)}, out by {_day(begun, out)}.",
        ]
    end = f"would reach the {name} {reached}" if reached else f"never reaches the {name}"
    lines.append(f"By then a plant of {main} is about {width} wide, and {end}.")
    if slow is None:
        lines.append("Days of fair weather. For dates here: --garden, --place and --on.")
    return lines


def _day(begun: date, days: float) -> str:
    from sowplan.supply.wording import day_text

    return day_text(begun + timedelta(days=round(days)), weekday=False)


def table(found: list[Found], asked: Question) -> list[str]:
    """Return several catch crops, a line each."""
    from sowplan.supply.wording import day_text

    if not found:
        return ["No quick crop finds room and time between them."]
    wanted = {want.crop for want in asked.here.wants} if asked.here else set()
    dated = asked.on is not None
    head = f"  {'Between them':<26}{'plants':>7}  " + (
        f"{'in':<14}{'fit':<14}out by" if dated else "fit after   out within"
    )
    lines = [head]
    for one in found:
        stay = one.between.catch_stay
        star = "*" if one.catch.key in wanted else " "
        row = f"{star} {one.catch.name:<26}{one.plants:>7}  "
        if dated:
            begun = one.main.planting_out or one.main.sow
            enters = one.quick.planting_out or one.quick.sow
            days = (enters, one.quick.harvest_start, begun + timedelta(days=round(stay.out_days)))
            row += "".join(f"{day_text(day, weekday=False):<14}" for day in days)
        else:
            row += f"{stay.ready_days:>4.0f} days   {stay.out_days:>4.0f} days"
        lines.append(row.rstrip())
    if any(one.catch.key in wanted for one in found):
        lines.append("* wanted in the garden file")
    if not dated:
        lines.append("Days of fair weather. For dates here: --garden, --place and --on.")
    return lines


def as_json(found: list[Found]) -> list[dict[str, Any]]:
    """Return catch crops as plain values; lengths in metres, days from planting the slow crop."""
    values = []
    for one in found:
        value: dict[str, Any] = {
            "crop": one.catch.key,
            "plants": one.plants,
            "reason": one.why or None,
        }
        if one.between is not None:
            stay, met = one.between.catch_stay, one.between.met_days
            value |= {
                "ready_days": round(stay.ready_days, 1),
                "out_days": round(stay.out_days, 1),
                "main_spread_m": round(one.between.reach_m, 4),
                "met_days": None if met is None else round(met, 1),
                "positions": [
                    [round(x, 9), round(y, 9)] for x, y in one.between.positions.tolist()
                ],
            }
        if one.main is not None and one.quick is not None and one.between is not None:
            begun = one.main.planting_out or one.main.sow
            value |= {
                "main_in": begun.isoformat(),
                "main_harvest": one.main.harvest_start.isoformat(),
                "in": (one.quick.planting_out or one.quick.sow).isoformat(),
                "fit": one.quick.harvest_start.isoformat(),
                "out_by": (begun + timedelta(days=round(stay.out_days))).isoformat(),
            }
        values.append(value)
    return values
