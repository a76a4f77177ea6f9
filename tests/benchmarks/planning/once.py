"""Plan one large day and nothing else, to be measured: python -m tests.benchmarks.planning.once TEAMS."""

import sys

from tests.benchmarks.planning.days import large_day
from tourney.canon.syllabus import built_in
from tourney.planning.plan import plan_day


def main(teams: int) -> int:
    """Plan it; 1 when a figure is beyond its limit."""
    event, roster = large_day(teams)
    plan, _ = plan_day(event, roster, built_in(), "a secret", "")
    beyond = [line for line in plan.fairness if not line.ok]
    print(*beyond, sep="\n", file=sys.stderr)
    return int(bool(beyond))


if __name__ == "__main__":
    sys.exit(main(int(sys.argv[1])))
