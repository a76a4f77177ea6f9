"""event.toml: every fault in words of ours, with its key or line."""

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tourney.faults import Code
from tourney.intake.findings import Findings
from tourney.intake.settings import Settings, read_settings

HEAD = '[event]\nname = "Millrace Day"\ndate = 2027-04-17\ntimezone = "Europe/Dublin"\n'
ROOM = '[[rooms]]\nname = "Barn"\n'
JUNIOR = '[[divisions]]\nname = "Junior"\nages = [8, 10]\n'


def read(folder: Path, text: str | bytes) -> tuple[Settings, Findings]:
    (folder / "event.toml").write_bytes(text.encode() if isinstance(text, str) else text)
    findings = Findings()
    return read_settings(folder, findings), findings


def faults(folder: Path, text: str | bytes) -> list[tuple[str, Code, str, str]]:
    _, findings = read(folder, text)
    return [(fault.where, fault.code, fault.message, fault.hint) for fault in findings.faults]


@pytest.mark.parametrize("mark", ["", "\ufeff"])
def test_defaults_hold(tmp_path: Path, mark: str) -> None:
    settings, findings = read(tmp_path, (mark + HEAD + ROOM + JUNIOR).replace("\n", "\r\n"))
    assert settings.event is not None and not findings.faults and not findings.notes
    assert (settings.event.start, settings.event.divisions[0].calls) == ("09:00", 16)


def test_times_may_stand_without_quotes(tmp_path: Path) -> None:
    settings, _ = read(tmp_path, HEAD + "start = 08:30:00\n" + ROOM + JUNIOR)
    assert settings.event is not None and settings.event.start == "08:30"


@pytest.mark.parametrize(
    ("line", "key", "shown", "hint"),
    [
        ("squad = '4'", "squad", '"4"', "Write a whole number from 1 to 20."),
        ("squad = true", "squad", "true", "Write a whole number from 1 to 20."),
        ("squad = 4.0", "squad", "4.0", "Write a whole number from 1 to 20."),
        ("advance = -1", "advance", "-1", 'Write a whole number from 0 to 256 or "all".'),
        ("rounds = 'every'", "rounds", '"every"', 'Write a whole number from 1 to 50 or "all".'),
        ("panel = 'medium'", "panel", '"medium"',
         'The nearest is "median". Write one of: median, majority, mean, chief.'),
        ("panel = 3", "panel", "3", "Write one of: median, majority, mean, chief."),
        ("play_up = 'yes'", "play_up", '"yes"', "Write true or false."),
        ("points = { late = -1 }", "points.late", "-1", "Write a whole number, 0 or more."),
        ("points = 3", "points", "3", "Write a table of its own."),
        ("sections = 'equally'", "sections", '"equally"',
         "Write one of: equal, by_size or weights such as { law = 2, paul = 1 }."),
        ("bands = 3", "bands", "3", "Write a list."),
        ("zones = 6", "zones", "6", "Write numbers from-to, such as [[1, 6], [7, 12]]."),
        ("age_on = 2026", "age_on", "2026", "Write a date such as 2027-04-17."),
    ],
)  # fmt: skip
def test_values_that_do_not_fit(tmp_path: Path, line: str, key: str, shown: str, hint: str) -> None:
    said = faults(tmp_path, f"{HEAD}{ROOM}{JUNIOR}{line}\n")
    assert said == [(f"divisions[1].{key}", Code.BAD_VALUE, f"{key} of Junior is {shown}.", hint)]


@pytest.mark.parametrize(
    ("line", "where", "message"),
    [
        ("tie_breaks = ['lot', 'fewer_lat']", "tie_breaks[2]", 'tie_breaks of Junior is "fewer_lat".'),
        ("tie_breaks = ['lot', 'lot']", "tie_breaks[2]", "Junior: lot is among the tie-breaks twice."),
        ("bands = [{ label = 'A', from = 90 }]", "bands[1].from", "from of band 1 is 90."),
        ("bands = [{ label = 'A', from = nan }]", "bands[1].from", "from of band 1 is NaN."),
        ("sections = { law = 0 }", "sections", "Junior: no section has a weight above 0."),
    ],
)
def test_lists_and_tables_that_do_not_fit(tmp_path: Path, line: str, where: str, message: str) -> None:
    ((place, code, words, hint),) = faults(tmp_path, f"{HEAD}{ROOM}{JUNIOR}{line}\n")
    assert (place, code, words) == (f"divisions[1].{where}", Code.BAD_VALUE, message)
    assert hint


