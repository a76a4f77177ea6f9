"""From standings to the first bracket: who goes on, in which order, and where clubs and pools are kept apart."""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import replace

from tourney.draw import Draw
from tourney.finals.apart import drawing, keep_apart
from tourney.finals.building import Building
from tourney.finals.kinds import KINDS
from tourney.model.bracket import Bracket, BracketHeat, Source
from tourney.model.event import Division
from tourney.model.plan import DrawnFinals, Plan
from tourney.model.standing import DivisionResults, TeamStanding
from tourney.scoring.words import listing, ordinal

TREES = ("knockout", "double_knockout", "placement")  # kinds in which it matters who meets whom first


def finalists(standing: DivisionResults) -> tuple[TeamStanding, ...]:
    """Who goes on for certain, best first."""
    return tuple(row for row in standing.teams if row.advances == "certain")


def draw_finals(plan: Plan, standing: DivisionResults) -> DrawnFinals:
    """Seeds and their places in the drawing. Level teams are seeded by a lot from the draw words, which is told.

    There must be two finalists at least, and no tie at the cut.
    """
    rules = plan.event.division(standing.division)
    rows = finalists(standing)
    lots = [row.team for row in rows]
    lots.sort()
    Draw(plan.draw.words).stream("seeds", standing.division).shuffle(lots)
    seeds = tuple(row.team for row in sorted(rows, key=lambda row: (_rank(row, rules), lots.index(row.team))))
    size = rules.teams_per_heat if rules.finals == "knockout" else 2
    placed = _placed(plan, rules, seeds, size)
    names = {team.id: team.name for team in plan.teams}
    footnotes = (*_lots(rows, rules, seeds, names), *_moves(seeds, placed, names, plan))
    first = next(sealed.id for sealed in plan.call_sets if (sealed.division, sealed.use) == (rules.name, "final"))
    prefix = first.rsplit("-FINAL-", 1)[0]
    return DrawnFinals(standing.division, prefix, rules.finals, size, seeds, placed, footnotes)


def _placed(plan: Plan, rules: Division, seeds: tuple[str, ...], size: int) -> tuple[str, ...]:
    """The team in the place of seed 1, of seed 2 and so on: clubs apart, then pools, whose teams have met already."""
    if rules.finals not in TREES:
        return seeds
    parties = [[plan.team[team].club for team in seeds]]
    if rules.pool_names:
        parties.append([plan.team[team].pool for team in seeds])
    return tuple(seeds[seed - 1] for seed in keep_apart(drawing(len(seeds), size), *parties))


def bracket_of(drawn: DrawnFinals) -> Bracket:
    """The bracket before any heat was heard."""
    seed_of = {place: drawn.seeds.index(team) + 1 for place, team in enumerate(drawn.placed, 1)}

    def seated(heat: BracketHeat) -> BracketHeat:
        sources = tuple(source if source.seed is None else Source(seed=seed_of[source.seed]) for source in heat.sources)
        return replace(heat, sources=sources)

    heats = tuple(map(seated, skeleton(drawn.kind, len(drawn.seeds), drawn.size, drawn.prefix)))
    return Bracket(drawn.division, drawn.kind, drawn.seeds, heats, drawn.footnotes)


def skeleton(kind: str, entries: int, size: int, prefix: str) -> tuple[BracketHeat, ...]:
    """The heats of a kind for 2 to 256 entries, seeds in their own places."""
    building = Building(prefix)
    KINDS[kind](building, entries, size)
    return building.finished()


def _rank(row: TeamStanding, rules: Division) -> tuple[int, int]:
    """By place; from pools, who is first of one before who is second of one, and the best others behind them."""
    return (min(row.place, rules.advance_per_pool + 1), row.across) if row.pool else (row.place, 0)


def _lots(rows: Sequence[TeamStanding], rules: Division, seeds: Sequence[str], names: Mapping[str, str]) -> list[str]:
    """A sentence for each place that several share."""
    rank = {row.team: _rank(row, rules) for row in rows}
    shared: dict[tuple[int, int], list[str]] = {}
    for team in seeds:
        shared.setdefault(rank[team], []).append(team)
    parted = any(row.pool for row in rows)
    return [
        f"{listing([names[team] for team in level])} "
        f"{'are level across the pools' if parted else f'share the {ordinal(place)} place'}; "
        "the lot from the draw words seeds them in this order."
        for (place, _), level in shared.items()
        if len(level) > 1
    ]


def _moves(seeds: Sequence[str], placed: Sequence[str], names: Mapping[str, str], plan: Plan) -> list[str]:
    """A sentence for each seed that stands in another one's place."""
    moved = [(place, team) for place, team in enumerate(placed, 1) if seeds[place - 1] != team]
    clubs = Counter(plan.team[team].club for team in seeds)
    pools = Counter(plan.team[team].pool for team in seeds if plan.team[team].pool)
    said = []
    for place, team in sorted(moved, key=lambda row: seeds.index(row[1])):
        club, pool = plan.team[team].club, plan.team[team].pool
        kept = [club] if clubs[club] > 1 else []
        kept += [f"pool {pool}"] if pools[pool] > 1 else []
        why = f"to keep the teams of {' apart, and those of '.join(kept)}" if kept else "to make room"
        end = " apart" if len(kept) == 1 else ""
        said.append(f"Seed {seeds.index(team) + 1}, {names[team]}, stands in the place of seed {place} {why}{end}.")
    return said
