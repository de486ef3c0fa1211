"""How much is wanted, and how often: ``"6 heads"``, ``"5 dozen"``, ``"300 g"``, ``"fortnight"``."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Any

from sowplan import quantity
from sowplan.problem import did_you_mean
from sowplan.quantity import QuantityError
from sowplan.records.crop import Crop
from sowplan.records.garden_file.keys import Key
from sowplan.records.garden_file.values.rules import Around, Wrong, between, plain_number

WHOLE, COUNTED = "whole", "counted"
"""Units of an amount that stand for a crop's own: what is taken whole, and whatever is counted."""


@dataclass(frozen=True)
class Amount:
    """How much is wanted.

    ``unit`` is a harvest unit, ``"kg"``, ``"plants"``, `WHOLE`, `COUNTED` or, if open, None.
    """

    amount: float
    unit: str | None

    def unit_for(self, crop: Crop) -> str | None:
        """Return the unit it is in of a crop: the crop's own, kg or plants; None if it has none.

        Of a bulb or root that is weighed, one is one plant's.
        """
        own = crop.harvest_unit
        if self.unit in (None, own):
            return own
        if self.unit in ("kg", "plants"):
            return self.unit
        if own in ("head", "piece"):
            return own if self.unit in ("head", "piece", WHOLE, COUNTED) else None
        if own == "bunch":
            return own if self.unit == COUNTED else None
        return "plants" if self.unit == WHOLE and crop.harvest == "once" else None


_UNIT_WORDS = {
    "head": "head",
    "bunch": "bunch",
    "bunche": "bunch",
    "piece": "piece",
    "plant": "plants",
    **dict.fromkeys(("bulb", "root", "cob", "ear", "fruit", "stem", "stalk", "each"), WHOLE),
}
_NUMBERS = ("one two three four five six seven eight nine ten eleven twelve").split()
_NUMBER_WORDS = {word: str(n) for n, word in enumerate(_NUMBERS, 1)} | {
    **dict.fromkeys(("a", "an", "1 a"), "1"),
    **dict.fromkeys(("half", "half a", "a half", "half an"), "0.5"),
}
_TIMES = {"dozen": 12, "doz": 12, "score": 20}


def amount(value: Any, key: Key, around: Around) -> Amount:
    """Read how much is wanted: ``4``, ``"6 heads"``, ``"5 dozen"``, ``"300 g"``."""
    right = f'{key.name} is a number, or a text such as "300 g", "4 heads" or "6 plants".'
    unit = None
    if isinstance(value, str):
        _one_thing(value, key)
        value, times, word = _parts(value)
        if times > 1 and not word:
            unit = COUNTED
        elif word:
            unit = _UNIT_WORDS.get(word.removesuffix("s"))
            if unit is None and times == 1:
                value, unit = _weight(f"{value} {word}", word, right), "kg"
            elif unit is None:
                raise Wrong(right)
    else:
        times = 1
    read = plain_number(value, right) * times
    if not 0 < read <= 1_000_000:
        raise Wrong(f"{key.name} must be above 0, such as {key.example}.")
    return Amount(read, unit)


def _one_thing(text: str, key: Key) -> None:
    """Raise `Wrong` where a text says how often as well, or gives two numbers for one."""
    often = re.fullmatch(
        r"(.*?)\s*(?:/|\b(?:a|per|each|every)\b)\s*(day|week|fortnight|month|season|year)\s*",
        text,
        re.I,
    )
    if often and often[1]:
        much = often[1].strip()
        raise Wrong(
            f'How often stands apart: {key.name} = "{much}" and per = "{often[2].lower()}".'
        )
    if re.match(r"\s*\d+(?:[.,]\d+)?\s*(?:-|–|to|or)\s*\d", text):
        raise Wrong(f"{key.name} is one number: write what you would be glad of, or the most.")


