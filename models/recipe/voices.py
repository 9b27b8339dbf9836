"""The synthetic voices for training and for measuring, and how one is drawn.

Voices for training come from Kokoro (a neural net with 54 voices, which can be blended), hibari-tts (a small neural
voice), Pico (two statistical voices), flite and festival (diphones and recorded units) and espeak-ng (formants).
Kept out of training, for measuring alone, are two families: everything made from the recordings of CMU ARCTIC speaker
*slt* (flite's ``slt`` and festival's HTS voice) and the piper voice ``joe``.
"""

from __future__ import annotations

import functools
import random
from dataclasses import dataclass
from pathlib import Path

_ESPEAK_ACCENTS = ("gmw/en-US", "gmw/en-US", "gmw/en", "gmw/en-GB-x-rp", "gmw/en-GB-scotland", "gmw/en-GB-x-gbclan",
                   "gmw/en-029", "gmw/en-US-nyc")  # fmt: skip
_BRITISH = ("gmw/en", "gmw/en-GB-x-rp", "gmw/en-GB-x-gbclan")
"""Accents without R before consonants."""
KOKORO_DEV = ("af_sarah", "am_puck", "bf_lily", "bm_lewis")
"""Voices that training does not hear; settings are chosen on them."""


@functools.cache
def _names() -> dict[str, list[str]]:
    """Return the names of voices of each kind, from words/voices.txt."""
    lines = (Path(__file__).parent / "words/voices.txt").read_text("utf-8").splitlines()
    text = "\n".join(line for line in lines if not line.startswith("#")).replace("\n  ", " ")
    return {kind: names.split() for kind, _, names in (line.partition(":") for line in text.splitlines())}


@dataclass(frozen=True, slots=True)
class Voice:
    """One way to speak: synthesiser, its voice, and how far the talker is changed.

    ``pace`` stretches time (1.2 is faster); ``shift`` scales all frequencies, pitch and vocal tract alike (1.1 is a
    smaller talker); ``pitch`` is the synthesiser's own pitch control (0.7 to 1.4) where it has one.
    """

    family: str
    name: str
    accent: str = ""
    pace: float = 1.0
    shift: float = 1.0
    pitch: float = 1.0

    @property
    def speaker(self) -> str:
        """Return a name that stays the same for all settings of one voice."""
        return f"{self.family}-{self.name}"


def draw_voice(family: str, rng: random.Random) -> Voice:
    """Return a voice of ``family`` with pace, shift and pitch drawn by ``rng``."""
    pace, shift, pitch = rng.uniform(0.8, 1.25), rng.uniform(0.86, 1.16), rng.uniform(0.75, 1.35)
    if family == "espeak":
        accent = rng.choice(_ESPEAK_ACCENTS)
        name = f"{accent}+{rng.choice(_names()['espeak-variants'])}"
        return Voice(family, name, "gb" if accent in _BRITISH else "", pace, shift, pitch)
    if family == "flite":
        return Voice(family, rng.choice(("kal16", "awb", "rms", "rms", "awb")), "", pace, shift, pitch)
    if family == "hibari":
        return Voice(family, "heart", "", pace, rng.choice((rng.uniform(0.72, 0.9), rng.uniform(0.9, 1.15))))
    if family == "pico":
        accent = rng.choice(("en-US", "en-GB"))
        shift = rng.choice((rng.uniform(0.76, 0.9), rng.uniform(0.9, 1.15)))
        return Voice(family, accent, "gb" if accent == "en-GB" else "", pace, shift, pitch)
    if family == "festival":
        return Voice(family, "ked_diphone", "", pace, shift)
    if family == "kokoro":
        return _draw_kokoro(rng, pace, rng.uniform(0.9, 1.1))
    raise ValueError(f"No family of voices for training is called {family}.")


def _draw_kokoro(rng: random.Random, pace: float, shift: float) -> Voice:
    """Return a Kokoro voice: mostly one that was trained on English, some with another mother tongue, some blended."""
    kinds = _names()
    british_names, foreign = kinds["kokoro-british"], kinds["kokoro-foreign"]

    def one() -> str:
        return rng.choice([*british_names, *kinds["kokoro-american"]] if rng.random() < 0.75 else foreign)

    name = one()
    british = name in british_names or (name in foreign and rng.random() < 0.4)
    if rng.random() < 0.4:
        name = f"{name}+{one()}"
    return Voice("kokoro", name, "gb" if british else "", pace, shift)


HELD_OUT: tuple[Voice, ...] = (
    Voice("piper", "joe"),
    Voice("piper", "joe", pace=0.85),
    Voice("piper", "joe", pace=1.15),
    Voice("flite", "slt"),
    Voice("flite", "slt", pace=1.2),
    Voice("festival", "cmu_us_slt_arctic_hts"),
)
"""Voices that no training run may hear."""
