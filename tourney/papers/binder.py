"""A workbook of tables that all say what they were made from, and how final they are."""

from collections.abc import Iterable, Sequence

from tourney.model.plan import Plan
from tourney.model.standing import Results
from tourney.papers.cells import Content
from tourney.papers.stamp import Stamp
from tourney.papers.table_sheet import Field, Shown, fit_pages, stamp_pages, write_lines, write_table
from tourney.papers.wide_tables import fit_table
from tourney.papers.workbook import Sheet, Workbook


class Binder:
    """Adds sheets that all carry the same stamp."""

    def __init__(self, workbook: Workbook, plan: Plan, state: str) -> None:
        self._workbook, self._paper, self.stamp, self._state = workbook, plan.event.day.paper, Stamp.of(plan), state

    def add(self, tab: str) -> Sheet:
        """A sheet at the end that is filled later."""
        return self._workbook.add(tab)

    def table(
        self,
        tab: str | Sheet,
        title: str,
        fields: Sequence[Field],
        rows: Iterable[Sequence[Content | Shown]],
        remark: str = "",
        fixed: int = 0,
    ) -> Sheet:
        """A sheet that is a table; its remark, or else the state of the results, stands beneath the title.

        tab: its name, or a sheet that was added before.
        """
        sheet = self.add(tab) if isinstance(tab, str) else tab
        write_table(sheet, title, remark or self._state, fields, rows, fixed)
        fit_table(sheet, fields, self._paper, fixed)
        stamp_pages(sheet, self.stamp, self._state)
        return sheet

    def page(self, tab: str) -> Sheet:
        """An empty sheet for what is no table."""
        sheet = self._workbook.add(tab)
        fit_pages(sheet, self._paper, headings=False)
        stamp_pages(sheet, self.stamp, self._state)
        return sheet

    def read_me(self, title: str, lines: Sequence[tuple[str, str]]) -> None:
        """A page of reading: the state of the results, then pairs of a few bold words and what they say."""
        sheet = self._workbook.add("Read me")
        write_lines(sheet, f"{self.stamp.event}, {self.stamp.date}: {title}", (("State", self._state), *lines))
        fit_pages(sheet, self._paper, headings=False)
        stamp_pages(sheet, self.stamp, self._state)


def state_words(results: Results) -> str:
    """FINAL, or how many matters keep the results provisional."""
    if results.state == "final":
        return "FINAL"
    matters = len(results.open_matters)
    return f"PROVISIONAL: {matters} matter{'' if matters == 1 else 's'} open" if matters else "PROVISIONAL"
