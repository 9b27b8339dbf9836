"""The words of gates, and of the second person who released one or witnessed a step.

A name is printed as it was stated: nobody is known by the voice, and the record says so.
"""

from __future__ import annotations

from assistant.facts import second
from assistant.report.record.printing import Names, asked_words, prints, prints_asked

STATED = "name as stated, not proven"


@prints(second.GateHeld)
def _held(fact: second.GateHeld, names: Names) -> str:
    return f"GATE HELD, not passed: {asked_words(fact.question, names)}"


@prints(second.GateFirst)
def _first(fact: second.GateFirst, _: Names) -> str:
    return f"sent to the gate {fact.step}, which is not passed"


@prints(second.SecondAsked)
def _asked(fact: second.SecondAsked, _: Names) -> str:
    return f"asked who {_DOES[fact.what]} {fact.step}"


@prints(second.SecondNamed)
def _named(fact: second.SecondNamed, _: Names) -> str:
    return f"{fact.name} ({STATED}) is to be the one who {_DOES[fact.what]} {fact.step}"


_DOES = {second.SecondWhat.RELEASE: "releases the gate", second.SecondWhat.WITNESS: "witnesses"}


@prints(second.GateReleased)
def _released(fact: second.GateReleased, names: Names) -> str:
    through = "as it was answered" if fact.question is None else asked_words(fact.question, names)
    return (
        f"GATE RELEASED by {released_by(fact)}, operator {fact.operator or 'name not given'}: {through}; "
        f"reason: {fact.reason}"
    )


def released_by(fact: second.GateReleased) -> str:
    """Return who released a gate, as far as that is known."""
    return f"{fact.name} ({STATED})"


@prints(second.Witnessed)
def _witnessed(fact: second.Witnessed, _: Names) -> str:
    return f"witnessed by {fact.name} ({STATED}), operator {fact.operator or 'name not given'}"


@prints(second.NotWitnessed)
def _not_witnessed(_fact: second.NotWitnessed, _: Names) -> str:
    return "NOT WITNESSED: nobody was at hand"


@prints(second.LeftUnwitnessed)
def _left(fact: second.LeftUnwitnessed, _: Names) -> str:
    return f"closed without a witness of: {', '.join(fact.steps)}"


@prints_asked(second.AskRelease)
def _ask_release(q: second.AskRelease, _: Names) -> str:
    return f"release the gate {q.step}"


@prints_asked(second.AskWitness)
def _ask_witness(q: second.AskWitness, _: Names) -> str:
    return f"has the witness seen {q.step}"
