"""All tables of a plan as one XLSX workbook, where the library for it is installed."""

from __future__ import annotations

import io
import unicodedata
import zipfile
from datetime import date, datetime

from sowplan.export.tables import Table, tables
from sowplan.season.plan import Plan
from sowplan.supply.wording import one_line

WIDEST = 60  # characters; longer texts are read in the cell


def workbook(plan: Plan) -> bytes:
    """Return all tables as one workbook, a sheet a table.

    Parameters
    ----------
    plan : Plan
        Any plan.

    Returns
    -------
    bytes
        Dated by the season's start, so that the same plan gives the same bytes.

    Raises
    ------
    ModuleNotFoundError
        Where XlsxWriter is not installed.
    """
    from xlsxwriter import Workbook

    out = io.BytesIO()
    start = plan.site.start
    book = Workbook(out, {"in_memory": True, "default_date_format": "yyyy-mm-dd"})
    book.set_properties(
        {
            "title": _printable(one_line(plan.site.name)),
            "author": "sowplan",
            "created": datetime(start.year, start.month, start.day),
        }
    )
    bold = book.add_format({"bold": True})
    for table in tables(plan):
        _fill(book.add_worksheet(table.name.capitalize()), table, bold)
    book.close()
    return _stored(out.getvalue())


def _fill(sheet, table: Table, bold) -> None:
    """Fill a sheet: the header stays in sight, columns are as wide as what is in them."""
    for column, name in enumerate(table.columns):
        sheet.write_string(0, column, name, bold)
        widest = max((len(str(row[column] or "")) for row in table.rows), default=0)
        sheet.set_column(column, column, min(max(widest, len(name)), WIDEST) + 2)
    for number, row in enumerate(table.rows, start=1):
        for column, value in enumerate(row):
            # A text is written as text even where it begins with "=": a name is no formula.
            if isinstance(value, str):
                sheet.write_string(number, column, _printable(value))
            elif isinstance(value, bool):
                sheet.write_boolean(number, column, value)
            elif isinstance(value, date):
                sheet.write_datetime(number, column, value)
            elif value is not None:
                sheet.write_number(number, column, value)
    sheet.freeze_panes(1, 0)
    sheet.autofilter(0, 0, len(table.rows), len(table.columns) - 1)


def _stored(workbook: bytes) -> bytes:
    """Return a workbook with its parts stored plainly.

    Compressors differ from machine to machine, and the bytes shall not.
    """
    out = io.BytesIO()
    with (
        zipfile.ZipFile(io.BytesIO(workbook)) as old,
        zipfile.ZipFile(out, "w", zipfile.ZIP_STORED) as new,
    ):
        for name in old.namelist():
            info = zipfile.ZipInfo(name, (1980, 1, 1, 0, 0, 0))  # the first day a zip file knows
            info.create_system = 0
            new.writestr(info, old.read(name))
    return out.getvalue()


def _printable(text: str) -> str:
    """Return text without the control characters that a workbook's XML cannot hold."""
    if text.isprintable():
        return text
    return "".join(c for c in text if c in "\n\t" or unicodedata.category(c) != "Cc")
