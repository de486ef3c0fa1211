"""What the batches of a season begun are called, and what of the old plan is no more."""

from __future__ import annotations

from sowplan.season.choices.book import Book
from sowplan.season.choices.instance import Batch
from sowplan.season.plan import Planting
from sowplan.season.revise.begun import Begun
from sowplan.season.revise.changes import NEEDLESS, NO_ROOM, OTHERWISE, UNWANTED
from sowplan.season.revise.stood import Gone

SAME_DAYS = 42
"""A batch is the old one moved, and keeps its id, if it is sown at most so far from it."""
LESS = "what is sown instead brings more, or it is not needed any more"
"""Why a sowing is dropped that could have stayed."""


def named(begun: Begun) -> tuple[list[tuple[Batch, str]], list[Gone]]:
    """Return each batch with its id, and the futures of the old plan that are no more, or not so.

    A batch that is as it was has its id; one of the same crop sown about the same day takes over
    the nearest id that is free; what is new has a number that was never given before.
    """
    book, batches = begun.book, list(begun.standing.batches.values())
    by_object = {id(b): name for name, b in (begun.stands | begun.kept | begun.moved).items()}
    names = {id(b): by_object[id(b)] for b in batches if id(b) in by_object}
    taken = set(names.values())
    free = [p for p in begun.state.futures if p.id not in taken]
    new = [b for b in batches if id(b) not in names]

    def sown(b: Batch) -> int:
        return book.instance.crops[b.crop].options.rows[b.option][0]

    pairs = sorted(
        (_apart(book, b, p), n, p.id)
        for n, b in enumerate(new)
        for p in free
        if book.crops[b.crop].key == p.crop and sown(b) >= book.index(begun.today)
    )
    for apart, n, name in pairs:
        if apart[0] <= SAME_DAYS and id(new[n]) not in names and name not in taken:
            names[id(new[n])] = name
            taken.add(name)
    used = {p.id for p in begun.plan.plantings} | set(begun.plan.retired)
    new.sort(key=lambda b: (book.instance.crops[b.crop].options.rows[b.option][0], b.crop, b.spot))
    for batch in new:
        if id(batch) not in names:
            names[id(batch)] = name = _new_name(book.crops[batch.crop].key, used)
            used.add(name)
    futures = begun.state.futures
    dropped = [Gone(p, _why_dropped(begun, p), begun.today) for p in futures if p.id not in taken]
    could_not = begun.no_room | begun.needless | begun.moved.keys()
    dropped += [
        Gone(p, _why_dropped(begun, p), begun.today, True)
        for p in futures
        if p.id in taken & could_not
    ]
    return [(b, names[id(b)]) for b in batches], dropped


def _why_dropped(begun: Begun, p: Planting) -> str:
    if p.fixed:
        return OTHERWISE
    if p.crop not in {want.crop for want in begun.garden.wants}:
        return UNWANTED
    if p.id in begun.needless:
        return NEEDLESS
    return NO_ROOM if p.id in begun.no_room or p.id in begun.moved else LESS


def _apart(book: Book, batch: Batch, p: Planting) -> tuple:
    """Return how far a batch is from a planting: in days, then in place, number and ground."""
    row = book.instance.crops[batch.crop].options.rows[batch.option]
    return (
        abs(row[0] - book.index(p.sow)),
        book.instance.spots[batch.spot].name != p.place,
        abs(batch.plants - p.plants),
        abs(row[2] - book.index(p.cleared)),
    )


def _new_name(key: str, used: set[str]) -> str:
    numbers = [int(name[len(key) + 1 :]) for name in used if _numbered(name, key)]
    return f"{key}-{max(numbers, default=0) + 1}"


def _numbered(name: str, key: str) -> bool:
    return name.startswith(f"{key}-") and name[len(key) + 1 :].isdigit()
