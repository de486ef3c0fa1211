"""What a row of the table of keys says, and what a table of the garden file is."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Key:
    """A key of a table.

    Parameters
    ----------
    name : str
        The key as written in the file.
    kind : str
        How its value is read: a name of ``garden_file.values.READERS``.
    meaning : str
        What it stands for, to complete the sentence "width: how wide the bed is".
    example : str
        A value as it stands in a file.
    required : bool
    low, high : float or None
        Range, both ends allowed, in the unit the kind is kept in (m, l, °C, …).
    default : str
        What holds where the key is left out, in words; empty for a required key.
    choices : tuple of str
        Allowed words of a ``choice``.
    aliases : tuple of str
        Other names under which the key is taken.
    """

    name: str
    kind: str
    meaning: str
    example: str
    required: bool = False
    low: float | None = None
    high: float | None = None
    default: str = ""
    choices: tuple[str, ...] = ()
    aliases: tuple[str, ...] = ()


@dataclass(frozen=True)
class Table:
    """A table of the file: its name, whether it may stand many times, what it is, its keys."""

    name: str
    many: bool
    meaning: str
    keys: tuple[Key, ...]
    required: bool = False
    label: str = ""  # the key that names a row in messages

    @property
    def heading(self) -> str:
        """The heading as it stands in a file."""
        return f"[[{self.name}]]" if self.many else f"[{self.name}]"

    def key(self, name: str) -> Key | None:
        """Return the key of a name or alias."""
        return next((k for k in self.keys if name == k.name or name in k.aliases), None)


def name_key(example: str) -> Key:
    """Return the key that names a thing."""
    return Key("name", "text", "what you call it", f'"{example}"', required=True)
