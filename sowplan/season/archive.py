"""The plan as a file: JSON out, and the same plan back.

The form follows the dataclasses of `sowplan.season.plan`: an object a record, a list a tuple, a
date as ``YYYY-MM-DD``. Reading is strict, since a plan that was read wrongly would be sown wrongly:
an unknown key, a missing one or a value of another kind is a problem with its place in the file.
"""

from __future__ import annotations

import dataclasses
import json
import os
import types
import typing
from datetime import date
from functools import cache
from pathlib import Path
from typing import Any

from sowplan.problem import Exit, Problem, did_you_mean
from sowplan.season.plan import Plan

VERSION = 1
"""Version of the form; raised whenever an older reader would misread the file."""

LATER = frozenset(
    {
        "SkyDay.eto_mm", "PlanPlace.light", "PlanPlace.keep_outs", "PlanPlace.cut_m",
        "PlanPlace.rounded_m", "PlanPlace.indoors",
        "PlanSite.away", "PlanSite.hours_a_week", "PlanSite.never_on",
        "PlanSite.watered", "PlanSite.picked", "PlanSite.harvest_on",
        "PlanSite.paper", "Planting.lost", "Planting.stood", "Planting.cover",
        "Planting.overgrown", "Planting.stands_on",
        "Planting.along", "Planting.in_vain", "Planting.held",
        "WantPeriod.priority", "Gain.in_all",
        "Plan.gains", "Plan.safety", "Plan.revision", "Plan.revised", "Plan.retired",
        "Plan.own_gone", "Plan.ended",
    }
)  # fmt: skip
"""Fields that files of this version may lack: they were added later, with a default."""


class PlanFileError(ValueError):
    """A text is not a plan; ``problems`` says all that is wrong with it."""

    def __init__(self, problems: list[Problem]):
        super().__init__("; ".join(str(problem) for problem in problems))
        self.problems = problems


def to_json(plan: Plan) -> str:
    """Return the plan as JSON: the same plan gives the same bytes on every machine."""
    return json.dumps(_plain(plan), ensure_ascii=False, indent=1, allow_nan=False) + "\n"


def from_json(text: str, file: str = "plan.json") -> Plan:
    """Return the plan that `to_json` wrote.

    Parameters
    ----------
    text : str
        The whole file.
    file : str
        Its name, for the problems.

    Raises
    ------
    PlanFileError
        With every problem found, each with its place in the file.
    """
    try:
        data = json.loads(text, parse_constant=_no_constant)
    except (json.JSONDecodeError, ValueError) as error:
        line = getattr(error, "lineno", None)
        what = f"not a plan: this is not JSON ({error})."
        raise PlanFileError([Problem(file, line, "", "", what, Exit.UNREADABLE)]) from None
    found = data.get("version") if isinstance(data, dict) else None
    if found != VERSION:
        what = f"a plan of version {VERSION} is wanted; write it again with `sowplan plan`."
        problem = Problem(file, None, "version", str(found), what, Exit.UNREADABLE)
        raise PlanFileError([problem])
    problems: list[Problem] = []
    plan = _read(Plan, data, "", file, problems)
    if problems:
        raise PlanFileError(problems)
    return plan


def read_plan(path: str | Path) -> tuple[Plan | None, list[Problem]]:
    """Read a plan file; return it and no problems, or None and all that is wrong."""
    try:
        text = Path(path).read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError) as error:
        what = f"cannot be read: {getattr(error, 'strerror', None) or 'it is not UTF-8 text'}."
        return None, [Problem(str(path), None, "", "", what, Exit.UNREADABLE)]
    try:
        return from_json(text, str(path)), []
    except PlanFileError as error:
        return None, error.problems


def write_plan(plan: Plan, path: str | Path) -> list[Problem]:
    """Write a plan file whole or not at all; return what stood in the way."""
    target = Path(path)
    draft = target.with_name(f".{target.name}.part")
    try:
        with draft.open("w", encoding="utf-8", newline="\n") as file:
            file.write(to_json(plan))
            file.flush()
            os.fsync(file.fileno())
        draft.replace(target)
    except OSError as error:
        draft.unlink(missing_ok=True)
        what = f"cannot be written: {error.strerror}."
        return [Problem(str(path), None, "", "", what, Exit.UNWRITABLE)]
    return []


