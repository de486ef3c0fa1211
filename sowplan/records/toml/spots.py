"""Where each table, key and value of a TOML text stands: line numbers and the text as written."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cache
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tree_sitter import Node, Parser

Path = tuple[str | int, ...]


@dataclass(frozen=True)
class Spot:
    """A line, counted from 1, and the text of the value (or of a table's heading) there.

    ``at`` is where that text begins, in bytes of the whole in UTF-8; ``last`` the line it ends on.
    """

    line: int
    text: str
    heading: bool = False
    at: int = 0
    last: int = 0


@dataclass
class Spots:
    """Every spot by its path, such as ``("bed", 1, "width")``; and keys that stand twice."""

    by_path: dict[Path, Spot] = field(default_factory=dict)
    twice: list[tuple[Path, Spot, Spot]] = field(default_factory=list)  # path, first, again

    def line(self, path: Path) -> int | None:
        """Return the line of a path, or of the nearest table around it."""
        while path:
            if path in self.by_path:
                return self.by_path[path].line
            path = path[:-1]
        return None

    def text(self, path: Path) -> str:
        """Return the value as written, or an empty string."""
        return self.by_path[path].text if path in self.by_path else ""


@cache
def _parser() -> Parser:
    import tree_sitter_toml
    from tree_sitter import Language, Parser

    return Parser(Language(tree_sitter_toml.language()))


def find_spots(text: str) -> Spots:
    """Find where everything stands.

    Parameters
    ----------
    text : str
        A TOML text. Where it is broken, what can be placed is placed.

    Returns
    -------
    Spots
        Lines and texts by path; the elements of a list of tables are numbered from 0.
    """
    spots, counts = Spots(), {}
    for node in _parser().parse(text.encode()).root_node.children:
        if node.type == "pair":
            _add_pair(node, (), spots)
        elif node.type in ("table", "table_array_element"):
            keys = next((c for c in node.children if c.type in _KEYS), None)
            if keys is None:
                continue
            path = _table_path(_parts(keys), counts, node.type == "table_array_element")
            heading = _text(node).split("\n", 1)[0].strip()
            line = node.start_point[0] + 1
            _add(path, Spot(line, heading, True, node.start_byte, line), spots)
            for child in node.children:
                if child.type == "pair":
                    _add_pair(child, path, spots)
    return spots


_KEYS = ("bare_key", "quoted_key", "dotted_key")


def _table_path(parts: list[str], counts: dict[Path, int], many: bool) -> Path:
    """Return the path of a table's heading; ``[[bed.x]]`` belongs to the last ``[[bed]]``."""
    path: Path = ()
    for part in parts[:-1]:
        path += (part,)
        if path in counts:
            path += (counts[path],)
    path += (parts[-1],)
    if many:
        counts[path] = counts.get(path, -1) + 1
        path += (counts[path],)
    return path


def _add(path: Path, spot: Spot, spots: Spots) -> None:
    if path in spots.by_path:
        spots.twice.append((path, spots.by_path[path], spot))
    else:
        spots.by_path[path] = spot


def _add_pair(pair: Node, prefix: Path, spots: Spots) -> None:
    keys = next((c for c in pair.children if c.type in _KEYS), None)
    value = next((c for c in reversed(pair.children) if c.type != "comment"), None)
    if keys is None or value is None:
        return
    path = (*prefix, *_parts(keys))
    _add(path, _spot(value, pair.start_point[0] + 1), spots)
    _add_inner(value, path, spots)


def _add_inner(value: Node, path: Path, spots: Spots) -> None:
    if len(path) > 12:
        return
    if value.type == "inline_table":
        for child in value.children:
            if child.type == "pair":
                _add_pair(child, path, spots)
    elif value.type == "array":
        items = [c for c in value.children if c.is_named and c.type not in ("comment", "ERROR")]
        for index, item in enumerate(items):
            spots.by_path[(*path, index)] = _spot(item, item.start_point[0] + 1)
            _add_inner(item, (*path, index), spots)


def _spot(value: Node, line: int) -> Spot:
    return Spot(line, _text(value), False, value.start_byte, value.end_point[0] + 1)


def _parts(keys: Node) -> list[str]:
    if keys.type == "dotted_key":
        return [part for child in keys.children if child.type in _KEYS for part in _parts(child)]
    text = _text(keys)
    return [text[1:-1] if keys.type == "quoted_key" else text]


def _text(node: Node) -> str:
    return (node.text or b"").decode("utf-8", "replace")
