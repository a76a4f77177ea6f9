"""What a database complains of, as a sentence for the person at the laptop."""

from sqlalchemy.exc import DBAPIError, OperationalError, SQLAlchemyError

from tourney.errors import FileTrouble

# By the names of SQLite's result codes (sqlite.org/rescode.html): the sentence, and what to do.
_SQLITE = {
    "SQLITE_BUSY": ("is in use by another program.", "Nothing was taken. Wait a moment and run this again."),
    "SQLITE_LOCKED": ("is in use by another program.", "Nothing was taken. Wait a moment and run this again."),
    "SQLITE_READONLY": ("can't be written.", "Copy the event folder to a place of your own and run this there."),
    "SQLITE_PERM": ("can't be opened.", "Copy the event folder to a place of your own and run this there."),
    "SQLITE_CANTOPEN": ("can't be opened.", "Check that the folder is there and may be written in."),
    "SQLITE_FULL": ("can't grow: the disk is full.", "Nothing was taken. Make room on the disk and run this again."),
    "SQLITE_IOERR": ("can't be written: the disk fails.", "Nothing was taken. Copy the event folder to another disk."),
    "SQLITE_CORRUPT": ("is damaged.", "Leave it as it is, and put the newest copy of it in its place."),
    "SQLITE_NOTADB": ("is not a record.", "Leave it as it is, and put the newest copy of the record in its place."),
}


def database_trouble(place: str, reason: SQLAlchemyError) -> FileTrouble:
    """The sentence for an error of the database at `place`."""
    original = reason.orig if isinstance(reason, DBAPIError) else None
    code = "_".join(str(getattr(original, "sqlite_errorname", "")).split("_")[:2])
    if code in _SQLITE:
        what, cure = _SQLITE[code]
        return FileTrouble(f"The record {place} {what}", cure)
    if isinstance(reason, OperationalError) and reason.connection_invalidated is False and reason.statement is None:
        return FileTrouble(
            f"The record {place} can't be reached.", "Check that the server runs and that its network is joined."
        )
    said = str(original or reason).strip().splitlines()
    return FileTrouble(f"The record {place} can't be used: {said[0] if said else 'no reason was given'}.")


def password_in_address() -> FileTrouble:
    """The sentence for an address with a password: plan.json and the results workbook repeat the settings."""
    return FileTrouble(
        "The database address in the settings holds a password, and others read the settings too.",
        "Take it out of record under [day], and put it into the password file of this computer (PostgreSQL: .pgpass).",
    )


def unusable_address(address: str) -> FileTrouble:
    """The sentence for a database address that is none, or whose driver is not installed."""
    kind = address.partition(":")[0]
    return FileTrouble(
        f"The record can't be kept at the database address in the settings, which begins with {kind}.",
        "Check record under [day]; leave it out to keep the record in a file of the event folder.",
    )
