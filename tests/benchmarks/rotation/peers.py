"""The same rotations from general-purpose solvers: a direct CP-SAT model, and networkx's matching round by round."""

from collections import Counter
from collections.abc import Mapping
from itertools import combinations, product

import networkx as nx
from ortools.sat.python import cp_model

Rounds = list[list[tuple[str, ...]]]


def cp_sat(clubs: Mapping[str, str], size: int, rounds: int, seconds: float, workers: int) -> tuple[Rounds | None, str]:
    """Rounds of a direct model, and the solver's word for them: who is in which heat, one variable a pair and round.

    Fewest meetings within clubs first, then fewest repeats. Only the first round is fixed, as a modeller would.
    """
    teams = sorted(clubs)
    heats = -(-len(teams) // size)
    small = heats * size - len(teams)
    model = cp_model.CpModel()
    there = {key: model.new_bool_var("") for key in product(range(rounds), range(heats), teams)}
    for turn in range(rounds):
        for team in teams:
            model.add_exactly_one(there[turn, heat, team] for heat in range(heats))
        for heat in range(heats):
            model.add(sum(there[turn, heat, team] for team in teams) == size - (heat < small))
    own, again = [], []
    for one, other in combinations(teams, 2):
        met = []
        for turn in range(rounds):
            together = model.new_bool_var("")
            met.append(together)
            for heat in range(heats):
                model.add_bool_or(there[turn, heat, one].Not(), there[turn, heat, other].Not(), together)
        if clubs[one] == clubs[other]:
            own += met
        beyond = model.new_int_var(0, rounds, "")
        model.add(beyond >= sum(met) - 1)
        again.append(beyond)
    dear = rounds * len(teams) * size
    model.minimize(dear * sum(own) + sum(again))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = workers
    solver.parameters.max_time_in_seconds = seconds
    status = solver.solve(model)
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return None, solver.status_name(status).lower()
    drawn = [
        [tuple(team for team in teams if solver.value(there[turn, heat, team])) for heat in range(heats)]
        for turn in range(rounds)
    ]
    return drawn, "proven best" if status == cp_model.OPTIMAL else "best found"


def matched(clubs: Mapping[str, str], rounds: int) -> Rounds:
    """Pairs, each round networkx's cheapest perfect matching on past meetings and clubs; an odd team has no partner."""
    teams = sorted(clubs)
    met: Counter[tuple[str, str]] = Counter()
    alone: Counter[str] = Counter()
    drawn: Rounds = []
    for _ in range(rounds):
        graph: nx.Graph[str] = nx.Graph()
        nobody = [""] if len(teams) % 2 else []
        for one, other in combinations([*nobody, *teams], 2):
            times = alone[other] if not one else met[one, other] + rounds * (clubs[one] == clubs[other])
            graph.add_edge(one, other, weight=times**2)
        pairs = [tuple(sorted(pair)) for pair in nx.min_weight_matching(graph)]
        for one, other in pairs:
            if one:
                met[one, other] += 1
            else:
                alone[other] += 1
        drawn.append([pair for pair in pairs if pair[0]])
    return drawn
