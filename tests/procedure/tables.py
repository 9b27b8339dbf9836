"""What the three practice tables of ``tests/procedure/good`` (table-*.yaml) say, written down apart from their files.

Invented values; the shape is common practice, no source. Each row is one pass as it is done, read off the table with a
pencil: place in the table as it is printed, what is done, and the bolts in their order. A change of a file that is not
made here as well is found by every test that compares with them.
"""

from __future__ import annotations

from typing import NamedTuple


class Row(NamedTuple):
    """One pass as it is done: the words of its place, ``way`` and value by the bolts that get it, in their order.

    ``spoken`` begins what is said when it comes.
    """

    place: str
    way: str
    runs: tuple[tuple[str, tuple[int, ...]], ...]
    spoken: str
    together: bool = False


RING, EDGE = (1, 4, 6, 2, 5, 7, 3), (9, 11, 8, 10)
BACK = EDGE[::-1]
HOPPER = (
    Row("1", "torque", (("14 N·m", RING), ("5 N·m", EDGE)), "Stage one of five."),
    Row("2, pass 1 of 2", "torque", (("29 N·m", RING),), "Stage two, pass one of two."),
    Row("2, pass 2 of 2", "torque", (("8 N·m", BACK),), "Stage two, pass two of two."),
    Row("3, pass 1 of 3, 1st of 3", "angle", (("35°", RING),), "Stage three, pass one of three. First of three."),
    Row("3, pass 1 of 3, 2nd of 3", "angle", (("35°", RING),), "Second of three."),
    Row("3, pass 1 of 3, 3rd of 3", "angle", (("35°", RING),), "Third of three."),
    Row("3, pass 2 of 3", "torque", (("11 N·m", EDGE),), "Stage three, pass two of three."),
    Row("3, pass 3 of 3", "angle", (("20°", (4,)),), "Stage three, pass three of three."),
    Row("4, pass 1 of 3", "loosen", (("0.25 turn", BACK),), "Stage four, pass one of three."),
    Row("4, pass 2 of 3", "torque", (("12 N·m", EDGE),), "Stage four, pass two of three."),
    Row("4, pass 3 of 3", "angle", (("15°", EDGE),), "Stage four, pass three of three."),
    Row("5, pass 1 of 2", "check", (("29 N·m", RING),), "Stage five, pass one of two."),
    Row("5, pass 2 of 2", "check", (("12 N·m", EDGE),), "Stage five, pass two of two."),
)

RIM = (2, 5, 1, 4, 3, 6)
FOUR = (2, 5, 1, 4)
COUNTED = ("First", "Second", "Third", "Fourth", "Fifth")
NTH = ("1st", "2nd", "3rd", "4th", "5th")
PAIRS = (("25°", (3, 6)), ("25°", (7, 9)))


def _third(again: str = "", said: str = "") -> tuple[Row, ...]:
    """The third stage of the drum, which is done twice."""
    fifty = (("50°", FOUR),)
    of = [f"3, pass 2 of 4, {nth} of 5{again}" for nth in NTH]
    return (
        Row(f"3, pass 1 of 4{again}", "torque", (("36 N·m", RIM),), f"Stage three, pass one of four{said}."),
        Row(of[0], "angle", fifty, f"Stage three, pass two of four{said}. First of five."),
        *(Row(of[at], "angle", fifty, f"{COUNTED[at]} of five. A further fifty degrees.") for at in range(1, 5)),
        Row(f"3, pass 3 of 4{again}", "angle", PAIRS, f"Stage three, pass three of four{said}.", together=True),
        Row(f"3, pass 4 of 4{again}", "angle", (("40°", (8,)),), f"Stage three, pass four of four{said}."),
    )


SECOND = (("33 N·m", RIM), ("13 N·m", (8, 7, 9)))
DRUM = (
    Row("1", "torque", (("17 N·m", RIM), ("6 N·m", (7, 8, 9))), "Stage one of five."),
    Row("2", "torque", SECOND, "Stage two."),
    *_third(),
    Row("4", "loosen", (("0.5 turn", RIM[::-1]), ("0.5 turn", (7, 8, 9))), "Stage four."),
    Row("2, once more", "torque", SECOND, "Stage two, once more."),
    *_third(", once more", ", once more"),
    Row("5, pass 1 of 2", "check", (("36 N·m", RIM),), "Stage five, pass one of two."),
    Row("5, pass 2 of 2", "check", (("13 N·m", (7, 8, 9)),), "Stage five, pass two of two."),
)

SETTLING, FINAL = "2b (Settling)", "3 (Final turn)"
SETTLED, TURNED = "Settling, pass", "Final turn, pass"
YOKE, CAP = (3, 1, 5, 2, 4), (7, 6, 8)
PRESS = (
    Row("1", "torque", (("45 N·m", YOKE), ("9 N·m", (6, 7, 8))), "Stage one."),
    Row("2a, pass 1 of 2", "torque", (("70 N·m", YOKE),), "Stage two a, pass one of two."),
    Row("2a, pass 2 of 2", "torque", (("16 N·m", CAP),), "Stage two a, pass two of two."),
    Row(f"{SETTLING}, pass 1 of 3", "loosen", (("0.25 turn", (6, 7, 8)),), f"{SETTLED} one of three."),
    Row(f"{SETTLING}, pass 2 of 3, 1st of 2", "torque", (("21 N·m", CAP),), f"{SETTLED} two of three. First of two."),
    Row(f"{SETTLING}, pass 2 of 3, 2nd of 2", "torque", (("21 N·m", CAP),), "Second of two."),
    Row(f"{SETTLING}, pass 3 of 3", "torque", (("110 N·m", YOKE),), f"{SETTLED} three of three."),
    Row(f"{FINAL}, pass 1 of 3", "angle", (("45°", (3, 1)), ("45°", (5, 2))), f"{TURNED} one of three.", together=True),
    Row(f"{FINAL}, pass 2 of 3", "angle", (("45°", (4,)),), f"{TURNED} two of three."),
    Row(f"{FINAL}, pass 3 of 3, 1st of 3", "angle", (("30°", CAP),), f"{TURNED} three of three. First of three."),
    Row(f"{FINAL}, pass 3 of 3, 2nd of 3", "angle", (("30°", CAP),), "Second of three. A further thirty degrees"),
    Row(f"{FINAL}, pass 3 of 3, 3rd of 3", "angle", (("30°", CAP),), "Third of three. A further thirty degrees"),
    Row("4, pass 1 of 2", "check", (("21 N·m", (6, 8)),), "Stage four, pass one of two."),
    Row("4, pass 2 of 2", "check", (("21 N·m", (7,)),), "Stage four, pass two of two."),
)  # fmt: skip

TABLES = {"table-hopper-lid": HOPPER, "table-drum-carrier": DRUM, "table-press-yoke": PRESS}
"""By the name of the file."""


def actions(rows: tuple[Row, ...]) -> list[tuple[str, str, str, int]]:
    """Return every single action: place, way, value and bolt."""
    return [(row.place, row.way, value, bolt) for row in rows for value, bolts in row.runs for bolt in bolts]
