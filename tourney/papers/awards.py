"""What is read out at the end of the day, and the certificates, in the order in which they are handed out."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby
from math import ceil

from tourney.model.names import certificate_name
from tourney.model.people import Roster
from tourney.model.plan import Plan
from tourney.model.standing import DivisionResults, Results
from tourney.papers.page_writer import Page, Writer
from tourney.papers.paging import Sheet, Words, in_pages
from tourney.papers.views import DivisionLabel, Hall

Ended = Mapping[str, Sequence[tuple[int, str]]]  # division -> (place, team) of its finals, once they are decided

PLACES = 3  # places of teams that are read out
ORDINALS = {1: "First", 2: "Second", 3: "Third"}
LINES = 6  # for names of a band, on a blank list
NAMES_A_PAGE = 40
NOTE_MM, SEAL_MM = 11.0, 30.0  # what is said beneath the awards, and that they are provisional


@dataclass(frozen=True, slots=True)
class Award:
    """Who is called together. names: empty on a blank list, with as many lines to write on. places: of teams."""

    title: str
    names: tuple[str, ...]
    lines: int = 0
    places: bool = False


@dataclass(frozen=True, slots=True)
class AwardList:
    """One division: bands from the lowest, then teams from the third place to the first."""

    division: DivisionLabel
    awards: tuple[Award, ...]


@dataclass(frozen=True, slots=True)
class Certificate:
    """One child's certificate. name: empty where the family asked for a number only. band: empty for taking part."""

    id: str
    name: str
    band: str
    division: DivisionLabel
    team: str


def called_out(label: str) -> str:
    """An award as it is read out and printed: a letter or a number alone would say nothing."""
    return f"Award {label}" if len(label) == 1 else label


def blank_lists(hall: Hall) -> tuple[AwardList, ...]:
    """Award lists to be filled in by hand."""
    return tuple(
        AwardList(
            label,
            (
                *(
                    Award(called_out(band.label), (), LINES)
                    for band in hall.plan.event.division(label.name).bands_upwards
                ),
                *(Award(ORDINALS[place], (), 1, places=True) for place in range(PLACES, 0, -1)),
            ),
        )
        for label in hall.divisions.values()
    )


def award_lists(hall: Hall, results: Results, ended: Ended | None = None) -> tuple[AwardList, ...]:
    """Award lists from the standings, after finals by their places.

    Names are those that may be shown; who is level is called together.
    """
    return tuple(
        AwardList(hall.divisions[found.division], (*_bands(hall, found), *_places(hall, found, ended or {})))
        for found in results.divisions
    )


def award_sheets(
    lists: tuple[AwardList, ...], sheet: Sheet, note: float
) -> tuple[tuple[DivisionLabel, tuple[Award, ...]], ...]:
    """Award lists page by page, a division never beside another one. note: mm that remarks take on each page."""
    return tuple(
        (found.division, awards)
        for found in lists
        for awards in in_pages(found.awards, lambda award: _award_mm(award, sheet), sheet.room - note)
    )


def certificates(hall: Hall, roster: Roster, results: Results) -> tuple[Certificate, ...]:
    """A certificate for everyone who was ranked, division by division in the order of the award list."""
    found = []
    for division in results.divisions:
        order = ("", *(band.label for band in hall.plan.event.division(division.division).bands_upwards))
        rows = sorted(division.contestants, key=lambda row: (order.index(row.band or ""), row.contestant))
        for row in rows:
            child = roster.contestant[row.contestant]
            team = hall.teams[row.team]
            band = called_out(row.band) if row.band else ""
            found.append(Certificate(child.id, certificate_name(child), band, team.division, team.name))
    return tuple(found)


def award_pages(
    plan: Plan, roster: Roster, results: Results, ended: Ended | None = None, *, playing: bool = False
) -> Iterator[Page]:
    """The announcer's list and the certificates; paths are below results/.

    While results are provisional, or finals are played, the list says so; no certificates before results are final.
    """
    hall, write = Hall(plan, roster), Writer(plan)
    final = results.state == "final"
    told = final and not playing
    sheets = award_sheets(award_lists(hall, results, ended), write.tall, NOTE_MM if told else NOTE_MM + SEAL_MM)
    yield write("awards.html", "awards.html", "Award list", sheets=sheets, provisional=not told)
    made = certificates(hall, roster, results) if final else ()
    yield write("certificates.html", "certificates.html", "Certificates", turn="landscape", certificates=made)


def _bands(hall: Hall, found: DivisionResults) -> Iterator[Award]:
    for band in (one.label for one in hall.plan.event.division(found.division).bands_upwards):
        rows = sorted((row for row in found.contestants if row.band == band), key=lambda row: row.contestant)
        names = [f"{row.shown_as}, {hall.teams[row.team].name}" for row in rows]
        for start in range(0, max(1, len(names)), NAMES_A_PAGE):
            title = f"{called_out(band)}, going on" if start else called_out(band)
            yield Award(title, tuple(names[start : start + NAMES_A_PAGE]))


def _places(hall: Hall, found: DivisionResults, ended: Ended) -> Iterator[Award]:
    best = [row for row in _ordered(found, ended.get(found.division, ())) if row[0] <= PLACES]
    for place, rows in reversed([(place, list(rows)) for place, rows in groupby(best, key=lambda row: row[0])]):
        names = tuple(f"{hall.teams[team].name}, {hall.teams[team].club}" for _, team in rows)
        yield Award(f"{ORDINALS[place]}{', shared' if len(rows) > 1 else ''}", names, places=True)


def _ordered(found: DivisionResults, ended: Sequence[tuple[int, str]]) -> list[tuple[int, str]]:
    """(place, team), best first: by the finals, then everyone else as the rounds left them."""
    finalists = {team for _, team in ended}
    rest = [row for row in found.teams if row.team not in finalists]
    place = {row.team: row.across or row.place for row in rest}
    behind = [(len(ended) + 1 + sum(one < place[team] for one in place.values()), team) for team in place]
    return [*ended, *sorted(behind, key=lambda row: row[0])]


def _award_mm(award: Award, sheet: Sheet) -> float:
    """Height of an award on the list, in mm."""
    if award.places:
        names = sum(Words(name, sheet.width, 22.5).mm for name in award.names)  # lines stand a little closer
    else:
        heights = [Words(name, sheet.width / 2 - 8, 13).mm for name in award.names or ("nobody",)]
        names = sum(sorted(heights, reverse=True)[: ceil(len(heights) / 2)])
    return 11 + names + 9.5 * award.lines
