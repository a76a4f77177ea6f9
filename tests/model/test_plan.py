"""The nouns of a planned day."""

from tourney.model.people import Official
from tourney.model.plan import Heat, PublicOfficial

HEAT = Heat("J-R1-1", "Junior", 1, "W01", "Loft", "J-W01", ("J01", "J07"), ("O03", "O07"), "O01", "O02", ("J01-1",))


def test_seats_name_everyone_on_duty() -> None:
    assert HEAT.seats == (("judge", "O03"), ("judge", "O07"), ("caller", "O01"), ("timekeeper", "O02"))


def test_no_seat_for_a_timekeeper_where_the_caller_keeps_time() -> None:
    heat = Heat("J-R1-1", "Junior", 1, "W01", "Loft", "J-W01", ("J01",), ("O03",), "O01", None, ("J01-1",))
    assert heat.seats == (("judge", "O03"), ("caller", "O01"))


def test_an_officials_hours_and_clearance_stay_private() -> None:
    official = Official("O01", "Nuno Farolim", ("judge",), ("Gannetry Club",), ("J04-2",), "10:00", "12:00", False)
    public = PublicOfficial.of(official)
    assert public == PublicOfficial("O01", "Nuno Farolim", ("judge",), ("Gannetry Club",), ("J04-2",))
    assert not {"start", "end", "cleared", "step_free_only"} & set(PublicOfficial.__dataclass_fields__)
