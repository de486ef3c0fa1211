"""Finding a crop by what people call it."""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import lru_cache

from sowplan.problem import did_you_mean
from sowplan.records.crop import Crop

_MOST_SHOWN = 8


def other_names(crop: Crop) -> tuple[str, ...]:
    """Return the further names a crop goes by."""
    return tuple(name.strip() for name in crop.also.split(";") if name.strip())


def find_crop(text: str, crops: Mapping[str, Crop]) -> Crop | None:
    """Return the crop of that key or name, or the one crop that goes by it elsewhere or in part.

    Parameters
    ----------
    text : str
        As typed: capitals, blanks for hyphens and a plural make no difference; ``"butterhead"``
        will do where one crop only has such a word.
    crops : mapping of str to Crop
        The crops known, by key.

    Returns
    -------
    Crop or None
        None where no crop is meant, or more than one.
    """
    if text in crops:
        return crops[text]
    wanted = _plain(text)
    by_name = [c for c in crops.values() if wanted in (_plain(c.key), _plain(c.name))]
    by_other = [c for c in crops.values() if wanted in map(_plain, other_names(c))]
    found = by_name or by_other or [crops[key] for key in matching_keys(text, crops)]
    sure = len(found) == 1 and (by_name or by_other or _is_named_by(text, found[0]))
    return found[0] if sure else None


def _is_named_by(text: str, crop: Crop) -> bool:
    """Return whether words that begin words of a crop's names name it, and not another plant.

    An asparagus bean is no asparagus: of a further name the last word must be among them.
    """
    words = _plain(text).split()
    own = " " + " ".join(map(_plain, (crop.key, crop.name, crop.botanical_name, crop.family)))
    if all(f" {word}" in own for word in words):
        return True
    return any(_plain(name).split()[-1].startswith(words[-1]) for name in other_names(crop))


def suggest_crops(text: str, crops: Mapping[str, Crop]) -> str:
    """Return a sentence on which crop may be meant, after a blank; empty where none is near.

    Examples
    --------
    >>> from sowplan.records.crop_table import read_crops
    >>> crops, _ = read_crops()
    >>> suggest_crops("zucchini", crops)
    " Here it goes by 'courgette'."
    >>> suggest_crops("raddish", crops)
    " Did you mean 'radish'?"
    >>> suggest_crops("broad baens", crops)
    " Did you mean 'broad-bean'?"
    """
    one = find_crop(text, crops)
    if one is not None:
        return f" Here it goes by '{one.key}'."
    matching = matching_keys(text, crops)
    if not matching:
        text = _spelled(text, crops)
        one, matching = find_crop(text, crops), matching_keys(text, crops)
        if one is not None:
            return f" Did you mean '{one.key}'?"
    meant = [key for key in matching if _plain(text) in _plain(key)] or matching
    if len(meant) > 1:
        more = f" and {len(meant) - _MOST_SHOWN} more" if len(meant) > _MOST_SHOWN else ""
        return f" Did you mean one of {', '.join(meant[:_MOST_SHOWN])}{more}?"
    if meant:
        return f" Did you mean '{meant[0]}'?"
    names = {_plain(name): c.key for c in crops.values() for name in (*other_names(c), c.name)}
    near = did_you_mean(_plain(text), {*names, *crops})
    match = re.search(r"'(.*)'", near)
    return f" Did you mean '{names.get(match[1], match[1])}'?" if match else ""


def _spelled(text: str, crops: Mapping[str, Crop]) -> str:
    """Return the text with each word as the nearest one that occurs in a crop's names."""
    known = {word for crop in crops.values() for word in _haystack(crop).split()}
    words = []
    for word in _plain(text).split():
        match = re.search(r"'(.*)'", did_you_mean(word, known, likeness=0.75))
        words.append(match[1] if match else word)
    return " ".join(words)


def matching_keys(text: str, crops: Mapping[str, Crop]) -> list[str]:
    """Return the keys of all crops in whose names all words of ``text`` begin a word."""
    words = _plain(text).split()
    if not words:
        return []
    return [c.key for c in crops.values() if all(f" {word}" in _haystack(c) for word in words)]


def _haystack(crop: Crop) -> str:
    names = (crop.key, crop.name, crop.botanical_name, crop.family, *other_names(crop))
    return " " + " ".join(map(_plain, names))


@lru_cache(maxsize=4096)
def _plain(text: str) -> str:
    """Return lower case letters and blanks, without the plural's s."""
    words = re.sub(r"[^\w]+", " ", re.sub(r"['’]", "", text.casefold())).split()
    return " ".join(re.sub(r"(?<=[a-z]{2})(?<=o)es$|(?<=[a-z]{2})(?<!s)s$", "", w) for w in words)
