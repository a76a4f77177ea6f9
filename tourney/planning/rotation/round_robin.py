"""Everyone meets everyone, in pairs, such that no team is more than twice in one room.

A balanced tournament design: 2n teams, n rooms, 2n-1 rounds. There is one for every n but 2 (Schellenberg, van Rees &
Vanstone 1977).
"""

from tourney.planning.rotation.patterns import Pattern, circle

# n -> for rounds 1 to n-1 which pair of the circle method stands in each room, a letter a room: pair b is r-1 against
# r+1, pair a the seat that stays. Round -r has its pairs in the rooms of round r. Found by our own search (annealing
# over swaps of two rooms); tests count the visits.
ROOMS = {
    5: ("cdaeb decab bdeca cabed "),
    8: ("fcegbdah bhdcfega fbahcedg faedchgb hdbeafcg bgcafdhe dcgfbaeh "),
    11: (
        "keifghbdajc gfchebjaidk fkaechgibjd dejkicabfhg khedifbgcaj fakgebdhjci jdieakgbfhc bhcjfgdeika "
        "ghbedakjcfi hbiakcdegjf "
    ),
    14: (
        "diejlcmhfakgnb hamkeicndgjlbf cijegkhdabmlnf nieklmfgjhdacb dnekihcamgbfjl jfklhaednigmbc nbaeldmcihkfjg "
        "mfgkidnhebalcj gdijblkfhmecan lkfgmnbdicehja dghjacnmfbikle bcjlhdaemfknig dkgahnbleimjfc "
    ),
    17: (
        "ljgbfoqhmapcikedn ohikpldbmcgnajfqe nqehgjmpfbdlkaoic daqfghjcbplnmeiko icakqjdfblohpnemg "
        "nqefhloijbdagkmpc nlhmkadcogeqifbjp dkjfphemiconglqab fendqbkcagloiphmj pcoqfgmbjhienlakd "
        "hfianblmgdkjopecq dmjehkfioblnqgcpa lgfebokihpancdjmq ndgmifalehcbkjopq hmjfapgbodklenqic "
        "opbcqjkafimnldegh "
    ),
    20: (
        "ioljrksntqmeacdbfhpg dftpbercmqkihgosnjla qtjrgchbkidoslpeamfn gkltmsbnfdqrecpjoiah rjelfdqahpbnsgcimokt "
        "flctonhjagrikbpdqsem nbcmatjksrlqdfgoheip gtnobsiqdfjakphmecrl gcljtfrhpimksaobeqnd cjsoeltbngfqhkaidmrp "
        "ebiaqlnfkdgjohstmprc srcpneabigdmojkqhlft fnkrltoijagbcehmpsqd lgihbkdemrastjocfpnq tgaocmkqpnriefhjdbsl "
        "maqlehcrnopbjktgisdf bngplcodfktmqhjaiers idrtqaolncfjbemhpskg drglcjnhepkqmifosabt "
    ),
}


def round_robin(seats: int) -> Pattern:
    """All pairs once, in n-1 rounds (n with byes when odd); the place of a heat in its round is its room.

    Pair k of the circle method brings each seat twice into room k, all but the seat that stays, which would be always
    in room 0. That one changes places with pair 2j in rounds j and -j: then all are even, unless three divides the
    number of rounds (Haselgrove & Leech 1977). For those cases rooms are stored, up to 40 seats; with more, and with
    four, for which there is no such table, somebody is in one room more often.
    """
    rounds = circle(seats)
    if seats % 2:
        return rounds  # nobody stays: the first heat of each round is a bye
    half, turns = seats // 2, seats - 1
    stored = [[ord(letter) - ord("a") for letter in word] for word in ROOMS.get(half, "").split()]
    for turn in range(1, half):
        order = stored[turn - 1] if stored else _changed(half, min(2 * turn, turns - 2 * turn))
        for number in (turn, turns - turn):
            rounds[number] = [rounds[number][pair] for pair in order]
    return rounds


def _changed(rooms: int, room: int) -> list[int]:
    """Rooms 0 and `room` with each other's pair."""
    order = list(range(rooms))
    order[0], order[room] = room, 0
    return order
