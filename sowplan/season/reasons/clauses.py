"""What stands in a sowing's way, as clauses that a gardener reads in a sentence."""

from __future__ import annotations

import re

from sowplan.growth.reasons import as_planted
from sowplan.records.crop import Crop
from sowplan.records.garden import Want
from sowplan.season.words import SEED, propagule

_CLAUSES = tuple(
    (re.compile(pattern), clause)
    for pattern, clause in (
        (
            r"^would outgrow its cell: ready on (.+), too cold outside until (.+)$",
            r"it would outgrow its cell, ready on \1 while it is too cold outside until \2",
        ),
        (
            r"^would outgrow its cell: ready on (.+), nights too cold to plant it out until (.+)$",
            r"it would outgrow its cell, ready on \1 while nights are too cold to plant it out "
            r"until \2",
        ),
        (r"^no bulb forms: set too late for (.+)$", r"it would miss \1, so that no bulb forms"),
        (r"^no bulb forms: (.+)$", r"\1, so that no bulb forms"),
        (r"^would ", "it would "),
        (r"^nights too cold", "nights are too cold"),
        (r"^too ", "it is too "),
        (r"^no time to plant it out that is ", "there is no time to plant it out that is "),
        (r"^not ready by ", "it is not ready by "),
    )
)
PLANT = "plant"
"""What is planted where plants are bought."""
_KEYS = re.compile(r"(\([^)]*\))")
"""What stands in brackets may be a key of the garden file, which stays as it is written."""

_ENDED = re.compile(r"would (?:kill|end) it( about \d+ \w+)?")


def clause(reason: str) -> str:
    """Return a growth reason (`sowplan.growth.reasons`) as a clause to stand in a sentence."""
    told = reason.partition("; sow from")[0]
    for pattern, words in _CLAUSES:
        if pattern.search(told):
            return pattern.sub(words, told)
    return told


def in_years(words: str, risk: float) -> str:
    """Return a reason with the share of years in which frost would do what it says, told once."""
    if not 0 < risk < 1:
        return words
    return _ENDED.sub(rf"\g<0> in one year in {round(1 / risk)}", words, count=1)


def planted_of(crop: Crop, want: Want) -> str:
    """Return what is planted for a want, in the singular; empty where seed of it is sown."""
    if want.raising == "bought plants":
        return PLANT
    what = propagule(crop)
    return "" if what == SEED or crop.start == "raised" else what


def planted(words: str, what: str) -> str:
    """Return words about sowings as they are of what is planted.

    Parameters
    ----------
    words : str
        A reason, or what would help.
    what : str
        What is planted, in the singular: ``"clove"``.
    """
    parts = _KEYS.split(words.replace("sow and plant out", "plant"))
    told = (part if part.startswith("(") else as_planted(part) for part in parts)
    words = re.sub(r"\bthe seed\b", f"the {what}s", "".join(told))
    return words if what == PLANT else words.replace("the seedlings", "the shoots")


def too_few(late: str) -> str:
    """Return why more than what is set already cannot come, after the words that say so."""
    if late.startswith("sown "):
        return f"; if more were {late}"
    if late.startswith(("nothing ", "what is ", "you ", "nobody ")):
        return f", and {late}"
    return f"; as for more, {late}"
