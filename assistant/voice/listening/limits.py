"""How surely a phrase must be heard: the limits of a model, in a file beside its net.

``python -m models.recipe limits`` writes it; what is chosen from recordings holds for the net that heard them, so the
file names that net by its hash.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from pathlib import Path

from assistant.events import PhraseLimits, Thresholds
from assistant.files import FileFault, read_file
from assistant.voice.ports import VoiceFault

LIMITS_FILE = "conf/limits.json"
"""A model may say its own limits: ``{"harmless": 0.6, "moving": 0.75, "critical": 0.9}``, and more."""
NET = "am/final.mdl"
USUAL_LIMITS = Thresholds(harmless=0.6, moving=0.75, critical=0.9, asked=0.45, likelier=2.0)
"""For a model that says none: chosen on the own model's held-out voices (the curve is in ``models/README.md``)."""
_KINDS = ("harmless", "moving", "critical")
_MORE = ("reading", "asked")
_ORDER = ("asked", "expected", "believed")
_LIKELIEST = 1000.0
_MOST_BYTES = 1_000_000


def read_limits(folder: Path) -> Thresholds:
    """Return the limits of confidence of the model in ``folder``: its own, or the usual ones where it has none.

    Raises:
        VoiceFault: it has limits, but they make no sense, or were chosen for another net.
    """
    path = folder / LIMITS_FILE
    if not path.is_file():
        return USUAL_LIMITS
    data = read_file(path, _MOST_BYTES, "a model directory that is whole")
    if isinstance(data, FileFault):
        raise VoiceFault(f"{data.sentence}.")
    try:
        told = json.loads(data)
        net = told.get("net")
        limits = _limits(told)
    except (ValueError, KeyError, TypeError, AttributeError, OverflowError, RecursionError) as error:
        raise VoiceFault(_bad(path)) from error
    if net is not None and net != hash_of_net(folder):
        raise VoiceFault(
            f"{path} was chosen for another net than the one beside it: copy the speech model again, or choose anew "
            "with python -m models.recipe limits."
        )
    return limits


def _limits(told: Mapping[str, object]) -> Thresholds:
    """Return the limits in a file.

    Raises:
        ValueError, KeyError, TypeError: they make no sense.
    """
    harmless, moving, critical = (_number(told[name]) for name in _KINDS)
    more = {name: _number(told[name]) for name in _MORE if name in told}
    if "likelier" in told:
        more["likelier"] = _times(told["likelier"])
    own = told.get("phrases", {})
    if not harmless <= moving <= critical or not isinstance(own, Mapping):
        raise ValueError
    phrases = {}
    for phrase, one in own.items():
        low, expected, believed = (_number(one[name]) for name in _ORDER)
        if low > expected:
            raise ValueError
        phrases[str(phrase)] = PhraseLimits(believed, expected, low, _times(one.get("likelier", 1.0)))
    return Thresholds(harmless, moving, critical, phrases=phrases, **more)


def _number(value: object) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float) or not 0.0 < value < 1.0:
        raise ValueError
    return float(value)


def _times(value: object) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float) or not 1.0 <= value <= _LIKELIEST:
        raise ValueError
    return float(value)


def hash_of_net(folder: Path) -> str:
    """Return the hash by which limits name the net of the model in ``folder``."""
    with (folder / NET).open("rb") as opened:
        return hashlib.file_digest(opened, "sha256").hexdigest()


def limits_text(limits: Thresholds, net: str, **more: object) -> str:
    """Return the text of the file for ``limits``; ``more`` is for whoever reads it."""
    phrases = {
        phrase: {name: getattr(one, name) for name in (*_ORDER, "likelier")}
        for phrase, one in sorted(limits.phrases.items())
    }
    kinds = {name: getattr(limits, name) for name in (*_KINDS, *_MORE, "likelier")}
    return json.dumps({"net": net, **kinds, "phrases": phrases, **more}, indent=1) + "\n"


def _bad(path: Path) -> str:
    return (
        f"{path} must give harmless, moving and critical as rising numbers between 0 and 1, and asked, expected and "
        "believed for each of its phrases, asked not above expected: mend it or remove it."
    )