@pytest.mark.parametrize(
    ("old", "new", "where", "message", "hint"),
    [
        ("2027-04-17", "20270417", "event.date", "date is 20270417.", "Write a date such as 2027-04-17."),
        ("2027-04-17", "2027-04-17T09:00:00", "event.date", 'date is "2027-04-17T09:00:00".', "Write a date"),
        ('"Millrace Day"', '""', "event.name", "name is empty.", "Write a text of 1 to 80 letters."),
        ('"Millrace Day"', "7", "event.name", "name is 7.", "Write a text of 1 to 80 letters."),
        ("[[rooms]]", 'start = "9h"\n[[rooms]]', "event.start", 'start is "9h".', "Write a time such as 09:00."),
        ("Europe/Dublin", "Europe/Dubln", "event.timezone", 'There is no time zone "Europe/Dubln".', "The nearest is"),
        ("Europe/Dublin", "Europe", "event.timezone", 'There is no time zone "Europe".', "The nearest is"),
        ("Europe/Dublin", "/etc/passwd", "event.timezone", 'There is no time zone "/etc/passwd".', "Write a name"),
        ("[8, 10]", "[8]", "divisions[1].ages", "ages of Junior is [8].", "Write two whole numbers, such as [8, 10]."),
        ("[8, 10]", "[10, 8]", "divisions[1]", "Junior: ages runs backwards: write the lower number first.", ""),
        ("[8, 10]", "[8, 10]\ncounting = 5", "divisions[1]",
         "Junior: counting is 5, more than the 4 of a squad: lower it, or raise squad.", ""),
        ("ages = [8, 10]", "", "divisions[1]", "Junior: needs ages or grades, for example ages = [8, 10].", ""),
        ("[event]", "rooms = 3\n[event]", "rooms", "rooms is 3.", "Write a list."),
    ],
)  # fmt: skip
def test_the_rest_of_the_settings(tmp_path: Path, old: str, new: str, where: str, message: str, hint: str) -> None:
    text = (HEAD + ROOM + JUNIOR).replace(old, new)
    if new.startswith("rooms"):
        text = text.replace(ROOM, "")
    ((place, code, words, cure),) = faults(tmp_path, text)
    assert (place, code, words) == (where, Code.BAD_VALUE, message)
    assert cure.startswith(hint)


def test_two_pauses_after_one_wave_are_one(tmp_path: Path) -> None:
    pause = "{ after_wave = 2, minutes = 9 }"
    ((where, code, message, hint),) = faults(tmp_path, f"{HEAD}[day]\npauses = [{pause}, {pause}]\n{ROOM}{JUNIOR}")
    assert (where, code) == ("day.pauses[2].after_wave", Code.BAD_VALUE)
    assert (message, hint) == ("Two pauses come after wave 2.", "Make them one, with all the minutes.")


@pytest.mark.parametrize(
    ("old", "new", "where", "message", "hint"),
    [
        ("[[rooms]]", "nmae = 1\n[[rooms]]", "event.nmae", "[event] has no key nmae.", 'The nearest is "name".'),
        ("[[rooms]]", "day = {}\n[[rooms]]", "event.day", "[event] has no key day.",
         "Write day in a table of its own."),
        ("[event]", 'start = "8:00"\n[event]', "start", "start stands outside of its table.",
         "Write it under [event]."),
        ('"Barn"', '"Barn"\nsteps = 1', "rooms[1].steps", "steps of Barn is not a key.", 'The nearest is "step_free".'),
        ("[8, 10]", "[8, 10]\npoints = { lat = 1 }", "divisions[1].points.lat", "points.lat of Junior is not a key.",
         'The nearest is "late".'),
        ("[[divisions]]", "[[division]]\n[[divisions]]", "division", "division is not a key.",
         'The nearest is "divisions".'),
    ],
)  # fmt: skip
def test_unknown_keys_name_the_nearest(tmp_path: Path, old: str, new: str, where: str, message: str, hint: str) -> None:
    text = (HEAD + ROOM + JUNIOR).replace(old, new)
    assert faults(tmp_path, text) == [(where, Code.UNKNOWN_KEY, message, hint)]


