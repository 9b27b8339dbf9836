"""Pages of the docs that are made from the tables: the states, and what can be said.

``python -m assistant.session.diagram states`` prints one, ``... commands`` the other. Tests fail when they are stale.
"""

from __future__ import annotations

import sys
from collections.abc import Mapping

from assistant.events import SlotKind, Weight
from assistant.language.en.phrases import meaning, phrases
from assistant.session.grammar import ACCEPTS
from assistant.session.intents import INTENTS
from assistant.session.machine import BASES, OVERLAYS, TABLE

_MEANS: Mapping[str, str] = {
    "new": "not opened yet",
    "preparing": "conditions, people, equipment, supplies, spares and safety, at most four things at a time",
    "hazard": "a hazard was read and waits for confirmed; next does not pass it",
    "doing": "one thing to do",
    "checking": "a question to answer with yes, no or a reading",
    "counting": "fasteners to count, out or in",
    "renewing": "fasteners that are used only once: waits for confirmed that they are new",
    "tightening": "a stage, group by group",
    "one_bolt": "a stage, one bolt at a time",
    "out_of_limits": "a reading at a bolt was out of limits: tighten again, take a note, or replace the bolt",
    "turned": "bolts that got their further angle before: next goes on, tighten again once they were loosened",
    "fitting": "new parts to fit and count",
    "waiting": "a timer to wait for",
    "finishing": "behind the last step",
    "confirming": "something was read back; only confirmed carries it out, and all but a question cancels it",
    "dictation": "words are taken down until end note",
    "paused": "only carry on and a few questions are heard; timers run on",
    "hand_over": "somebody left the job and nobody has taken it over yet",
    "closed": "the end",
}


def mermaid() -> str:
    """Return the state table as a Mermaid state diagram; one arrow stands for every state of the work."""
    lines = ["stateDiagram-v2", "    [*] --> new", "    state work {", "        state here <<choice>>"]
    lines += [f"        here --> {state} : {guard}" for trigger, _, state, guard in TABLE if trigger == "enter"]
    lines.append("    }")
    entries = {source for trigger, sources, _, _ in TABLE if trigger == "enter" for source in sources}
    lines += [f"    {source} --> here : enter" for source in ("new", *OVERLAYS) if source in entries]
    if entries.issuperset(BASES):
        lines.append("    work --> here : enter")
    for trigger, sources, state, guard in TABLE:
        if trigger == "enter":
            continue
        label = trigger if guard is None else f"{trigger} [{guard}]"
        if set(sources).issuperset(BASES):
            lines.append(f"    work --> {state} : {label}")
        lines += [f"    {source} --> {state} : {label}" for source in sources if source not in BASES]
    lines.append("    closed --> [*]")
    return "\n".join(lines)


def states_page() -> str:
    """Return the page about the states, as Markdown."""
    lines = [
        "# The states of a job",
        "",
        "Made from the table in `assistant/session/machine.py` by `python -m assistant.session.diagram states`.",
        "",
        "`enter` goes to the one state whose guard holds: `at_hazard` holds as long as a hazard of the place is not",
        "acknowledged, so no row of the table leads past it.",
        "",
        "```mermaid",
        mermaid(),
        "```",
        "",
        "| State | What it is | What may be said besides questions |",
        "| --- | --- | --- |",
    ]
    common = set.intersection(*(set(ACCEPTS[state]) for state in BASES))
    for state, means in _MEANS.items():
        own = [name.replace("_", " ") for name in ACCEPTS.get(state, ()) if name not in common]
        if state == "checking":
            own += ["reading", "reading below"]
        if state == "confirming":
            own = ["confirmed", "cancel", "and all of the state below, which cancels"]
        more = "the common ones" if state in BASES else ""
        lines.append(f"| {state} | {means} | {', '.join([*own, more] if more else own) or '-'} |")
    lines += ["", f"The common ones: {', '.join(sorted(name.replace('_', ' ') for name in common))}.", ""]
    return "\n".join(lines)


_WEIGHTS = {
    Weight.HARMLESS: "changes nothing about the job",
    Weight.MOVING: "moves the job or puts something down",
    Weight.CRITICAL: "needs the surest hearing",
}
_SLOTS = {
    SlotKind.WHOLE: "and a whole number to ninety-nine",
    SlotKind.DECIMAL: "and a number, with decimals if need be",
}


def commands_page() -> str:
    """Return the page about what can be said, as Markdown."""
    lines = [
        "# What can be said",
        "",
        "Made from the table in `assistant/language/en/phrases.py` by `python -m assistant.session.diagram commands`;",
        "`assistant phrases` prints the same list. What is heard surely enough depends on what a mistake would cost.",
        "",
        "| Say | What it does | If misheard |",
        "| --- | --- | --- |",
    ]
    for intent in INTENTS:
        slot = f" {_SLOTS[intent.slot]}" if intent.slot else ""
        said = ", ".join(f"*{phrase}*" for phrase in phrases(intent.name))
        lines.append(f"| {said}{slot} | {meaning(intent.name)} | {_WEIGHTS[intent.weight]} |")
    lines += [
        "",
        "A number can be said as a number or digit by digit: *count fourteen*, *count one four*,",
        "*reading thirty five point five*.",
        "",
    ]
    return "\n".join(lines)


if __name__ == "__main__":
    print({"states": states_page, "commands": commands_page}[sys.argv[1]](), end="")
