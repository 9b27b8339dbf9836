"""What a text says of the machine: locks, turning, timing, fluids, and what is looked at in the end."""

from __future__ import annotations

import re
from collections.abc import Collection

# Locks; which tools are called so is common practice, no source

_ROTOR = (
    r"(?:engine|crank(?:shaft)?|cam(?:shaft)?|fly ?wheel|ring gear|hub|shaft|spindle|sprocket|pulley|rotor|gears?|"
    r"wheel|axle|drive|differential|carrier|drum)"
)
_LOCK = re.compile(
    r"\b(?:lock|locking|timing|holding|setting|alignment|rigging)[- ](?:pin|bar|rod|tool|wedge|fork|bolt|plate)s?\b"
    r"(?![- ](?:bolt|nut|screw|washer|thread)s?\b)"
    rf"|\b{_ROTOR}s?[- ](?:locks?|locking|lockers?|stops?|pins?)\b(?![- ](?:bolt|nut|plate|ring|washer)s?\b)"
    r"|\bcounter[- ]?hold(?:ers?|s|ing)?\b"
    r"|\bdead[- ]cent(?:re|er) (?:pin|rod|bolt|tool|stop)s?\b"
)
_GOES_IN = re.compile(
    r"\b(?:push|put|insert|lay|slide|fit|set|place|screw|hook|engage|drop|install|lock|tap|hang|press)\b"
)
_COMES_OUT = re.compile(r"\b(?:pull|take|lift|remove|draw|unscrew|withdraw|unhook|disengage|unlock|release)\b")
_TURNS = re.compile(
    rf"\b(?:turn|rotate|spin|roll|start|wind|(?:crank|bar|inch)(?= over| round| the| it))\b[^.;]*\b{_ROTOR}s?\b"
)


def is_lock(name: str) -> bool:
    return _LOCK.search(name.lower()) is not None


def lock_named(text: str, but: Collection[str]) -> str:
    found = _LOCK.finditer(text.lower())
    return next((one[0] for one in found if not any(one[0] in name.lower() for name in but)), "")


def comes_out(text: str) -> bool:
    return _COMES_OUT.search(text.lower()) is not None


def goes_in(text: str) -> bool:
    return _GOES_IN.search(text.lower()) is not None


def turns(text: str) -> bool:
    return _TURNS.search(text.lower()) is not None


# What is looked at in the end

_TIMING = re.compile(
    r"\btiming (?:marks?|belts?|chains?|gears?)|\bcamshafts?\b(?! sensor)|\bcrankshaft\b(?! (?:sensor|seal|pulley))"
)
_BY_HAND = re.compile(r"\bturn\b.*\bby hand\b|\bby hand\b.*\bturn\b")
_TWO_TURNS = re.compile(r"\btwo (?:full |complete |whole )*(?:turns|revolutions)\b|\btwice\b")
_WET = re.compile(
    r"\b(?:drain|fill|top up|bleed|let)\b.*\b(?:oil|coolant|fuel|fluid|water|refrigerant)s?\b"
    r"|\bhoses?\b|\bpipes?\b|\bdrain plug\b|\bsealant\b|\bdrain tap\b|\bcoolant tap\b"
)
_MOVED = re.compile(
    r"\b(?:drain|fill|refill|top up|bleed|let|open|pour)\b[^.]*?\b(engine oil|gear oil|oil|coolant|brake fluid|"
    r"hydraulic fluid|fluid)\b(?! (?:pan|drain|tap|hose|filter|pump|plug|pressure|sensor|passage|hole|seal))"
)
_LEVEL = re.compile(r"\b(?:levels?|dipstick|full|mark|marks)\b")
_TOOLS = re.compile(r"\b(?:tools?|equipment)\b")


def works_on_timing(text: str) -> bool:
    return _TIMING.search(text.lower()) is not None


def turns_over_by_hand(text: str) -> bool:
    return _BY_HAND.search(text.lower()) is not None and _TWO_TURNS.search(text.lower()) is not None


def asks_for_marks(text: str) -> bool:
    return re.search(r"\bmarks?\b", text.lower()) is not None


def opens_wet(text: str) -> bool:
    return _WET.search(text.lower()) is not None


def asks_for_leaks(text: str) -> bool:
    return re.search(r"\bleak|\bdry\b|\btight\b", text.lower()) is not None


def fluid_moved(text: str) -> str:
    found = _MOVED.search(text.lower())
    return found[1].split()[-1] if found else ""


def asks_for_level(fluid: str, text: str) -> bool:
    return fluid in text.lower() and _LEVEL.search(text.lower()) is not None


def asks_for_tools(text: str) -> bool:
    return _TOOLS.search(text.lower()) is not None