def _parts(text: str) -> tuple[str, int, str]:
    """Return the number in a text, by how much it is multiplied, and the words after it."""
    text = " ".join(_without_fraction(text).split())
    words = "|".join(sorted(_NUMBER_WORDS, key=len, reverse=True))
    spelt = re.match(rf"({words})\b(?=\s+[a-z])\s*", text, re.I)
    if spelt:
        text = f"{_NUMBER_WORDS[spelt[1].casefold()]} {text[spelt.end() :]}"
    match = re.fullmatch(
        r"([+-]?[\d.,]+)\s*(?:(dozen|doz|score)s?\b\.?\s*(?:of\s+)?)?(.*)", text, re.I
    )
    if match is None:
        times = re.fullmatch(r"(dozen|score)", text, re.I)
        return ("1", _TIMES[text.casefold()], "") if times else (text, 1, "?")
    times = _TIMES[match[2].casefold()] if match[2] else 1
    return match[1], times, match[3].strip().casefold()


def _weight(text: str, word: str, right: str) -> float:
    """Return a weight [kg]; raises `Wrong` with the words that could have been meant."""
    try:
        return quantity.mass_kg(text.removesuffix("?").strip())
    except QuantityError as error:
        if word != "?" and "no unit of weight" not in error.message:
            raise Wrong(error.message) from None
        number = re.match(r"\d+(?:\.\d+)?", text)
        alone = f" What is counted takes the number alone, {number[0]}." if number else ""
        raise Wrong(f"{right}{alone}") from None


def _without_fraction(text: str) -> str:
    """Return ``"1 1/2 bunches"`` as ``"1.5 bunches"``; other texts as they are."""
    for sign, digits in (("½", " 1/2"), ("¼", " 1/4"), ("¾", " 3/4")):
        text = text.replace(sign, digits)
    match = re.match(r"\s*(?:(\d{1,6})\s+)?(\d{1,3})/([1-9]\d{0,2})(?![\d/])", text)
    if match is None:
        return text
    return f"{int(match[1] or 0) + int(match[2]) / int(match[3]):.12g}{text[match.end() :]}"


_PER = {
    **dict.fromkeys(("day", "daily"), 1),
    **dict.fromkeys(("week", "weekly"), 7),
    **dict.fromkeys(("fortnight", "fortnightly", "two weeks"), 14),
    **dict.fromkeys(("other day", "second day"), 2),
    **dict.fromkeys(("other week", "second week", "alternate week"), 14),
    **dict.fromkeys(("month", "monthly"), 30),
    **dict.fromkeys(("quarter", "quarterly"), 91),
    **dict.fromkeys(("year", "yearly"), 365),
    **dict.fromkeys(("season", "once"), 0),
}
_TWO_WAYS = {
    "biweekly": 'This is every two weeks to some and twice a week to others: write "fortnight", '
    "or 3, for every three days.",
    "bimonthly": "This is every two months to some and twice a month to others: write 60, the "
    'days from one to the next, or "fortnight".',
}
_TWICE = re.compile(
    r"(?:twice|two times|2 times|2x|three times|3 times|3x) (?:a|per|each|every)? ?week"
)


def per(value: Any, key: Key, around: Around) -> int:
    """Read how often: days from one harvest to the next; 0 for once a season."""
    right = f'{key.name} is "week", "fortnight", "month", "season" or a number of days.'
    if isinstance(value, str):
        words = " ".join(value.casefold().split())
        two = _TWO_WAYS.get(re.sub(r"[\s-]", "", words))
        if two:
            raise Wrong(two)
        if _TWICE.fullmatch(words):
            days = 3 if words[0] in "2t" and words[1] != "h" else 2
            raise Wrong(f"Write the days from one to the next: {key.name} = {days}, about.")
        words = re.sub(r"^(?:a|an|one|every|each|per|once a|once every|1)\s+", "", words)
        spelt = words.partition(" ")[0]
        if spelt in _NUMBERS:
            words = words.replace(spelt, _NUMBER_WORDS[spelt], 1)
        word = words if words in _PER else words.removesuffix("s")
        if word in _PER:
            return _PER[word]
        match = re.fullmatch(r"(\d{1,4})\s*(day|week|month)s?", words)
        if match is None and not words.isdigit():
            raise Wrong(right + did_you_mean(words, _PER))
        value = int(match[1]) * _PER[match[2]] if match else words
    days = plain_number(value, right)
    if days != int(days):
        raise Wrong(right)
    return int(between(days, key, "{:g} days".format))
