"""What somebody hung on a cell of a workbook in the old binary format, word for word.

A comment is spread over records ([MS-XLS] 2.4.179 Note, 2.4.181 Obj, 2.4.329 TxO, 2.4.58 Continue; section
numbers from memory): the cell with the number of a drawn object, the object with its number, and its text in
pieces of letters of one byte or two.
"""

import struct
from collections.abc import Mapping
from dataclasses import dataclass, field

from tourney.intake.grid import Place

NOTE, OBJECT, TEXT, MORE = 0x001C, 0x005D, 0x01B6, 0x003C
UNFOUND = "(Open the file to read it.)"
_WIDE = 1  # the first bit of a piece: two bytes a letter


@dataclass
class Comments:
    """The comments of one sheet, record by record."""

    _at: dict[Place, int] = field(default_factory=dict)
    _texts: dict[int, str] = field(default_factory=dict)
    _object: int = 0
    _letters: int = 0  # of the text that is being read and still to come

    def take(self, kind: int, body: bytes) -> None:
        """The next record of the sheet. struct.error when it is too short for what it should hold."""
        if kind == NOTE:
            row, column, _, number = struct.unpack_from("<4H", body)
            self._at[row, column] = number
        elif kind == OBJECT:
            (self._object,) = struct.unpack_from("<H", body, 6)  # after kind and length of its first part, and its type
        elif kind == TEXT:
            (self._letters,) = struct.unpack_from("<H", body, 10)
        elif kind == MORE and self._letters and body:
            piece = body[1:].decode("utf-16-le" if body[0] & _WIDE else "latin-1", "replace")[: self._letters]
            self._texts[self._object] = self._texts.get(self._object, "") + piece
            self._letters -= len(piece)

    def found(self) -> Mapping[Place, str]:
        """Cell -> what hangs on it; a sentence of ours where its text is not where it should be."""
        return {place: self._texts.get(number, "").strip() or UNFOUND for place, number in self._at.items()}
