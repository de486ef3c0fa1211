"""What the diary says of each planting of a plan, and what in it cannot be."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date

from sowplan.growth.reasons import day_words
from sowplan.problem import Exit, Problem, did_you_mean
from sowplan.records.diary import Entry
from sowplan.season.harvest_ids import harvested_from, without_number
from sowplan.season.plan import Plan, Planting


@dataclass(frozen=True)
class Happened:
    """What happened to one planting; None and empty where the diary is silent.

    ``sown`` is the day its plants were bought, where they are. ``lost`` are the days of losses and
    how many plants each took, in the order of days; ``harvested`` the days on which some of it was
    brought in, ``counted`` those on which it was counted how much [crop's harvest unit].
    """

    sown: date | None = None
    planted: date | None = None
    cleared: date | None = None
    skipped: bool = False
    lost: tuple[tuple[date, int], ...] = ()
    harvested: tuple[date, ...] = ()
    counted: tuple[tuple[date, float], ...] = ()

    @property
    def many_lost(self) -> int:
        """Return how many plants were lost in all."""
        return sum(many for _, many in self.lost)


NOTHING = Happened()


def happened_to(
    entries: Sequence[Entry], plan: Plan, file: str, today: date
) -> tuple[dict[str, Happened], list[Problem]]:
    """Return what happened to each planting, and every entry that cannot be so.

    Parameters
    ----------
    entries : sequence of Entry
        The diary's, in its order; of one job entered with two days the later entry holds.
    plan : Plan
        The plan it belongs to. Harvests counted before its last revising are in it already.
    file : str
        The diary's name, for the problems.
    today : date
        Nothing can have happened after it.
    """
    plantings = {p.id: p for p in plan.plantings}
    sowings = plantings.keys() | set(plan.retired)
    known = sowings | {crop.key for crop in plan.crops}  # a harvest has its crop's name
    known |= {f"away-{n + 1}" for n in range(len(plan.site.away))}  # what is done on the eve
    of_harvest = harvested_from(plan)
    found: dict[str, Happened] = {}
    problems: list[Problem] = []
    for entry in entries:
        wrong = _wrong(entry, known if ":" in entry.about else sowings, today)
        if wrong:
            problems.append(_problem(file, entry, wrong))
            continue
        of = of_harvest.get(without_number(entry.about))
        for name, share in _shares(entry, of, plan).items():
            if name in plantings:
                new = plan.revised is None or entry.day >= plan.revised
                found[name] = _with(found.get(name, NOTHING), entry, share if new else 0.0)
    found = {name: _sown_by_then(told, plantings[name]) for name, told in found.items()}
    for entry in entries:
        p = plantings.get(entry.planting)
        wrong = _contrary(entry, p, found.get(p.id, NOTHING)) if p else ""
        if wrong:
            problems.append(_problem(file, entry, wrong))
    return found, problems


def _shares(entry: Entry, of: Mapping[str, float] | None, plan: Plan) -> Mapping[str, float]:
    """Return which plantings an entry is about, and of a harvest each one's share.

    A count the plan knows already stays shared out as it has it.
    """
    if of is None:
        return {entry.planting: 1.0}
    known = {
        p.id: lot.amount
        for p in plan.plantings
        for lot in p.lots
        if p.crop == entry.planting and lot.ready == lot.last == entry.day
    }
    if entry.number and abs(sum(known.values()) - entry.number) < 1e-6:
        return {name: amount / entry.number for name, amount in known.items()}
    return of


def _sown_by_then(told: Happened, p: Planting) -> Happened:
    """Return what happened, where plants were lost before the plan's day: sown by then at least.

    Nobody loses what was never sown; of the day nothing is known but that it was no later.
    """
    if told.sown or told.skipped or not told.lost or told.lost[0][0] >= p.sow:
        return told
    if p.bought and told.planted:
        return told
    return replace(told, sown=told.lost[0][0])


def _with(so_far: Happened, entry: Entry, share: float) -> Happened:
    """Return what happened with one more entry.

    ``share`` of what was counted of a harvest is of the planting; none where that is known already.
    """
    job = (entry.task or "").partition(":")[2]
    if entry.what == "lost":
        lost = (*so_far.lost, (entry.day, int(entry.number or 0)))
        return replace(so_far, lost=tuple(sorted(lost)))
    if entry.what == "harvested":
        days = tuple(sorted((*so_far.harvested, entry.day)))
        counted = dict(so_far.counted)
        if entry.number is not None and share:
            counted[entry.day] = counted.get(entry.day, 0.0) + round(entry.number * share, 9)
        return replace(so_far, harvested=days, counted=tuple(sorted(counted.items())))
    if entry.what == "skipped":
        return replace(so_far, skipped=True)
    if job in ("sow", "buy"):
        return replace(so_far, sown=entry.day)
    if job == "plant-out":
        return replace(so_far, planted=entry.day)
    if job == "clear":
        return replace(so_far, cleared=entry.day)
    return so_far


def _wrong(entry: Entry, known: Iterable[str] | Mapping, today: date) -> str:
    """Return what is wrong with an entry by itself, or nothing."""
    if entry.planting not in known:
        hint = did_you_mean(entry.planting, known) or " plantings.csv has what they are called."
        return f"no sowing of the plan is called so.{hint}"
    if entry.day > today:
        day = f"{day_words(today)} {today.year}"
        return f"this lies ahead, after {day}. Enter it once it has happened."
    return ""


def _contrary(entry: Entry, p: Planting, all_of_it: Happened) -> str:
    """Return what in an entry goes against the plan or the other entries, or nothing."""
    there = p.plants + p.lost
    if entry.what == "lost" and all_of_it.many_lost > there:
        lost = f"{all_of_it.many_lost} are lost by the diary"
        return f"there were only {there} plants of it; {lost}. Write {there} at most, in all."
    if entry.what == "planted" and p.raising == "direct":
        return "it is sown direct, and never planted out."
    if entry.what == "sown" and p.bought:
        return "its plants are bought: enter when they were bought, or planted."
    if entry.what == "bought" and not p.bought:
        return "it is sown, and not bought as plants."
    if entry.what == "lost" and all_of_it.cleared and entry.day > all_of_it.cleared:
        return f"it was cleared on {day_words(all_of_it.cleared)}, by the diary."
    word = "bought" if p.bought else "sown"
    if entry.what == "skipped" and all_of_it.sown:
        return f"it was {word} on {day_words(all_of_it.sown)}, by the diary."
    began, known = _began(p, all_of_it)
    if entry.what in ("planted", "cleared", "lost") and entry.day < began:
        told = "" if known else f", by the plan: enter when it was {word}"
        return f"it was {word} on {day_words(began)} only{told}."
    return ""


def _began(p: Planting, told: Happened) -> tuple[date, bool]:
    """Return the day from which there was something of a planting, and whether that is known."""
    if told.sown:
        return told.sown, True
    if p.bought and told.planted:
        return told.planted, True
    return p.sow, False


def _problem(file: str, entry: Entry, message: str) -> Problem:
    return Problem(file, entry.line, "", str(entry), message, Exit.WRONG)
