"""Inch threads and the grades of inch bolts, beside the metric ones of :mod:`assistant.fastening.classes`.

Sources: ASME B1.1 (series, stress areas, diameters of the numbers), SAE J429 (grades, as in Shigley and Mischke,
Mechanical Engineering Design, 5th edition, page 341), ASME B18.2.1, B18.6.3 and B18.2.8 (heads and holes); all from
memory, compared with printed tables in the tests.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from assistant.fastening.classes import PropertyClass, Thread, parse_thread, property_class
from assistant.faults import LONGEST, Fault, quoted

INCH = 25.4
"""Millimetres [mm] in one inch."""
_KSI = 6.894757
"""Megapascals [MPa] in a thousand pounds-force to the square inch."""
_SERIES: Mapping[str, tuple[int, ...]] = {
    "1/4": (20, 28, 32),
    "5/16": (18, 24, 32),
    "3/8": (16, 24, 32),
    "7/16": (14, 20, 28),
    "1/2": (13, 20, 28),
    "9/16": (12, 18, 24),
    "5/8": (11, 18, 24),
    "3/4": (10, 16, 20),
    "7/8": (9, 14, 20),
    "1": (8, 12, 14, 20),
    "#0": (80,),
    "#1": (64, 72),
    "#2": (56, 64),
    "#3": (48, 56),
    "#4": (40, 48),
    "#5": (40, 44),
    "#6": (32, 40),
    "#8": (32, 36),
    "#10": (24, 32),
    "#12": (24, 28, 32),
}
"""Threads to the inch by size [in, or its number]: coarse, fine, extra fine; number zero has a fine one only."""
_HEADS: Mapping[str, tuple[float, float]] = {
    "1/4": (0.4156, 0.2812),
    "5/16": (0.475, 0.3437),
    "3/8": (0.5344, 0.4062),
    "7/16": (0.5938, 0.4687),
    "1/2": (0.7125, 0.5625),
    "9/16": (0.7719, 0.625),
    "5/8": (0.8906, 0.6875),
    "3/4": (1.0688, 0.8125),
    "7/8": (1.2469, 0.9375),
    "1": (1.425, 1.0938),
    "#1": (0.1188, 0.089),
    "#2": (0.1188, 0.102),
    "#3": (0.1786, 0.116),
    "#4": (0.1786, 0.128),
    "#5": (0.1786, 0.156),
    "#6": (0.2375, 0.17),
    "#8": (0.2375, 0.196),
    "#10": (0.2964, 0.221),
    "#12": (0.2964, 0.25),
}
"""Bearing diameter of a hexagon head, 0.95 of its width, and normal clearance hole [in], by size [in, or its number].

Numbers have the regular head of a machine screw (ASME B18.6.3). B18.2.8 has no hole for number twelve, so it is ours.
"""
_TO_3_4, _TO_1, _TO_1_1_2 = Fraction(3, 4), Fraction(1), Fraction(3, 2)
_GRADES: Mapping[str, tuple[tuple[Fraction, float, float], ...]] = {
    "1": ((_TO_1_1_2, 36, 33),),
    "2": ((_TO_3_4, 57, 55), (_TO_1_1_2, 36, 33)),
    "4": ((_TO_1_1_2, 100, 65),),
    "5": ((_TO_1, 92, 85), (_TO_1_1_2, 81, 74)),
    "5.2": ((_TO_1, 92, 85),),
    "7": ((_TO_1_1_2, 115, 105),),
    "8": ((_TO_1_1_2, 130, 120),),
    "8.2": ((_TO_1, 130, 120),),
}
"""Yield and proof stress [ksi] up to a size [in]."""
_WRITTEN = re.compile(
    r"((?:#|no\.?|number)?\s?\d{1,2}|(?:\d-)?\d{1,2}/\d{1,2})\s?\"?\s?-\s?(\d{1,2})(?:\s?UN[A-Z]{0,2})?",
    re.ASCII | re.IGNORECASE,
)


@dataclass(frozen=True, slots=True)
class InchThread(Thread):
    """A unified thread: ``diameter`` [mm], ``pitch`` [mm], and its ``size`` in words: inches, or a number as in #10."""

    size: str = ""

    @property
    def stress_diameter(self) -> float:
        """Return d0 = d - 0.9743 P [mm] (ASME B1.1, from memory)."""
        return self.diameter - 0.9743 * self.pitch

    def __str__(self) -> str:
        return f"{self.size}-{INCH / self.pitch:.0f}"


def is_inch(text: str) -> bool:
    """Return whether ``text`` [thread] is written as an inch thread.

    Formula: a size, a hyphen, the threads to the inch.

    Source: ASME B1.1 (from memory).

    >>> is_inch("3/8-24 UNF"), is_inch("#10-32"), is_inch("No. 8-32 UNC"), is_inch("M10x1.25")
    (True, True, True, False)
    """
    return len(text) <= LONGEST and _WRITTEN.fullmatch(text.strip()) is not None


def size_inches(size: str) -> Fraction:
    """Return the nominal diameter [in] of a ``size`` [in, or a number such as #10] in words.

    Formula: 0.060 + 0.013 N for number N.

    Source: ASME B1.1 (from memory).

    >>> float(size_inches("#10")), float(size_inches("3/8"))
    (0.19, 0.375)
    """
    return Fraction(60 + 13 * int(size[1:]), 1000) if size.startswith("#") else Fraction(size)


