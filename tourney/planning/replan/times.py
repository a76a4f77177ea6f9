"""When the waves start: what was announced stays, unless a delay or a longer wave pushes."""

from collections.abc import Mapping
from dataclasses import replace
from datetime import datetime, timedelta

from tourney.model.plan import Wave
from tourney.planning.clock import gap_after
from tourney.planning.replan.draft import Draft


def with_minutes(draft: Draft) -> Draft:
    """Waves take as long as their longest heat where that is longer than before, or where a round was shortened."""
    short = {key for key, _ in draft.short}
    waves = []
    for wave in draft.waves:
        heats = draft.in_wave[wave.id]
        longest = max((draft.minutes(heat) for heat in heats), default=wave.minutes)
        fixed = wave.id in draft.held
        shorter = any((heat.division, heat.round) in short for heat in heats)
        waves.append(wave if fixed else replace(wave, minutes=longest if shorter else max(longest, wave.minutes)))
    return replace(draft, waves=tuple(waves))


def on_the_clock(draft: Draft, delay: int, announced: Mapping[str, datetime]) -> Draft:
    """Every wave that has not begun at the earliest time that the rules allow, and never before it was announced.

    delay: minutes by which the first of them is late. Pauses and rests keep their full length; time to spare between
    waves takes up the delay. announced: wave id -> the time before which it may not start; else its present start.
    """
    rest = timedelta(minutes=draft.event.day.rest)
    free_from: dict[str, datetime] = {}  # when each team has rested
    waves: list[Wave] = []
    first = next((wave.id for wave in draft.open_waves), None)
    for number, wave in enumerate(draft.waves):
        teams = [team for heat in draft.in_wave[wave.id] for team in draft.may_stand(heat)]
        moved = wave
        if wave.id not in draft.held:
            earliest = announced.get(wave.id, wave.start)
            if wave.id == first:
                earliest = wave.start + timedelta(minutes=delay)
            after = [waves[-1].end + timedelta(minutes=gap_after(number, draft.event.day))] if waves else []
            rested = [free_from[team] for team in teams if team in free_from]
            if wave.id not in draft.planned:
                earliest = after[0] if after else wave.start
            moved = replace(wave, start=max([earliest, *after, *rested]))
        waves.append(moved)
        free_from |= dict.fromkeys(teams, moved.end + rest)
    return replace(draft, waves=tuple(waves))
