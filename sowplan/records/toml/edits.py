"""A TOML text with some of it changed, and every other letter as it was."""

from __future__ import annotations

import json
from collections.abc import Iterable

from sowplan.records.toml.spots import Path, find_spots


def basic_string(text: str) -> str:
    """Return a text as TOML writes it, between quotes; JSON's escapes are among TOML's."""
    return json.dumps(text, ensure_ascii=False)


class Edits:
    """Changes to a text, gathered and then made all at once.

    Parameters
    ----------
    text : str
        A text that can be read, with line feeds as line ends.
    """

    def __init__(self, text: str):
        self.spots = find_spots(text)
        self.lines = text.split("\n")
        self._text = text.encode("utf-8")
        self._values: dict[int, tuple[int, str]] = {}  # by byte: up to which, and what instead
        self._remarks: set[int] = set()  # lines, from 1
        self._gone: set[int] = set()
        self._above: dict[int, list[str]] = {}
        self._below: dict[int, list[str]] = {}

    def key(self, path: Path, *names: str) -> Path | None:
        """Return the path of the first of some keys of a table that stands in the text."""
        return next((p for name in names if (p := (*path, name)) in self.spots.by_path), None)

    def lines_of(self, path: Path) -> range:
        """Return the lines of a table or of a key with its value, counted from 1."""
        inner = [s for p, s in self.spots.by_path.items() if p[: len(path)] == path]
        return range(min(s.line for s in inner), max(s.last for s in inner) + 1)

    def on_its_own(self, path: Path) -> bool:
        """Return whether a table or key has its lines to itself: nothing around it begins there."""
        around = [self.spots.by_path.get(path[:n]) for n in range(1, len(path))]
        return all(spot is None or spot.heading for spot in around)

    def write(self, path: Path, value: str) -> None:
        """Write another value in the place of one."""
        spot = self.spots.by_path[path]
        self._values[spot.at] = (spot.at + len(spot.text.encode("utf-8")), value)

    def remark(self, path: Path, above: Iterable[str] = ()) -> None:
        """Make remarks of the lines of a table or key, with some more above them."""
        lines = self.lines_of(path)
        self._remarks.update(lines)
        self.put_above(path, above)

    def remove(self, path: Path) -> None:
        """Take a table out, with the blank lines after it."""
        lines = self.lines_of(path)
        last = lines[-1]
        while last < len(self.lines) and not self.lines[last].strip():
            last += 1
        self._gone.update(range(lines[0], last + 1))

    def remove_line(self, line: int) -> None:
        """Take one line out, counted from 1."""
        self._gone.add(line)

    def put_above(self, path: Path, lines: Iterable[str]) -> None:
        """Put lines above a table or key."""
        self._above.setdefault(self.lines_of(path)[0], []).extend(lines)

    def put_below(self, path: Path, lines: Iterable[str]) -> None:
        """Put lines below a key with its value, or below a table's heading."""
        self._below.setdefault(self.spots.by_path[path].last, []).extend(lines)

    def done(self) -> str:
        """Return the text with all changes made."""
        out: list[str] = []
        text, shift = self._text, 0
        for at, (end, value) in sorted(self._values.items()):
            new = value.encode("utf-8")
            text = text[: at + shift] + new + text[end + shift :]
            shift += len(new) - (end - at)
        for number, line in enumerate(text.decode("utf-8").split("\n"), 1):
            out += self._above.get(number, ())
            if number in self._gone:
                continue
            plain = number in self._remarks and line.strip() and not line.lstrip().startswith("#")
            out.append(f"# {line}" if plain else line)
            out += self._below.get(number, ())
        return "\n".join(out)