def _size_of(written: str, threads: int) -> str:
    """Return the key of a size as it is written; one without a sign is a number where only that has such threads."""
    digits = re.sub(r"\D", "", written)
    if "/" in written:
        return written
    numbered = f"#{digits}"
    if written[0].isdigit() and digits in _SERIES and threads not in _SERIES.get(numbered, ()):
        return digits
    return numbered


def parse_any_thread(text: str) -> Thread | Fault:
    """Read ``text`` [thread], metric such as ``M10×1.25`` or in inches such as ``3/8-24``.

    Formula: d = 25.4 times the size, P = 25.4 / threads to the inch; sizes below a quarter of an inch have numbers,
    by :func:`size_inches`.

    Source: ASME B1.1 (from memory); metric ones by :func:`assistant.fastening.classes.parse_thread`.

    >>> str(parse_any_thread("3/8-24 UNF")), parse_any_thread("3/8-24").diameter
    ('3/8-24', 9.524999999999999)
    >>> [str(parse_any_thread(text)) for text in ("#10-32 UNF", "No. 8-32", "10-24", "1-8", "1-64")]
    ['#10-32', '#8-32', '#10-24', '1-8', '#1-64']
    >>> parse_any_thread("3/8-25").sentence
    '"3/8-25" is not a standard thread: 3/8 inch has 16, 24 or 32 threads to the inch'
    >>> parse_any_thread("#10-28").sentence
    '"#10-28" is not a standard thread: number 10 has 24 or 32 threads to the inch'
    """
    found = _WRITTEN.fullmatch(text.strip()) if len(text) <= LONGEST else None
    if found is None:
        return parse_thread(text)
    threads = int(found[2])
    size = _size_of(found[1], threads)
    if size not in _SERIES:
        return Fault(f"{quoted(text)} is not an inch size that is known here", f"the sizes are {', '.join(_SERIES)}")
    known = _SERIES[size]
    if threads not in known:
        several = " or ".join(filter(None, (", ".join(map(str, known[:-1])), str(known[-1]))))
        called = f"number {size[1:]}" if size.startswith("#") else f"{size} inch"
        return Fault(f"{quoted(text)} is not a standard thread", f"{called} has {several} threads to the inch")
    return _thread(size, threads)


def _thread(size: str, threads: int) -> InchThread:
    return InchThread(float(size_inches(size)) * INCH, INCH / threads, size)


def strength_of(thread: Thread, name: str) -> PropertyClass | Fault:
    """Return the class, or for an inch thread the grade, with the marking ``name`` [such as 8.8, or 5].

    ``thread`` [metric or inch size] tells which of both is meant.

    Formula: the row of the table for the size. The grades begin at a quarter of an inch; screws with a number that bear
    one are taken to be as strong as those (common practice, no source).

    Source: ISO 898-1:2013, table 3; SAE J429 as in Shigley and Mischke, 5th edition, page 341 (from memory).

    >>> round(strength_of(parse_any_thread("1/2-13"), "grade 5").proof)
    586
    """
    if not isinstance(thread, InchThread):
        return property_class(name, thread.diameter)
    grade = name.strip().lower().removeprefix("grade").strip()
    rows = _GRADES.get(grade)
    if rows is None:
        return Fault(f"{quoted(name)} is not a grade of an inch bolt", f"the grades are {', '.join(_GRADES)}")
    size = size_inches(thread.size)
    for most, strength, proof in rows:
        if size <= most:
            return PropertyClass(f"grade {grade}", strength * _KSI, proof * _KSI)
    return Fault(
        f"Grade {grade} is not made as {thread.size} inch", "check the size and the marking on the bolt's head"
    )


def head_of(thread: InchThread) -> tuple[float, float] | Fault:
    """Return bearing diameter and clearance hole [mm] of a hexagon head on ``thread`` [inch size].

    Formula: 0.95 of the width across flats; the normal hole.

    Source: ASME B18.2.1, for numbers B18.6.3, and B18.2.8 (from memory).

    >>> [round(size, 2) for size in head_of(parse_any_thread("1/2-13"))]
    [18.1, 14.29]
    >>> head_of(parse_any_thread("#0-80")).reason
    'No head size is known for #0-80'
    """
    head = _HEADS.get(thread.size)
    if head is None:
        return Fault(f"No head size is known for {thread}", f"sizes that can be judged are {', '.join(_HEADS)}")
    bearing, hole = head
    return bearing * INCH, hole * INCH


def coarse_inch_threads() -> tuple[InchThread, ...]:
    """Return the coarse thread of every size that has a head, in rising order.

    Formula: the first of each series.

    Source: ASME B1.1 (from memory).

    >>> [str(thread) for thread in coarse_inch_threads()][7:12]
    ['#10-24', '#12-24', '1/4-20', '5/16-18', '3/8-16']
    """
    return tuple(_thread(size, _SERIES[size][0]) for size in sorted(_HEADS, key=size_inches))


def thread_and_strength(size: str, name: str) -> tuple[Thread, PropertyClass] | Fault:
    """Read the thread and the class of a bolt.

    ``size`` [metric or inch thread], ``name`` [marking, such as 8.8, or a grade].

    Formula: none; :func:`parse_any_thread` and :func:`strength_of`, and the first fault of both.

    Source: those of both.

    >>> thread_and_strength("M10", "8.8")[1].proof
    580
    >>> thread_and_strength("M10", "7.7").reason
    '"7.7" is not a property class'
    """
    thread = parse_any_thread(size)
    if isinstance(thread, Fault):
        return thread
    strength = strength_of(thread, name)
    return strength if isinstance(strength, Fault) else (thread, strength)
