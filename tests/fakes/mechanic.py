"""A fake: a careful mechanic who always does what the procedure asks, and says the word that leads on.

He looks only at what everybody can see: :meth:`Session.view` and the time. Whatever state a job is in, listening to him
must lead to its end; that is what he is for.
"""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from typing import Any

from assistant.language.en.numbers import number_words

REASON = "the foreman agreed to it"
"""What he gives as a reason whenever he is asked for one."""

SECOND = "Ines Ahrend"
"""Whom he calls, and types the name of, where a second person is asked for."""

_PLAIN = {
    "preparing": "next",
    "hazard": "confirmed",
    "doing": "next",
    "tightening": "next",
    "one_bolt": "next",
    "table_read_off": "next",
    "read_off": "next",
    "renewing": "confirmed",
    "out_of_limits": "take a note",
    "turned": "next",
    "dropped": "found it",
    "must_loosen": "tighten again",
    "finishing": "finish job",
    "offering": "no",
    "stopped": "skip this",
    "granted_by": "cancel",
    "granted_how": "cancel",
    "severity": "cancel",
    "releasing": "i release it",
    "witnessing": "i have seen it",
}
_GOES_THROUGH_WITH = frozenset(
    {"finish", "late", "without", "found", "bolt_reading", "past_stop", "bolt_freed", "dropped_found", "readings_off"}
) | {"loosened", "unsure_reading", "heard_number"}
"""What he confirms when it is read back; anything else he cancels, because he never asked for it."""


def next_words(view: Mapping[str, Any]) -> str | None:
    """Return what he says now; None when he waits for a timer, or when the job is closed."""
    if view["closed"]:
        return None
    phase = view["phase"]
    if phase == "paused":
        return "carry on"
    if phase == "hand_over":
        return "take over" if len(view["operators"]) < 3 else "operator one"
    if phase == "dictation":
        return "end note" if view["dictation"]["words"] else REASON
    if phase == "confirming":
        return "confirmed" if view["pending"]["action"] in _GOES_THROUGH_WITH else "cancel"
    if phase == "held":
        (bolt,) = view["tighten"]["current"]
        return f"bolt {_words(Decimal(bolt))} is replaced"
    if phase == "naming":
        return "operator one" if view["second"]["known"] else SECOND
    if phase == "out_of_limits" and "note" not in view["leads_on"]:
        return "tighten again"  # at a gate no reason of his own does
    if phase == "stopped" and "next" in view["leads_on"]:
        return "next"
    if phase in _PLAIN:
        return _PLAIN[phase]
    return _answer(view)


def _answer(view: Mapping[str, Any]) -> str | None:
    ask = view["ask"]
    if ask["kind"] == "yes_no":
        return str(ask["expected"])
    if ask["kind"] == "count":
        return f"count {_words(Decimal(ask['expected']))}"
    if ask["kind"] == "reading":
        value = Decimal(ask["low"] or ask["high"] or 0)
        return f"reading below zero {_words(-value)}" if value < 0 else f"reading {_words(value)}"
    if ask["kind"] == "amount":
        return f"filled {_words(Decimal(ask['amount']))}"
    timer = next((timer for timer in view["timers"] if timer["id"] == ask["timer"]), None)
    if timer is None:
        return "start timer"
    return "next" if timer["over"] else None


def _words(number: Decimal) -> str:
    """Spell a number as a recogniser does: no hyphens."""
    return number_words(number).replace("-", " ")
