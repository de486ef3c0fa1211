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
    "Fleece and tunnels are counted as lying all the days told. They are laid by hand, and the "
    'garden file has no word for them: cover = "fleece" of a [[bed]] is for all of it, all year.'
)
WHOLE = (
    "Each by itself, for one of its crops, beside this plan as it is; planned anew it may be more "
    "or less."
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
    return f"What would help most: {one_line(what)} (brings {_brought(plan, gains[0])})."


def helps_told(plan: Plan, width: int) -> list[str]:
    """Return a table of what one thing more would bring, most useful first; lines to print.

    Parameters
    ----------
    plan : Plan
        Any plan; nothing is returned for one that knows of no such thing.
    width : int
        Most characters a line may have.
    """
    rows = []
    for what, gains in _ranked(plan)[:THINGS_TOLD]:
        few = gains if len(gains) <= CROPS_TOLD + 1 else gains[:CROPS_TOLD]
        told = [_brought(plan, gain) for gain in few]
        told += [f"some of {len(gains) - len(few)} others"] if len(few) < len(gains) else []
        rows.append((what, ", or ".join(told)))
    helping = {gain.what for gain in plan.gains if gain.brings > 0}
    idle = list(dict.fromkeys(gain.what for gain in plan.gains if gain.what not in helping))
    lines = textwrap.wrap(WHOLE, width) if rows else []
    left = min(max((len(one_line(what)) for what, _ in rows), default=0), WHAT_WIDTH)
    for what, brings in rows:
        lines += _row(one_line(what), brings, left, width)
    if any(what.startswith(BUYING) for what, _ in rows):
        lines += textwrap.wrap(TO_BUY, width)
    if any(covering in what for what, _ in rows for covering in COVERING):
        lines += textwrap.wrap(TO_COVER, width)
    if idle:
        words = f"Nothing beside this plan: {listed(list(map(one_line, idle)), 'or')}."
        lines += textwrap.wrap(words, width, break_on_hyphens=False)
    return lines


def _ranked(plan: Plan) -> list[tuple[str, list[Gain]]]:
    """Return each thing worth telling with what it brings, both the most useful first.

    The gardener's priorities are counted in, but not when it is asked what is worth telling.
    """
    counts = {want.want: want.priority for want in plan.wants}
    worth: dict[str, list[tuple[float, int, Gain]]] = {}
    for gain in plan.gains:
        weeks = _weeks(plan, gain)
        if weeks >= WORTH_SAYING and is_worth_telling(gain.brings, gain.unit):
            counted = -weeks * counts[gain.want]
            worth.setdefault(gain.what, []).append((counted, gain.want, gain))
    ranked = sorted((sorted(mine, key=lambda one: one[:2]) for mine in worth.values()),
                    key=lambda mine: (mine[0][0], mine[0][2].what))  # fmt: skip
    return [(mine[0][2].what, [gain for *_, gain in mine]) for mine in ranked]


def _weeks(plan: Plan, gain: Gain) -> float:
    """Return what a thing brings, in weeks of the want it helps."""
    wanted = max((w.wanted for w in plan.wants if w.want == gain.want), default=0.0)
    return gain.brings / wanted * usual_days(plan, gain.want) / 7 if wanted else 0.0


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
