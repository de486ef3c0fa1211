"""The table of towns from the dumps of GeoNames.

Run by hand: ``python -m sowplan.site.from_geonames FOLDER --out sowplan/site/cities.csv``. The
folder holds ``cities5000.txt`` (or any other ``cities*.txt``), ``admin1CodesASCII.txt``,
``countryInfo.txt`` and, for other names, ``alternateNamesV2.txt``, from
download.geonames.org/export/dump (Creative Commons Attribution 4.0).

``--heights cities.csv`` instead of a folder leaves the towns of a table as they are and works out
the heights that it lacks from the towns around; those stand with a ``~``. (GeoNames gives every
town a height in its column ``dem``; the dumps were not at hand when some were added.)
"""

from __future__ import annotations

import argparse
import csv
import io
from collections.abc import Iterable, Iterator
from pathlib import Path

import numpy as np

from sowplan.records.garden_file.zones import EARTH_KM
from sowplan.site.cities import plain

HEADING = "city country region code latitude longitude elevation_m timezone thousands also".split()
LEAST, LEAST_IN = 15_000, dict.fromkeys(("AU", "NZ", "ZA", "GB", "IE"), 5_000)
"""Least number of people, and that in countries of which many gardeners write in English."""
_CAPITAL, _PART, _GONE = "PPLC", "PPLX", {"PPLH", "PPLQ", "PPLW"}
_NO_HEIGHT = -9000  # GeoNames writes -9999
_MOST_NAMES = 4
_LETTERS = {
    "CA": {
        "Alberta": "AB", "British Columbia": "BC", "Manitoba": "MB", "New Brunswick": "NB",
        "Newfoundland and Labrador": "NL", "Northwest Territories": "NT", "Nova Scotia": "NS",
        "Nunavut": "NU", "Ontario": "ON", "Prince Edward Island": "PE", "Quebec": "QC",
        "Saskatchewan": "SK", "Yukon": "YT",
    },
    "AU": {
        "Australian Capital Territory": "ACT", "New South Wales": "NSW",
        "Northern Territory": "NT", "Queensland": "QLD", "South Australia": "SA",
        "Tasmania": "TAS", "Victoria": "VIC", "Western Australia": "WA",
    },
}  # fmt: skip
"""Letters of regions by ISO 3166-2 where GeoNames has others; of the United States it has them."""
_NEIGHBOURS, _FAR_KM, _AS_NEAR_KM = 5, 50.0, 1.0


def table(folder: Path) -> list[list[str]]:
    """Return the rows of the table from the dumps in a folder, by country, name and size.

    Parameters
    ----------
    folder : Path
        With the files named above; without ``alternateNamesV2.txt`` no town has another name.

    Returns
    -------
    list of list of str
        Columns as `HEADING`.
    """
    dump = max(folder.glob("cities*.txt"), key=lambda path: path.stat().st_size)
    regions = {row[0]: row[1] for row in _lines(folder / "admin1CodesASCII.txt")}
    towns = [row for row in _lines(dump) if _wanted(row)]
    whole = {(row[8], plain(row[1])) for row in towns if row[7] != _PART}
    towns = [row for row in towns if row[7] != _PART or (row[8], plain(row[1])) not in whole]
    also = _other_names(folder, {row[0]: row for row in towns})
    found = [_row(row, regions, also.get(row[0], ())) for row in towns]
    return sorted(found, key=lambda row: (row[1], row[0], -int(row[8]), row[4:6]))


def with_heights(rows: Iterable[list[str]]) -> list[list[str]]:
    """Return rows of the table whose lacking heights are worked out from the towns around.

    Parameters
    ----------
    rows : iterable of list of str
        Columns as `HEADING`.

    Returns
    -------
    list of list of str
        With a ``~`` before each height that was worked out; where no town of a known one is near,
        it stays empty.

    Notes
    -----
    The mean of the five nearest, weighed by the square of the way. Towns of known heights, worked
    out so from each other, are right within 18 m for half of them and 137 m for nine in ten.
    """
    from scipy.spatial import cKDTree

    rows = [list(row) for row in rows]
    known = [row for row in rows if row[6] and not row[6].startswith("~")]
    height = np.array([float(row[6]) for row in known])
    tree = cKDTree(_points(known))
    for row in rows:
        if row[6] and not row[6].startswith("~"):
            continue
        apart, which = tree.query(_points([row])[0], k=min(_NEIGHBOURS, len(known)))
        apart, which = np.atleast_1d(apart), np.atleast_1d(which)
        weight = (apart + _AS_NEAR_KM) ** -2.0
        about = float(weight @ height[which] / weight.sum())
        row[6] = f"~{about:.0f}" if apart[0] <= _FAR_KM else ""
    return rows