@pytest.mark.parametrize(
    ("old", "new", "where", "message", "hint"),
    [
        ("date = 2027-04-17\n", "", "event.date", "date is missing.", "Add it: the day, year-month-day."),
        (ROOM, "", "rooms", "rooms is missing.", "Add it: the rooms."),
        ('name = "Barn"', "", "rooms[1].name", "name is missing.", "Add it: the room's name as on its door."),
        (ROOM, "[day]\npauses = [{ minutes = 9 }]\n" + ROOM, "day.pauses[1].after_wave",
         "after_wave of pause 1 is missing.", "Add it: the wave after which everybody pauses."),
    ],
)  # fmt: skip
def test_missing_keys_are_explained(tmp_path: Path, old: str, new: str, where: str, message: str, hint: str) -> None:
    assert faults(tmp_path, (HEAD + ROOM + JUNIOR).replace(old, new)) == [(where, Code.MISSING_KEY, message, hint)]


@pytest.mark.parametrize(
    ("text", "line", "shown"),
    [
        ("[event]\nname = Millrace\n", "line 2", "name = Millrace"),
        ('[event]\nname = "a"\nname = "b"\n', "line 3", 'name = "b"'),
        ('[event]\nname = "a\n', "line 2", 'name = "a'),
        ("[event]\nages = [8, 10\n", "line 2", "ages = [8, 10"),
    ],
)
def test_slips_of_the_pen_name_their_line(tmp_path: Path, text: str, line: str, shown: str) -> None:
    ((where, code, message, _),) = faults(tmp_path, text)
    assert (where, code, message) == (line, Code.NOT_TOML, f"This line can't be understood: {shown}")


def test_letters_of_another_code_name_their_line(tmp_path: Path) -> None:
    said = faults(tmp_path, '[event]\nname = "Zoë"\n'.encode("latin-1"))
    assert said == [("line 2", Code.NOT_TOML, "A letter here is not UTF-8.", "Save the file as UTF-8.")]


def test_all_wrong_keys_are_said_at_once(tmp_path: Path) -> None:
    text = HEAD.replace("2027-04-17", '"soon"') + "[[rooms]]\nline_limit = 0\n" + JUNIOR + "calls = 0\nfoo = 1\n"
    assert {where for where, *_ in faults(tmp_path, text)} == {
        "event.date", "rooms[1].name", "rooms[1].line_limit", "divisions[1].calls", "divisions[1].foo",
    }  # fmt: skip


def test_the_sketch_keeps_what_is_right(tmp_path: Path) -> None:
    settings, _ = read(
        tmp_path, HEAD + ROOM + JUNIOR + "calls = 0\nfoo = 1\ntie_breaks = ['lot', 'x', 'y', 'points']\n"
    )
    assert settings.event is None and settings.sketch is not None
    assert settings.sketch.divisions[0].tie_breaks == ("lot", "points")
    assert settings.sketch.divisions[0].calls == 16


def test_a_row_without_a_needed_key_hides_nothing_else(tmp_path: Path) -> None:
    pauses = "[day]\npauses = [" + ", ".join(f"{{ after_wave = {n} }}" for n in range(1, 12)) + "]\n"
    room = '[[rooms]]\nname = "Loft"\nline_limit = "ten"\n[[rooms]]\nline_limit = 9\n'
    settings, findings = read(tmp_path, HEAD + pauses + room + JUNIOR)
    assert settings.event is None and settings.sketch is not None
    assert settings.sketch.day.pauses == () and [one.name for one in settings.sketch.rooms] == ["Loft"]
    assert "minutes of pause 11 is missing." in [fault.message for fault in findings.faults]


def test_nothing_is_compared_with_a_division_that_can_not_be_told(tmp_path: Path) -> None:
    settings, _ = read(tmp_path, HEAD + ROOM + JUNIOR.replace("[8, 10]", "[8]"))
    assert (settings.event, settings.sketch) == (None, None)


def test_finals_must_fit_a_room(tmp_path: Path) -> None:
    ((where, code, message, hint),) = faults(tmp_path, HEAD + ROOM + JUNIOR + "advance = 4\n")
    assert (where, code) == ("divisions[1].advance", Code.LINE_TOO_LONG)
    assert message == "Junior: 4 teams of 4 are 16 in the finals line, and no room has a line of more than 12."
    assert hint == "Set advance to 3, or choose other finals."


