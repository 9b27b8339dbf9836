"""The phones of the model: their states, score outputs, positions in a word, and Kaldi transition ids.

A *base phone* is silence, noise, or one of the 39 phones of the CMU dictionary. A *state* is a pair of the phone to the
left inside the same word and the base phone (a left biphone); the first phone of a word, silence and noise have no left
phone. Each state has two outputs ("pdfs"): one for its first frame, one for the frames it stays. That is the "chain"
topology of Povey et al., "Purely sequence-trained neural networks for ASR based on lattice-free MMI", Interspeech 2016.

For word times the engine wants phones marked with their place in a word (begin, end, inside, single): these are the
*engine phones*, numbered from 1.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

ARPABET: tuple[str, ...] = (
    "AA",
    "AE",
    "AH",
    "AO",
    "AW",
    "AY",
    "B",
    "CH",
    "D",
    "DH",
    "EH",
    "ER",
    "EY",
    "F",
    "G",
    "HH",
    "IH",
    "IY",
    "JH",
    "K",
    "L",
    "M",
    "N",
    "NG",
    "OW",
    "OY",
    "P",
    "R",
    "S",
    "SH",
    "T",
    "TH",
    "UH",
    "UW",
    "V",
    "W",
    "Y",
    "Z",
    "ZH",
)
SILENCE, NOISE = "SIL", "NSN"
BASE: tuple[str, ...] = (SILENCE, NOISE, *ARPABET)
BASE_INDEX: dict[str, int] = {name: index for index, name in enumerate(BASE)}
WORD_START = 0
"""Stands for "no left phone"."""
FIRST_SPOKEN = 2
"""Index in BASE of the first phone that is neither silence nor noise."""

STATES: tuple[tuple[int, int], ...] = tuple(
    [(WORD_START, phone) for phone in range(len(BASE))]
    + [(left, phone) for left in range(FIRST_SPOKEN, len(BASE)) for phone in range(FIRST_SPOKEN, len(BASE))]
)
"""(left phone, phone) of each state."""
STATE_INDEX: dict[tuple[int, int], int] = {state: index for index, state in enumerate(STATES)}
LEFT_OF_STATE = np.array([left for left, _ in STATES])
PHONE_OF_STATE = np.array([phone for _, phone in STATES])
SILENCE_STATE, NOISE_STATE = STATE_INDEX[WORD_START, 0], STATE_INDEX[WORD_START, 1]

POSITIONS = {"B": "begin", "E": "end", "I": "internal", "S": "singleton"}
ENGINE_PHONES: tuple[tuple[str, str, str], ...] = (
    (SILENCE, SILENCE, "nonword"),
    (NOISE, NOISE, "nonword"),
    ("NSN_S", NOISE, "singleton"),
    *((f"{base}_{mark}", base, kind) for base in ARPABET for mark, kind in POSITIONS.items()),
)
"""(name, base phone, position) of each engine phone; phone number = index + 1."""
ENGINE_NUMBER: dict[str, int] = {name: number for number, (name, _, _) in enumerate(ENGINE_PHONES, 1)}


def word_states(pronunciation: Sequence[str]) -> list[int]:
    """Return the states of a word said as ``pronunciation`` (ARPAbet without stress)."""
    phones = [BASE_INDEX[name] for name in pronunciation]
    return [STATE_INDEX[pair] for pair in zip([WORD_START, *phones[:-1]], phones, strict=True)]


def engine_phones(pronunciation: Sequence[str]) -> list[str]:
    """Return the names of the engine phones of a word said as ``pronunciation``."""
    if len(pronunciation) == 1:
        return [f"{pronunciation[0]}_S"]
    inside = [f"{name}_I" for name in pronunciation[1:-1]]
    return [f"{pronunciation[0]}_B", *inside, f"{pronunciation[-1]}_E"]


def _transition_tuples() -> list[tuple[int, int]]:
    """List (engine phone number, state) of everything that has transitions, in the order that Kaldi requires."""
    tuples = []
    for number, (name, base, _) in enumerate(ENGINE_PHONES, 1):
        phone = BASE_INDEX[base]
        inside_word = name.endswith(("_I", "_E")) and base in ARPABET
        lefts = range(FIRST_SPOKEN, len(BASE)) if inside_word else (WORD_START,)
        tuples.extend((number, STATE_INDEX[left, phone]) for left in lefts)
    return tuples


TRANSITION_TUPLES: list[tuple[int, int]] = _transition_tuples()
_TUPLE_INDEX = {(number, int(LEFT_OF_STATE[state])): index for index, (number, state) in enumerate(TRANSITION_TUPLES)}
TRANSITION_IDS = 2 * len(TRANSITION_TUPLES)


def enter_id(engine_phone: str, left: int = WORD_START) -> int:
    """Return the transition id that scores the first frame of ``engine_phone`` after base phone ``left``."""
    return 2 * _TUPLE_INDEX[ENGINE_NUMBER[engine_phone], left] + 2


def stay_id(engine_phone: str, left: int = WORD_START) -> int:
    """Return the transition id that scores each further frame of ``engine_phone`` after base phone ``left``."""
    return 2 * _TUPLE_INDEX[ENGINE_NUMBER[engine_phone], left] + 1