def _no_constant(name: str) -> float:
    raise ValueError(f"{name} is not a number a plan can hold")


def _plain(value: Any) -> Any:
    """Return records, tuples and dates as what JSON has."""
    if dataclasses.is_dataclass(value):
        return {f.name: _plain(getattr(value, f.name)) for f in dataclasses.fields(value)}
    if isinstance(value, tuple):
        return [_plain(item) for item in value]
    if isinstance(value, date):
        return value.isoformat()
    return value


@cache
def _hints(record: type) -> dict[str, Any]:
    return typing.get_type_hints(record)


def _read(kind: Any, data: Any, where: str, file: str, problems: list[Problem]) -> Any:
    """Return ``data`` as a value of ``kind``, noting in ``problems`` where it is not one."""
    if dataclasses.is_dataclass(kind):
        return _read_record(kind, data, where, file, problems)
    origin, parts = typing.get_origin(kind), typing.get_args(kind)
    if origin is tuple:
        return _read_tuple(parts, data, where, file, problems)
    if origin in (types.UnionType, typing.Union):
        if data is None and type(None) in parts:
            return None
        (kind,) = (part for part in parts if part is not type(None))
        return _read(kind, data, where, file, problems)
    if origin is typing.Literal:
        if isinstance(data, str) and data in parts:
            return data
        return _wrong(file, where, data, f"one of {', '.join(parts)} is wanted.", problems)
    return _read_plain(kind, data, where, file, problems)


def _read_plain(kind: type, data: Any, where: str, file: str, problems: list[Problem]) -> Any:
    if kind is date:
        try:
            return date.fromisoformat(data)
        except (TypeError, ValueError):
            return _wrong(file, where, data, "a date like 2026-09-01 is wanted.", problems)
    if kind is float and isinstance(data, int | float) and not isinstance(data, bool):
        return data  # 20 stays 20, so that what was read is written as it stood
    if isinstance(data, kind) and (kind is bool or not isinstance(data, bool)):
        return data
    names = {float: "a number", int: "a whole number", str: "a text", bool: "true or false"}
    return _wrong(file, where, data, f"{names[kind]} is wanted.", problems)


def _read_record(kind: type, data: Any, where: str, file: str, problems: list[Problem]) -> Any:
    if not isinstance(data, dict):
        return _wrong(file, where, data, "an object is wanted.", problems)
    hints = _hints(kind)
    for key in data.keys() - hints.keys():
        hint = did_you_mean(key, hints)
        _wrong(file, _join(where, key), key, f"no such key.{hint}", problems)
    values = {}
    for key, hint in hints.items():
        if key in data:
            values[key] = _read(hint, data[key], _join(where, key), file, problems)
        elif f"{kind.__name__}.{key}" in LATER:
            values[key] = kind.__dataclass_fields__[key].default
        else:
            problems.append(Problem(file, None, _join(where, key), "", "this is missing."))
    return kind(**values) if len(values) == len(hints) else None


def _read_tuple(
    parts: tuple[Any, ...], data: Any, where: str, file: str, problems: list[Problem]
) -> Any:
    if not isinstance(data, list):
        return _wrong(file, where, data, "a list is wanted.", problems)
    if parts[-1] is Ellipsis:
        kinds = [parts[0]] * len(data)
    elif len(parts) == len(data):
        kinds = list(parts)
    else:
        return _wrong(file, where, data, f"a list of {len(parts)} is wanted.", problems)
    pairs = enumerate(zip(kinds, data, strict=True))
    return tuple(_read(kind, item, f"{where}[{n}]", file, problems) for n, (kind, item) in pairs)


def _join(where: str, key: str) -> str:
    return f"{where}.{key}" if where else key


def _wrong(file: str, where: str, data: Any, message: str, problems: list[Problem]) -> None:
    """Note a wrong value, shortened so that a long one does not drown the message."""
    found = json.dumps(data, ensure_ascii=False)
    found = found if len(found) <= 60 else found[:57] + "..."
    problems.append(Problem(file, None, where, found, message))
