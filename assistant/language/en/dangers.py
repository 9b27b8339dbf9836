"""What hazards speak of, and which usual dangers a step brings. The list of those is common practice, no source."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import NamedTuple

_PEOPLE = re.compile(
    r"\b(?:you|your|yours|yourself|hands|fingers?|eyes|skin|hair|lungs|people|persons?|somebody|someone|whoever|everyone|"
    r"anyone|injur\w*|kills?|killed|deadly|death|dies?|scalds?|blinds?|blinded|poison\w*|rash|dizzy|faints?|suffocates?|"
    r"crush\w*|deaf|hearing|electric shock)\b"
)
_FIRE = re.compile(r"\b(?:fire|flames?|explo\w+|burns?|burst\w*)\b")
_GRAVE = re.compile(
    r"\b(?:kills?|killed|deadly|death|dies?|crush\w*|blinds?|blinded|suffocates?|explo\w+|amputat\w*)\b"
)


def hurts_people(text: str) -> bool:
    return _PEOPLE.search(text.lower()) is not None


def burns(text: str) -> bool:
    return _FIRE.search(text.lower()) is not None


def kills(text: str) -> bool:
    return _GRAVE.search(text.lower()) is not None


class _Danger(NamedTuple):
    """A usual danger: what it is called, what in a step calls for it, and what in a hazard names it."""

    name: str
    calls: re.Pattern[str]
    named: re.Pattern[str]


def _danger(name: str, calls: str, named: str) -> _Danger:
    return _Danger(name, re.compile(rf"\b(?:{calls})\b"), re.compile(rf"\b(?:{named})"))


_DANGERS: Mapping[str, _Danger] = {
    "raised_vehicle": _danger(
        "a raised vehicle",
        r"jacks?|axle stands?|(?:raise|lift|jack)(?: up)? the (?:vehicle|car|van|truck|rig|axle|front|rear)|"
        r"(?:under|beneath) the (?:vehicle|car|van|truck|rig)|on (?:all of )?(?:the|its) stands",
        "jack|stand|fall|drop|crush",
    ),
    "fuel": _danger("fuel", "fuel|petrol|gasoline|diesel|injectors?", "fuel|petrol|gasoline|diesel|fire|flame"),
    "refrigerant": _danger("refrigerant", "refrigerant|air[- ]condition(?:er|ing)", "refrigerant|frost|freez|suffocat"),
    "airbag": _danger(
        "an airbag",
        r"air ?bags?|belt pretensioners?|(?:take|pull|lift|remove)[^.]* steering wheel|remove the steering wheel",
        "air ?bag|pretensioner",
    ),
    "hot_parts": _danger(
        "hot parts",
        r"exhaust(?! (?:cam|valve|side|rocker))|turbochargers?|catalytic|cool down|radiator cap|"
        r"(?:open|drain|let|loosen|undo|pull|take)[^.]* coolant",
        "hot|burn|scald|heat",
    ),
    "spring": _danger(
        "a spring under load",
        "tensioner|coil springs?|valve springs?|spring compressor|torsion bar|suspension strut",
        "spring|strike|under load|under tension|snap|fly",
    ),
    "battery": _danger(
        "the battery",
        r"(?:take|disconnect|remove|undo|loosen|pull)[^.]* battery|battery (?:cable|post|terminal)s? off",
        "short circuit|spark|battery",
    ),
    "cleaner": _danger("a cleaner that burns", "cleaner|solvent|thinner|degreaser", "burn|fire|flame|vapou?r|fume"),
    "compressed_air": _danger(
        "compressed air", "compressed air|air gun|blow(?! a fuse)", "eye|glasses|goggles|shoot|dirt"
    ),
    "running_engine": _danger(
        "a running engine",
        r"(?:start|crank)(?: up)? the engine|(?:let|with) the engine run(?:ning)?|idle speed",
        "fan|belt|move|moving|turns|rotat|sleeve|exhaust gas|carbon monoxide",
    ),
    "high_voltage": _danger(
        "high voltage", "high[- ]voltage|traction battery|orange cables?", "voltage|electric|shock"
    ),
    "hanging_load": _danger(
        "a load that hangs",
        r"hoist|crane|support beam|engine beam|lift (?:out |off )?the (?:engine|gearbox|transmission|cylinder head)",
        "drop|fall|crush|heavy|weight",
    ),
}


def brought(text: str) -> tuple[str, ...]:
    return tuple(code for code, danger in _DANGERS.items() if danger.calls.search(text.lower()))


def named(text: str) -> tuple[str, ...]:
    return tuple(code for code, danger in _DANGERS.items() if danger.named.search(text.lower()))


def danger(code: str) -> str:
    return _DANGERS[code].name
