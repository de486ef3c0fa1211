"""What several jobs of one day have to say, each thing once, with the crops it is about."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from sowplan.supply.wording import join_words


@dataclass(frozen=True)
class Said:
    """What one job says: its crop's name, what stands before its own words, and its sentences."""

    name: str
    heading: str
    says: tuple[str, ...]


def told_once(jobs: Sequence[Said], across: bool = True) -> list[str]:
    """Return the paragraphs of several jobs together.

    Parameters
    ----------
    jobs : sequence of Said
        In the order in which they are told.
    across : bool
        Whether crops may share a sentence; else only jobs of one crop do.

    Returns
    -------
    list of str
        First what each job alone has to say, behind its heading; then what several share, behind
        the names of their crops, and last what all do, behind none. A heading that says more than
        the name is kept where nothing else is left. Where a sentence is of some jobs of a crop
        only, and their headings are not plain names, it stays with each; so does what begins with
        a number, which counts something of the job's own.
    """
    jobs = list(dict.fromkeys(jobs))
    whose: dict[str, list[int]] = {}
    for n, job in enumerate(jobs):
        for sentence in dict.fromkeys(job.says):
            whose.setdefault(sentence, []).append(n)
    shared: dict[tuple[int, ...], list[str]] = {}
    for sentence, who in whose.items():
        if len(who) < 2 or sentence[:1].isdigit():
            continue
        if _may_share([jobs[n] for n in who], jobs, across):
            shared.setdefault(tuple(who), []).append(sentence)
    once = {sentence for sentences in shared.values() for sentence in sentences}
    lines = []
    for job in jobs:
        own = " ".join(sentence for sentence in job.says if sentence not in once)
        if own:
            lines.append(f"{job.heading}: {own}")
        elif job.heading != job.name:
            lines.append(f"{job.heading}.")
    for who in sorted(shared, key=lambda who: (len(who) == len(jobs), who)):
        names = list(dict.fromkeys(jobs[n].name for n in who))
        text = " ".join(shared[who])
        lines.append(text if len(who) == len(jobs) else f"{join_words(names)}: {text}")
    return lines


def _may_share(some: Sequence[Said], jobs: Sequence[Said], across: bool) -> bool:
    """Return whether a sentence of some jobs may be told by the names of their crops."""
    names = {job.name for job in some}
    if len(names) > 1 and not across:
        return False
    plain = all(job.heading == job.name for job in some)
    return plain or len(some) == sum(job.name in names for job in jobs)
