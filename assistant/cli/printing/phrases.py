"""Prints what can be said; the words of the language come with it, and no other list waits for them."""

from __future__ import annotations

from assistant.events import Slot, SlotKind
from assistant.idle.intents import OWN
from assistant.language.chosen import LANGUAGE
from assistant.session.intents import INTENTS
from assistant.terminal.exits import Exit
from assistant.terminal.tables import print_json, table


def print_phrases(*, as_json: bool = False) -> Exit:
    """Print every phrase and what it does."""
    if as_json:
        print_json(
            [
                {"say": list(LANGUAGE.phrases.phrases(intent.name)),
                 "number": intent.slot and intent.slot.value, "name": intent.name,
                 "weight": intent.weight.value, "means": LANGUAGE.phrases.meaning(intent.name)}
                for intent in (*INTENTS, *OWN)
            ]
        )  # fmt: skip
        return Exit.OK
    inside = {SlotKind.WHOLE: "<number>", SlotKind.DECIMAL: "<number with point>", SlotKind.NAME: "<name>"}
    rows = [
        (
            ", ".join(
                phrase if intent.slot is None else Slot.of(phrase, intent.slot).with_inside(inside[intent.slot])
                for phrase in LANGUAGE.phrases.phrases(intent.name)
            ),
            intent.weight.value,
            LANGUAGE.phrases.meaning(intent.name),
        )
        for intent in (*INTENTS, *OWN)
    ]
    print(table(("say", "weight", "what it does"), rows))
    return Exit.OK