def test_grades_and_ages_do_not_overlap_each_other(tmp_path: Path) -> None:
    grades = '[[divisions]]\nname = "Lower"\ngrades = [3, 9]\n'
    assert faults(tmp_path, HEAD + ROOM + JUNIOR + grades) == []


def test_divisions_of_one_age_may_part_by_grade(tmp_path: Path) -> None:
    one, two = (
        f'[[divisions]]\nname = "{name}"\nages = [8, 10]\ngrades = {span}\n'
        for name, span in (("A", [2, 3]), ("B", [4, 5]))
    )
    assert faults(tmp_path, HEAD + ROOM + one + two) == []


@given(st.text(alphabet='[]{}=",.\n ab8\\#-:', max_size=60))
def test_no_text_breaks_it(tmp_path_factory: pytest.TempPathFactory, text: str) -> None:
    settings, findings = read(tmp_path_factory.mktemp("toml"), text)
    assert settings.event is None and findings.faults


def test_cues_are_three_texts(tmp_path: Path) -> None:
    settings, _ = read(tmp_path, HEAD + '[day]\ncues = ["Up", "Still", "Now, find it"]\n' + ROOM + JUNIOR)
    assert settings.event is not None and settings.event.day.cues == ("Up", "Still", "Now, find it")


@pytest.mark.parametrize(
    ("cues", "where", "message"),
    [
        ('["Up", "Now"]', "day.cues", "there are 3 cues, and 2 stand here"),
        ('["Up", "", "Now"]', "day.cues[2]", "cues is empty."),
        ('"Now"', "day.cues", 'cues is "Now".'),
    ],
)
def test_cues_that_do_not_fit(tmp_path: Path, cues: str, where: str, message: str) -> None:
    ((place, code, words, _),) = faults(tmp_path, f"{HEAD}[day]\ncues = {cues}\n{ROOM}{JUNIOR}")
    assert (place, code) == (where, Code.BAD_VALUE) and message in words


@pytest.mark.parametrize(
    ("zones", "judges", "message", "hint"),
    [
        ("[[1, 6], [8, 12]]", 2, "line 7 is in no zone.", "Let the zone 8-12 begin at 7."),
        ("[[1, 6], [6, 12]]", 2, "the zone 6-12 begins before the one in front of it ends, at line 6.",
         "Write one zone after the other, such as 1-6, 7-12."),
        ("[[1, 6], [7, 9]]", 2, "lines 10 to 12 are in no zone, and a room has a line of 12.",
         "Let the last zone end at 12."),
        ("[[6, 1], [7, 12]]", 2, "the zone 6-1 runs backwards.", "Write the lower number first."),
        ("[[1, 6], [7, 12]]", 3, "3 judges can't share 2 zones equally.",
         "Set judges to 4, or write as many zones as fit."),
        ("[]", 2, "there is no zone in the list.", "Write one zone after the other, such as 1-6, 7-12. "
         "Leave zones out where every judge watches the whole line."),
    ],
)  # fmt: skip
def test_zones_cover_the_line_once_and_share_the_judges(
    tmp_path: Path, zones: str, judges: int, message: str, hint: str
) -> None:
    found = faults(tmp_path, HEAD + ROOM + JUNIOR + f"judges = {judges}\nzones = {zones}\n")
    assert found == [("divisions[1].zones", Code.BAD_VALUE, f"Junior: {message}", hint)]


@pytest.mark.parametrize(("zones", "judges"), [("[[1, 6], [7, 12]]", 4), ("[[1, 4], [5, 8], [9, 15]]", 3)])
def test_zones_that_fit(tmp_path: Path, zones: str, judges: int) -> None:
    settings, findings = read(tmp_path, HEAD + ROOM + JUNIOR + f"judges = {judges}\nzones = {zones}\n")
    assert settings.event is not None and not findings.faults
    watched = [[seat for seat in range(1, judges + 1) if settings.event.divisions[0].watches(seat, n)] for n in (1, 12)]
    assert watched == ([[1, 3], [2, 4]] if judges == 4 else [[1], [3]])
