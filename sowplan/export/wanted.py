"""What is wanted in words: what of it comes, what goes short and why, what would help."""

from __future__ import annotations

from datetime import date

from sowplan.export.dates import day_told, days_told
from sowplan.export.helps import much_text, usual_days
from sowplan.export.store import stored
from sowplan.season.plan import Gain, Plan, WantPeriod, label_of_why
from sowplan.season.words import in_list, listed
from sowplan.supply.wording import (
    every_text,
    is_worth_telling,
    join_words,
    one_line,
    percent_text,
)

LITTLE = 5e-4  # shares and amounts below this are nothing
LACKS_TOLD = 3  # of one want, with their reasons
SMALL = 0.25  # of what is wanted in one period: less is told without its reason
SPANS_TOLD = 3  # more spans of days are told by their number
WANTS_TOLD = 3  # crops that go short, in one line
ALIKE = 8  # percentage points: shares that differ by less are about the same
NAMES_OF = {1: "day", 7: "week", 14: "fortnight"}
SHORT = 0.95  # a crop of which more comes does not go short
GAINS_TOLD = 3
LIMITS = frozenset(
    {"no room", "too few tray cells", "rotation", "too little", "too little time", "left out"}
    | {"sowing days", "days off", "its places", "its raising", "small sowings", "frost risk"}
    | {"planting days", "harvest days", "late years", "two of your rules", "three of your rules"}
)
"""What may be short on many days for one reason, though each sowing has figures of its own."""

Runs = list[list[WantPeriod]]


def by_want(plan: Plan) -> list[list[WantPeriod]]:
    """Return the periods of each want, in the order of the garden file and of days."""
    numbers = sorted({w.want for w in plan.wants})
    ordered = sorted(plan.wants, key=lambda w: (w.want, w.start))
    return [[w for w in ordered if w.want == number] for number in numbers]


def want_heading(plan: Plan, periods: list[WantPeriod]) -> str:
    """Return ``"Kale: 2 bunches a week, 5 June to 1 October. Comes: 22 %."``."""
    first, last = periods[0], periods[-1]
    name = one_line(plan.crop(first.crop).name)
    much = much_text(plan, first.wanted, first.unit)
    wanted, met = sum(w.wanted for w in periods), sum(w.met for w in periods)
    comes = percent_text(met / wanted) if wanted else "nothing wanted"
    often = every_text(usual_days(plan, first.want), len(periods))
    kept, store = stored(plan).get(first.want), ""
    if kept is not None and kept.last == last.end:
        store = f"; in by {day_told(plan, kept.lifted)} and kept"
    elif kept is not None:
        store = f"; out of store {days_told(plan, kept.first, kept.last)}"
    return (
        f"{name}: {much} {often}, {days_told(plan, first.start, last.end)}. Comes: {comes}{store}."
    )


def lacks_told(plan: Plan, periods: list[WantPeriod]) -> list[str]:
    """Return what a want lacks, its largest lacks with their reasons; a sentence or two each."""
    alike: dict[str, Runs] = {}
    for run in lacks(periods):
        label = label_of_why(run[0].why)
        alike.setdefault(label if label in LIMITS else run[0].why, []).append(run)
    groups = sorted(alike.values(), key=lambda runs: (-sum(map(missing, runs)), runs[0][0].start))
    large = [
        runs for runs in groups[:LACKS_TOLD] if sum(map(missing, runs)) >= SMALL * periods[0].wanted
    ]
    texts = []
    for runs in large:
        worst = max(runs, key=lambda run: (missing(run), -run[0].start.toordinal()))
        why = why_text(worst[0].why)
        if len(runs) > 1 and len(worst) == 1 and ", say, would" not in why:
            why = why.replace(" would ", ", say, would ", 1)  # one of several of its kind
        lack = f"{_much(plan, runs)} missing {_when(plan, runs)}{_spread(runs)}"
        texts.append(f"{lack}. {why}")
    rest = [run for runs in groups if runs not in large for run in runs]
    if rest:
        also = " also" if large else ""
        rest.sort(key=lambda run: run[0].start)
        texts.append(f"{_much(plan, rest)}{also} missing {_when(plan, rest)} (wants.csv says why).")
    return texts


def _spread(runs: Runs) -> str:
    """Return how a lack is spread over its periods: ``", 15 to 60 % of each week"``."""
    shares = [100 * (1 - w.met / w.wanted) for run in runs for w in run]
    low, high = max(1, round(min(shares))), max(1, round(max(shares)))
    if low >= 99:
        return ", all of it"
    if len(shares) == 1:
        return f", {high} % of it"
    much = (
        f"{low} to {high} %"
        if high - low > ALIKE
        else f"about {round(sum(shares) / len(shares))} %"
    )
    return f", {much} of each {NAMES_OF.get(_length(runs), 'time')}"


def _length(runs: Runs) -> int:
    """Return how many days the first of some periods has."""
    return (runs[0][0].end - runs[0][0].start).days + 1


