"""Bare work of the same size, done by libraries alone: what a whole command is measured beside.

python tests/benchmarks/peers.py read FOLDER      # open every workbook and CSV of an event folder
python tests/benchmarks/peers.py sheets COUNT     # write plain sheets with XlsxWriter, read them with calamine
"""

import csv
import sys
from pathlib import Path
from tempfile import TemporaryDirectory

WORKBOOKS, LINES, CALLS = 6, 8, 16  # as on the sample day: a workbook a room, two squads of four, sixteen calls


def read_folder(folder: Path) -> int:
    """Cells in all workbooks and CSV files below a folder, as openpyxl and csv read them."""
    from openpyxl import load_workbook

    cells = 0
    for path in sorted(folder.rglob("*.csv")):
        with path.open(encoding="latin-1", newline="") as lines:
            cells += sum(len(row) for row in csv.reader(lines))
    for path in sorted(folder.rglob("*.xlsx")):
        book = load_workbook(path, read_only=True, data_only=True)
        cells += sum(len(row) for sheet in book for row in sheet.iter_rows(values_only=True))
        book.close()
    return cells


def write_sheets(folder: Path, count: int) -> None:
    """Plain sheets, shared out over six workbooks: names down, calls across, nothing else."""
    import xlsxwriter

    for number in range(WORKBOOKS):
        with xlsxwriter.Workbook(folder / f"{number}.xlsx") as book:
            for sheet in range(number, count, WORKBOOKS):
                page = book.add_worksheet(f"sheet {sheet}")
                for line in range(LINES):
                    page.write_row(line, 0, [f"line {line}", *("L" for _ in range(CALLS))])


def read_sheets(folder: Path) -> int:
    """Cells of those sheets, as calamine reads them."""
    from python_calamine import CalamineWorkbook

    books = [CalamineWorkbook.from_path(path) for path in sorted(folder.glob("*.xlsx"))]
    return sum(
        len(row) for book in books for name in book.sheet_names for row in book.get_sheet_by_name(name).to_python()
    )


def main(what: str, argument: str) -> None:
    """Do one of the two, and check that all cells were met."""
    if what == "read":
        assert read_folder(Path(argument)) > 0
        return
    with TemporaryDirectory() as folder:
        write_sheets(Path(folder), int(argument))
        assert read_sheets(Path(folder)) == int(argument) * LINES * (CALLS + 1)


if __name__ == "__main__":
    main(*sys.argv[1:])
