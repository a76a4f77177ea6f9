"""CP-SAT so that a draw repeats: one worker, a fixed seed, and a limit that counts work instead of seconds."""

from ortools.sat.python import cp_model


def solve(model: cp_model.CpModel, seed: int, effort: float) -> tuple[cp_model.CpSolver, cp_model.CpSolverStatus]:
    """The solver after its work, and its status. effort: deterministic time, about the seconds of a fast machine."""
    solver = _solver(seed, effort)
    return solver, solver.solve(model)


def solve_small(model: cp_model.CpModel, seed: int, effort: float) -> tuple[cp_model.CpSolver, cp_model.CpSolverStatus]:
    """The same without what only large models repay: no linear relaxation, no probing, no symmetry."""
    solver = _solver(seed, effort)
    solver.parameters.linearization_level = 0
    solver.parameters.cp_model_probing_level = 0
    solver.parameters.symmetry_level = 0
    return solver, solver.solve(model)


def _solver(seed: int, effort: float) -> cp_model.CpSolver:
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = seed
    solver.parameters.max_deterministic_time = effort
    return solver


def found(status: cp_model.CpSolverStatus) -> bool:
    """Whether there is a solution to read."""
    return status in (cp_model.OPTIMAL, cp_model.FEASIBLE)