def as_text(rows: Iterable[list[str]]) -> str:
    """Return the rows as the file has them."""
    text = io.StringIO()
    csv.writer(text, lineterminator="\n").writerows([HEADING, *rows])
    return text.getvalue()


def _lines(path: Path) -> Iterator[list[str]]:
    """Yield the rows of a dump: fields between tabs, remarks left out."""
    with path.open(encoding="utf-8") as file:
        for line in file:
            if not line.startswith("#"):
                yield line.rstrip("\n").split("\t")


def _wanted(row: list[str]) -> bool:
    """Return whether a town of the dump is of the size, and still there."""
    least = LEAST_IN.get(row[8], LEAST)
    return row[7] not in _GONE and (row[7] == _CAPITAL or int(row[14] or 0) >= least)


def _row(row: list[str], regions: dict[str, str], also: Iterable[str]) -> list[str]:
    """Return a town of the dump as a row of the table."""
    country, people = row[8], int(row[14] or 0)
    region = regions.get(f"{country}.{row[10]}", "")
    code = row[10] if country == "US" else _LETTERS.get(country, {}).get(region, "")
    height = next((h for h in (row[15], row[16]) if h and int(h) > _NO_HEIGHT), "")
    return [
        row[1], country, region, code, f"{float(row[4]):.2f}", f"{float(row[5]):.2f}", height,
        row[17], str(round(people / 1000)), ";".join(also),
    ]  # fmt: skip


def _other_names(folder: Path, towns: dict[str, list[str]]) -> dict[str, list[str]]:
    """Return the few other names by which people are likely to write towns.

    Preferred, shorter and older ones, in English or the first language of the country, in Latin
    letters.
    """
    path, found = folder / "alternateNamesV2.txt", {key: list[str]() for key in towns}
    if not path.exists():
        return found
    spoken = {
        row[0]: row[15].split(",")[0].split("-")[0] for row in _lines(folder / "countryInfo.txt")
    }
    for row in _lines(path):
        key, language, name = row[1:4]
        if key not in towns or not any(row[4:8]) or not _latin(name):
            continue
        town, mine = towns[key], found[key]
        known = {plain(each) for each in (town[1], *mine)}
        if language in ("en", spoken.get(town[8])) and plain(name) not in known:
            mine.append(name)
    return {key: names[:_MOST_NAMES] for key, names in found.items()}


def _latin(name: str) -> bool:
    return ";" not in name and all(ord(letter) < 0x250 for letter in name)


def _points(rows: list[list[str]]) -> np.ndarray:
    """Return the towns' places as points in space [km], shape (n, 3)."""
    north, east = (np.radians([float(row[k]) for row in rows]) for k in (4, 5))
    flat = np.cos(north)
    return EARTH_KM * np.stack([flat * np.cos(east), flat * np.sin(east), np.sin(north)], axis=1)


def main() -> None:
    """Write the table."""
    words = argparse.ArgumentParser(description=__doc__)
    words.add_argument("folder", type=Path, nargs="?", help="folder of the dumps")
    words.add_argument("--heights", type=Path, help="a table whose lacking heights are worked out")
    words.add_argument("--out", type=Path, required=True)
    given = words.parse_args()
    if given.heights:
        rows = list(csv.reader(given.heights.read_text(encoding="utf-8").splitlines()))[1:]
    else:
        rows = table(given.folder)
    given.out.write_text(as_text(with_heights(rows)), encoding="utf-8")


if __name__ == "__main__":
    main()
