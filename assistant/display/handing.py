"""Handing a job over by touch: the buttons for what could be said of it just now, and of nothing else. Pure."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from assistant.language.chosen import LANGUAGE

MOST_NAMES = 8
"""So many names have a button; who stands further behind on the job card says or types it."""


_BUTTONS = {
    "may": (("hand_over", "Hand over"),),
    "sure": (("confirmed", "Confirmed"), ("cancel", "Cancel")),
}


@dataclass(frozen=True, slots=True)
class Hand:
    """A button: its ``name`` for the server, what stands on it, the phrase that it says, and ``at`` where it counts."""

    name: str
    text: str
    phrase: str
    at: str


def hands(view: Mapping[str, Any]) -> list[Hand]:
    """Return the buttons of a hand-over as a job stands; ``view["handing"]`` tells where in it that is."""
    at = view.get("handing", "")
    if at == "who":
        buttons = [*_takers(view["may_take_over"]), _said("cancel", "Cancel")]
    else:
        buttons = [_said(intent, text) for intent, text in _BUTTONS.get(at, ())]
    return [Hand(*button, at) for button in buttons]


def _takers(names: Sequence[str]) -> list[tuple[str, str, str]]:
    """Return a button for each of those who may take over, or one for whoever does."""
    if len(names) < 2:
        return [_said("take_over", f"{names[0]} takes over" if names else "Take over")]
    return [
        (f"operator_{number}", f"{name} takes over", operator_phrase(number))
        for number, name in enumerate(names[:MOST_NAMES], 1)
    ]


def _said(intent: str, text: str) -> tuple[str, str, str]:
    return intent, text, LANGUAGE.phrases.phrases(intent)[0]


def operator_phrase(number: int) -> str:
    """Return how somebody who may take over is called, as it is spoken; ``number`` counts from 1."""
    return f"{LANGUAGE.phrases.phrases('operator')[0]} {LANGUAGE.numbers.number_words(number)}"


def shown_hands(view: Mapping[str, Any]) -> dict[str, Any]:
    """Return what the page gets of it: JSON values."""
    return {
        "at": view.get("handing", ""),
        "buttons": [{"hand": one.name, "text": one.text} for one in hands(view)],
    }
