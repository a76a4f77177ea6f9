"""Points by round as a chart in the results workbook: a bar a team, its rounds end to end, in greys with outlines."""

from collections.abc import Sequence
from typing import Any

from openpyxl.chart import BarChart, Reference
from openpyxl.chart.shapes import GraphicalProperties
from openpyxl.worksheet.pagebreak import Break

from tourney.model.standing import DivisionResults
from tourney.papers.standings_table import first_round, rounds_shown
from tourney.papers.table_sheet import FIRST_ROW, HEADINGS_ROW, TITLE, TITLE_ROW
from tourney.papers.workbook import Sheet

GREYS = ("595959", "A6A6A6", "D9D9D9", "7F7F7F", "F2F2F2", "BFBFBF")
WIDTH_CM, BAR_CM, FRAME_CM = 25.0, 0.75, 2.6
ROW_CM = 0.53  # of an empty row of a sheet


def write_charts(sheet: Sheet, found: Sequence[tuple[Sheet, DivisionResults]]) -> None:
    """A chart a division, over the cells of its own sheet. found: each division's sheet and results."""
    sheet.put(TITLE_ROW, 1, "Points by round", TITLE)
    row = TITLE_ROW + 2
    for table, results in found:
        height = FRAME_CM + BAR_CM * len(results.teams)
        if row > TITLE_ROW + 2:
            sheet.frame.row_breaks.append(Break(id=row - 1))  # on paper each has a page, cut by none
        sheet.frame.add_chart(_chart(table, results, height), f"A{row}")
        row += int(height / ROW_CM) + 2
    sheet.frame.sheet_view.showGridLines = False


def _chart(table: Sheet, results: DivisionResults, height: float) -> Any:
    rounds, last = rounds_shown(results), FIRST_ROW + len(results.teams) - 1
    chart: Any = BarChart()
    chart.type, chart.grouping, chart.overlap, chart.gapWidth = "bar", "stacked", 100, 40
    chart.title, chart.width, chart.height = results.division, WIDTH_CM, height
    first = first_round(results)
    data = Reference(table.frame, first, HEADINGS_ROW, first + rounds - 1, last)
    chart.add_data(data, titles_from_data=True)
    chart.set_categories(Reference(table.frame, 2, FIRST_ROW, 2, last))
    for number, series in enumerate(chart.series):
        series.graphicalProperties = GraphicalProperties(solidFill=GREYS[number % len(GREYS)])
        series.graphicalProperties.line.solidFill = "262626"
    chart.y_axis.delete = chart.x_axis.delete = False
    chart.x_axis.scaling.orientation = "maxMin"  # the best team above
    chart.y_axis.majorGridlines = None
    chart.legend.position = "b"
    return chart
