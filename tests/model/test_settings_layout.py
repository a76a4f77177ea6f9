from tourney.model.event import HEAD_KEYS, Division, Event
from tourney.model.settings_layout import SHEET, SHEETS, cell_value, keys_of


def test_every_head_key_is_on_the_first_sheet() -> None:
    assert tuple(key.name for key in SHEET["event"].keys) == HEAD_KEYS


def test_every_key_of_a_division_has_a_row_but_for_the_bands() -> None:
    tops = [key.name.split(".")[0] for key in SHEET["divisions"].keys]
    assert [name for name in Division.model_fields if name not in tops] == ["bands"]


def test_every_key_has_a_meaning_and_names_are_not_repeated() -> None:
    for sheet in SHEETS:
        assert all(key.meaning for key in sheet.keys)
        assert len({key.name for key in sheet.keys}) == len(sheet.keys)


def test_only_what_has_no_default_is_needed() -> None:
    needed = {f"{sheet.name}.{key.name}" for sheet in SHEETS for key in sheet.keys if key.needed}
    assert needed == {
        "event.name", "event.date", "pauses.after_wave", "pauses.minutes", "rooms.name", "divisions.name",
        "bands.label", "answers.id", "answers.answer",
    }  # fmt: skip


def test_tables_in_tables_are_flattened() -> None:
    late = next(key for key in keys_of(Division) if key.name == "points.late")
    assert (late.default, late.meaning) == (10, "taken off for L, found too late")
    assert not [key for key in keys_of(Event) if key.name.startswith(("rooms", "divisions", "answers"))]


def test_values_as_cells_show_them() -> None:
    assert [cell_value(value) for value in (None, True, False, (8, 10), {"law": 2.0, "paul": 1}, 4, "A4")] == [
        "", "yes", "no", "8, 10", "law=2.0, paul=1", 4, "A4",
    ]  # fmt: skip


def test_closed_keys_name_their_words() -> None:
    words = {key.name: (key.words, key.closed) for key in SHEET["divisions"].keys if key.words}
    assert words["panel"] == (("median", "majority", "mean", "chief"), True)
    assert words["rounds"] == (("all",), False)
    assert words["play_up"] == (("yes", "no"), True)
