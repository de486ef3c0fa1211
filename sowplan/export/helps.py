"""What one thing more would bring, in words: a square metre, some cells, a week of cover.

What a thing brings is counted in weeks of a want, so that heads and kilograms can be ranked; what
helps a want that counts double for the gardener helps double.
"""

from __future__ import annotations

import textwrap
from collections import Counter

from sowplan.season.plan import Gain, Plan
from sowplan.season.words import in_list, listed
from sowplan.supply.wording import amount_text, is_worth_telling, one_line

WORTH_SAYING = 0.5
"""What brings fewer weeks of a want than this is not worth a gardener's time to read of."""
CROPS_TOLD = 3
"""So many crops that a thing would help are named with their amounts."""
THINGS_TOLD = 8
BUYING = "buying "
WHAT_WIDTH = 36
TO_BUY = (
    'Plants to buy are written as a [[sowing]] with that date, number and place, and sow = "bought '
    'plants".'
)
COVERING = ("fleece over ", "tunnel over ")
TO_COVER = (
    "What is sown under a cover is written as a [[sowing]] with that date, number and place, and "
    'cover = "fleece" or "tunnel". It is counted as lying all the days told; open it by day while '
    "anything flowers that insects have to reach."
)
ALONE = "Each by itself, beside this plan."
SHARED = (
    "Where several crops would have of it, planned anew others may; what it comes to in all is "
    "about the same."
)


def usual_days(plan: Plan, want: int) -> int:
    """Return how many days a period of a want has, but for days left over or spent away."""
    lengths = Counter((w.end - w.start).days + 1 for w in plan.wants if w.want == want)
    return max(lengths, key=lambda days: (lengths[days], -days))


def most_help(plan: Plan) -> str:
    """Return what would help most and which crop, as a sentence; empty where nothing would."""
    ranked = _ranked(plan)
    if not ranked:
        return ""
    what, gains = ranked[0]
    what = one_line(what).partition(", lying ")[0]
    return f"What would help most: {what} (brings {_brings(plan, gains, 1)})."


def helps_told(plan: Plan, width: int) -> list[str]:
    """Return a table of what one thing more would bring, most useful first; lines to print.

    Parameters
    ----------
    plan : Plan
        Any plan; nothing is returned for one that knows of no such thing.
    width : int
        Most characters a line may have.
    """
    ranked = _ranked(plan)[:THINGS_TOLD]
    rows = [(what, _brings(plan, gains, CROPS_TOLD)) for what, gains in ranked]
    helping = {gain.what for gain in plan.gains if gain.brings > 0}
    idle = list(dict.fromkeys(gain.what for gain in plan.gains if gain.what not in helping))
    head = ALONE + (f" {SHARED}" if any(len(gains) > 1 for _, gains in ranked) else "")
    lines = textwrap.wrap(head, width) if rows else []
    left = min(max((len(one_line(what)) for what, _ in rows), default=0), WHAT_WIDTH)
    for what, brings in rows:
        lines += _row(one_line(what), brings, left, width)
    if any(what.startswith(BUYING) for what, _ in rows):
        lines += textwrap.wrap(TO_BUY, width)
    if any(covering in what for what, _ in rows for covering in COVERING):
        lines += textwrap.wrap(TO_COVER, width)
    if idle:
        words = f"Would bring nothing by itself: {listed(list(map(one_line, idle)), 'or')}."
        lines += textwrap.wrap(words, width, break_on_hyphens=False)
    return lines


def _ranked(plan: Plan) -> list[tuple[str, list[Gain]]]:
    """Return each thing worth telling with what it brings, both the most useful first.

    The gardener's priorities are counted in, but not when it is asked what is worth telling.
    """
    counts = {want.want: want.priority for want in plan.wants}
    worth: dict[str, list[tuple[float, int, Gain]]] = {}
    for gain in plan.gains:
        if is_worth_telling(gain.brings, gain.unit):
            felt = _weeks(plan, gain) * counts[gain.want]
            worth.setdefault(gain.what, []).append((-felt, gain.want, gain))
    told = [(_in_all(plan, mine), sorted(mine, key=lambda one: one[:2])) for mine in worth.values()]
    told = [(felt, mine) for felt, mine in told if _is_felt(plan, mine)]
    told.sort(key=lambda one: (-one[0], one[1][0][2].what))
    return [(mine[0][2].what, [gain for *_, gain in mine]) for _, mine in told]


def _in_all(plan: Plan, mine: list[tuple[float, int, Gain]]) -> float:
    """Return what a thing brings to all wants [want-weeks], the gardener's priorities counted in.

    An older plan says only what it brings to each by itself: there it is the most of these.
    """
    known = max(gain.in_all for *_, gain in mine) * plan.quality.wanted
    return known or max(-felt for felt, *_ in mine)


def _is_felt(plan: Plan, mine: list[tuple[float, int, Gain]]) -> bool:
    """Return whether a thing brings as much as is worth reading of, whatever a want counts."""
    known = max(gain.in_all for *_, gain in mine) * plan.quality.wanted
    return max(known, *(_weeks(plan, gain) for *_, gain in mine), 0.0) >= WORTH_SAYING


def _weeks(plan: Plan, gain: Gain) -> float:
    """Return what a thing brings, in weeks of the want it helps."""
    wanted = max((w.wanted for w in plan.wants if w.want == gain.want), default=0.0)
    return gain.brings / wanted * usual_days(plan, gain.want) / 7 if wanted else 0.0


def _brings(plan: Plan, gains: list[Gain], most: int) -> str:
    """Return what a thing brings: ``"4 % of all that is wanted, such as 6 heads of Endive"``."""
    few = gains if len(gains) <= most + (most > 1) else gains[:most]
    told = listed([_brought(plan, gain) for gain in few])
    if len(gains) == 1 or not gains[0].in_all:
        return told
    points = 100 * gains[0].in_all
    share = f"{points:.0f}" if points >= 1.5 else f"{points:.1f}".removesuffix(".0")
    return f"{share} % of all that is wanted, such as {told}"


def _brought(plan: Plan, gain: Gain) -> str:
    """Return ``"24 bunches of Kang kong"``, ``"4 Leek"``."""
    amount = much_text(plan, gain.brings, gain.unit)
    of = " " if gain.unit == "piece" else " of "
    return f"{amount}{of}{_name(plan, gain)}"


def much_text(plan: Plan, amount: float, unit: str) -> str:
    """Return an amount of a want; pieces, of which the crop's name says what they are, as ``4``."""
    told = amount_text(amount, unit, plan.site.units)
    return told.partition(" ")[0] if unit == "piece" else told


def _name(plan: Plan, gain: Gain) -> str:
    crop = next(w.crop for w in plan.wants if w.want == gain.want)
    return in_list(one_line(plan.crop(crop).name))


def _row(what: str, brings: str, left: int, width: int) -> list[str]:
    """Return a row of two columns, each wrapped within its width."""
    first = textwrap.wrap(what, left, subsequent_indent="  ", break_on_hyphens=False)
    second = textwrap.wrap(brings, width - left - 4, break_on_hyphens=False)
    height = max(len(first), len(second))
    first += [""] * (height - len(first))
    second += [""] * (height - len(second))
    pairs = zip(first, second, strict=True)
    return [f"  {one:<{left}}  {two}".rstrip() for one, two in pairs]
