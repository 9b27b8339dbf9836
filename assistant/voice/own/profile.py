"""The file of one voice: whose it is, for which net and microphone it was made, what it brought, and the change.

It is personal: it lies in a folder for its owner alone, under a name that tells nobody's, and ``assistant forget``
takes it away. Whatever else stands in such a file, it is looked at as something that anybody may have written.
"""

from __future__ import annotations

import hashlib
import json
import math
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np

from assistant.files import FileFault, private_folder, read_file, replace_private
from assistant.voice.own.learning import VoiceChange

PROFILE_VERSION = 1
VOICES = "voices"
"""The folder of all voices, in the data folder."""
_MOST_BYTES = 200_000
_MOST_WIDTH = 2000
_MOST_FACTOR, _MOST_OFFSET = (0.2, 5.0), 20.0
"""What no change that was learnt comes near to: factors from one fifth to five, offsets to twenty."""
_MOST_LETTERS = 200


@dataclass(frozen=True, slots=True)
class HeardCount:
    """Of ``of`` recordings that nothing was learnt from: how many were heard ``right``, and ``wrong`` for another."""

    right: int
    wrong: int
    of: int

    def __add__(self, other: HeardCount) -> HeardCount:
        """Return both together."""
        return HeardCount(self.right + other.right, self.wrong + other.wrong, self.of + other.of)


@dataclass(frozen=True, slots=True)
class Profile:
    """A voice: ``net`` is the SHA-256 of the net that it was learnt for, ``made_on`` a day (2026-11-27)."""

    name: str
    net: str
    microphone: str
    made_on: str
    without: HeardCount
    with_it: HeardCount
    change: VoiceChange


class ProfileFault(Exception):
    """A profile cannot be used; ``sentence`` says why, and what to do."""

    def __init__(self, sentence: str) -> None:
        super().__init__(sentence)
        self.sentence = sentence


def person_key(name: str) -> str:
    """Return under what ``name`` is kept: the same for any capitals and spaces, and no name."""
    return hashlib.sha256(" ".join(name.casefold().split()).encode()).hexdigest()[:20]


def profile_path(folder: Path, name: str) -> Path:
    """Return where the profile of ``name`` lies in the ``folder`` of all voices, whether there is one or not."""
    return folder / f"{person_key(name)}.json"


def write_profile(folder: Path, profile: Profile) -> Path:
    """Write ``profile`` into the ``folder`` of all voices, in place of an older one of the same name; return where.

    Raises:
        OSError: it cannot be written; an older one stays.
    """
    told = {
        "version": PROFILE_VERSION,
        "name": profile.name,
        "net": profile.net,
        "microphone": profile.microphone,
        "made_on": profile.made_on,
        "without": [profile.without.right, profile.without.wrong, profile.without.of],
        "with": [profile.with_it.right, profile.with_it.wrong, profile.with_it.of],
        "factor": [round(float(one), 5) for one in profile.change.factor],
        "offset": [round(float(one), 5) for one in profile.change.offset],
    }
    private_folder(folder, ours=True)
    path = profile_path(folder, profile.name)
    replace_private(path, json.dumps(told).encode())
    return path


def read_profile(path: Path) -> Profile | None:
    """Return the profile at ``path``; None where there is none.

    Raises:
        ProfileFault: there is a file, and it is no profile that can be used.
    """
    data = read_file(path, _MOST_BYTES, "the profile of a voice", no_link=True)
    if isinstance(data, FileFault):
        if data.missing:
            return None
        raise ProfileFault(f"The voice profile {data.sentence}.")
    try:
        told = json.loads(data.decode("utf-8"))
        if not isinstance(told, dict) or told.get("version") != PROFILE_VERSION:
            raise ProfileFault(
                f"The voice profile {path} is of another version of the program: make it anew with assistant voice."
            )
        return _profile(told)
    except (ValueError, KeyError, TypeError, OverflowError, RecursionError) as fault:
        raise ProfileFault(
            f"The voice profile {path} is damaged, and is not used: make it anew with assistant voice."
        ) from fault


def _profile(told: dict[str, Any]) -> Profile:
    factor, offset = (_numbers(told[name]) for name in ("factor", "offset"))
    if factor.shape != offset.shape or not np.all((factor >= _MOST_FACTOR[0]) & (factor <= _MOST_FACTOR[1])):
        raise ValueError
    if not np.all(np.abs(offset) <= _MOST_OFFSET):
        raise ValueError
    name, net, microphone, made_on = texts = [told[key] for key in ("name", "net", "microphone", "made_on")]
    if not all(isinstance(text, str) and len(text) <= _MOST_LETTERS and text.isprintable() for text in texts):
        raise ValueError
    counted = _counted(told["without"]), _counted(told["with"])
    return Profile(name, net, microphone, made_on, *counted, VoiceChange(factor, offset))


def _numbers(listed: Any) -> np.ndarray:
    if not isinstance(listed, list) or not 0 < len(listed) <= _MOST_WIDTH:
        raise ValueError
    if not all(type(one) in (int, float) and math.isfinite(one) for one in listed):
        raise ValueError
    return np.array(listed, np.float64)


def _counted(told: Any) -> HeardCount:
    right, wrong, of = told
    if not all(type(one) is int for one in told) or not 0 <= right <= of or not 0 <= wrong <= of < 10_000:
        raise ValueError
    return HeardCount(right, wrong, of)