def help_told(plan: Plan, want: int) -> str:
    """Return what would help a want that goes short, most useful first; empty where not known.

    ``"Would help: 12 more tray cells (48 heads more); not 1 m² more of a bed like Near."``
    """
    mine = [gain for gain in plan.gains if gain.want == want]
    if not mine:
        return ""
    helps = [gain for gain in mine if _helps(gain)][:GAINS_TOLD]
    idle = [gain.what for gain in mine if gain.brings <= 0]
    told = "; ".join(
        f"{gain.what} ({much_text(plan, gain.brings, gain.unit)} more)" for gain in helps
    )
    if helps:
        return f"Would help: {told}" + (f"; not {listed(idle, 'or')}." if idle else ".")
    return f"Would not help by itself: {listed(idle, 'or')}." if idle else ""


def _helps(gain: Gain) -> bool:
    return gain.brings > 0 and is_worth_telling(gain.brings, gain.unit)


def goes_short(plan: Plan) -> str:
    """Return the crops that go short: how much of each comes, when it lacks, and mainly why.

    Those first of which most is missing, weighed by the gardener's priorities.
    """
    by_crop: dict[str, list[WantPeriod]] = {}
    for w in sorted(plan.wants, key=lambda w: (w.want, w.start)):
        if w.wanted:
            by_crop.setdefault(w.crop, []).append(w)
    short = []
    for crop, periods in by_crop.items():
        share = sum(w.met / w.wanted for w in periods) / len(periods)
        felt = sum(w.priority * (1 - w.met / w.wanted) for w in periods) / len(periods)
        if share < SHORT:
            name = one_line(plan.crop(crop).name)
            when = _when(plan, lacks(periods))
            short.append((-felt, periods[0].want, name, share, when, _main_reason(periods)))
    if not short:
        return ""
    short.sort()
    told = [
        f"{in_list(name)} ({percent_text(share)} comes; short {when}{f': {why}' if why else ''})"
        for *_, name, share, when, why in short[:WANTS_TOLD]
    ]
    more = len(short) - WANTS_TOLD
    if more > 0:
        told.append(f"{more} other{'s' if more > 1 else ''}")
    return f"What goes short: {join_words(told)}."


def _main_reason(periods: list[WantPeriod]) -> str:
    """Return in a word or two what stands behind most of what a want lacks."""
    sizes: dict[str, float] = {}
    for run in lacks(periods):
        label = label_of_why(run[0].why)
        sizes[label] = sizes.get(label, 0.0) + sum(1 - w.met / w.wanted for w in run)
    return max(sizes, key=lambda label: sizes[label], default="")


def longest_lack(plan: Plan) -> str:
    """Return the longest lack and its main reason in a word; empty where next to none is missing.

    The reasons stand in full beside each want.
    """
    runs = [run for periods in by_want(plan) for run in _unbroken(lacks(periods))]
    if not runs or plan.quality.missing_share < LITTLE:
        return ""
    run = max(runs, key=lambda r: (sum((w.wanted - w.met) / w.wanted for w in r), -r[0].want))
    name = one_line(plan.crop(run[0].crop).name)
    when = days_told(plan, run[0].start, run[-1].end)
    why = _main_reason(run)
    return f"Longest lack: {name}, {when}{f' ({why})' if why else ''}."


def _unbroken(runs: Runs) -> Runs:
    """Return runs of days, those that follow on one another as one, whatever the reasons."""
    joined: Runs = []
    for run in runs:
        if joined and (run[0].start - joined[-1][-1].end).days <= 1:
            joined[-1] = [*joined[-1], *run]
        else:
            joined.append(run)
    return joined


def lacks(periods: list[WantPeriod]) -> Runs:
    """Return runs of neighbouring periods that lack something for one and the same reason."""
    runs: Runs = []
    before: WantPeriod | None = None
    for w in periods:
        if w.wanted - w.met > LITTLE * max(w.wanted, 1.0):
            joins = before is not None and runs and runs[-1][-1] is before and before.why == w.why
            runs[-1].append(w) if joins else runs.append([w])
        before = w
    return runs


def missing(run: list[WantPeriod]) -> float:
    """Return what a run of periods lacks, in the want's unit."""
    return sum(w.wanted - w.met for w in run)


def why_text(why: str) -> str:
    """Return a reason as a sentence: ``"No room: …."``."""
    why = _capital(one_line(why) or "the plan does not say why")
    return why if why.endswith(".") else f"{why}."


def _much(plan: Plan, runs: Runs) -> str:
    return _capital(much_text(plan, sum(map(missing, runs)), runs[0][0].unit))


def _when(plan: Plan, runs: Runs) -> str:
    """Return the days of runs, those that adjoin as one; their number where they are many."""
    spans: list[list[date]] = []
    for run in sorted(runs, key=lambda run: run[0].start):
        if spans and (run[0].start - spans[-1][1]).days <= 1:
            spans[-1][1] = run[-1].end
        else:
            spans.append([run[0].start, run[-1].end])
    if len(spans) <= SPANS_TOLD:
        return listed([days_told(plan, first, last) for first, last in spans])
    number, length = sum(len(run) for run in runs), _length(runs)
    what = f"{NAMES_OF[length]}s" if length in NAMES_OF else f"times {length} days"
    return f"in {number} {what} of {days_told(plan, spans[0][0], spans[-1][1])}"


def _capital(text: str) -> str:
    return f"{text[0].upper()}{text[1:]}"
