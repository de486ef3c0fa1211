"""The season in a few sentences: how much comes, what is missing, what to do and buy first."""

from __future__ import annotations

from datetime import date, timedelta

from sowplan.export.bare import bare_told
from sowplan.export.helps import most_help
from sowplan.export.nearness import near_told
from sowplan.export.sky_words import frost_told
from sowplan.export.store import store_told
from sowplan.export.wanted import by_want, goes_short, lacks, longest_lack
from sowplan.season.plan import Plan
from sowplan.season.words import in_list
from sowplan.supply.buying import sowings_text, to_come
from sowplan.supply.seed import seed_needs
from sowplan.supply.tasks import tasks
from sowplan.supply.wording import (
    count_text,
    day_text,
    join_words,
    one_line,
    percent_text,
)

NEXT_TO_NOTHING = 0.01  # of what is wanted
FIRST_DAYS = 28
"""Seed for so many days is told by name, that of the first day apart; the rest is in the list."""
SEEDS_TOLD = 6


def headline(plan: Plan) -> list[str]:
    """Return the season in a few sentences, for the screen; each is one item, not wrapped.

    What matters most first: how much of what is wanted comes and how much more could, what goes
    short and when, what to do first, what to have in hand for it.
    """
    lines = [_met(plan), _how(plan), goes_short(plan) or longest_lack(plan), most_help(plan)]
    lines += [_first_job(plan), _seed(plan), store_told(plan)]
    lines += bare_told([p for p in plan.places if p.kind == "bed"], plan.site.units)
    return [words for words in [*lines, frost_told(plan)] if words]


def what_there_is(plan: Plan) -> str:
    """Return how many sowings of how many crops come into how many places."""
    beds = sum(p.kind == "bed" for p in plan.places)
    channels = sum(p.kind == "channel" for p in plan.places)
    pots = sum(p.count for p in plan.places if p.kind == "pot")
    numbers = ((beds, "bed"), (channels, "channel"), (pots, "pot"))
    where = join_words([count_text(n, noun) for n, noun in numbers if n])
    sown = to_come(plan)
    what = f"{sowings_text(sown)} of {count_text(len({p.crop for p in sown}), 'crop')}"
    return f"{what}" + (f" in {where}." if where else ".")


def _met(plan: Plan) -> str:
    """Return how much of what is wanted comes, and how much more could."""
    q = plan.quality
    if q.wanted <= 0:
        return "Nothing is wanted, so nothing is missing."
    if not any(lacks(periods) for periods in by_want(plan)):
        return "Everything that is wanted comes."
    comes = percent_text(1 - q.missing_share)
    little = "; next to nothing is missing" if q.missing_share < NEXT_TO_NOTHING else ""
    return f"{comes[0].upper()}{comes[1:]} of what is wanted comes{little}. {near_told(plan)}"


def _how(plan: Plan) -> str:
    """Return in what way the season was planned, where that is not the usual one."""
    words = []
    if plan.quality.method.startswith("rule of thumb"):
        rule = plan.quality.method.partition(",")[0]
        words.append(f"Sown by the {rule}; without --fixed-interval the sowings are searched for.")
    if plan.safety > 0.5:
        share = percent_text(plan.safety)
        words.append(
            f"Planned for late years: in {share} of years harvests are there by their day."
        )
    return " ".join(words)


def _since(plan: Plan) -> date:
    return plan.revised or plan.site.start


def _first_job(plan: Plan) -> str:
    jobs = [task for task in tasks(plan) if task.day >= _since(plan)]
    if not jobs:
        return ""
    same_day = [t.title for t in jobs if t.day == jobs[0].day]
    more = f", and {len(same_day) - 1} more that day" if len(same_day) > 1 else ""
    which = "First job" if plan.revised is None else "Next job"
    job, colon, rest = same_day[0].partition(": ")
    told = f"{job} ({rest})" if colon and "(" not in rest else same_day[0]
    return f"{which}, {day_text(jobs[0].day)}: {told}{more}."


def _seed(plan: Plan) -> str:
    """Return what seed to have first, by name, and how many kinds there are in all."""
    needs = [n for n in seed_needs(plan) if n.last_sowing >= _since(plan)]
    if not needs:
        return ""
    kinds, first = {n.crop for n in needs}, {}
    for p in sorted(plan.plantings, key=lambda p: (p.sow, p.crop)):
        if p.sow >= _since(plan) and p.seeds > 0 and p.crop in kinds:
            first.setdefault(p.crop, p.sow)
    begin = min(first.values())
    at_once = [key for key, day in first.items() if day == begin]
    after = [key for key, day in first.items() if day > begin]
    if len(first) > SEEDS_TOLD:
        after = [key for key in after if first[key] < begin + timedelta(days=FIRST_DAYS)]
    after = after[: max(0, SEEDS_TOLD - len(at_once))]
    parts = [f"by {day_text(begin, weekday=False)}: {_seeds(plan, at_once)}"]
    parts += [f"then {_seeds(plan, after)}"] if after else []
    later = len(first) - len(at_once) - len(after)
    parts += [f"{later} more later"] if later else []
    return f"Seed to have {'; '.join(parts)}."


def _seeds(plan: Plan, keys: list[str]) -> str:
    """Return crops by name, of many the first and how many more."""
    told = [in_list(one_line(plan.crop(key).name)) for key in keys[:SEEDS_TOLD]]
    more = len(keys) - len(told)
    return join_words(told + ([f"{more} more"] if more else []))
