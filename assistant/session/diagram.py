"""Pages of the docs that are made from the tables: the states, and what can be said.

``python -m assistant.session.diagram states`` prints one, ``... commands`` the other. Tests fail when they are stale.
"""

from __future__ import annotations

import sys

from assistant.events import SlotKind, Weight
from assistant.language.chosen import LANGUAGE
from assistant.language.port import Language
from assistant.session import kinds, states, states_extra  # noqa: F401 (every state and every kind of step enters the table)
from assistant.session.intents import INTENTS, WORDS
from assistant.session.table import Layer, Row, all_rows, names_of, row_of


def mermaid() -> str:
    """Return the state table as a Mermaid state diagram; one arrow stands for every state of the work."""
    over = names_of(Layer.OVER)
    lines = ["stateDiagram-v2", *(f"    [*] --> {name}" for name in names_of(Layer.BEGIN))]
    lines += ["    state work {", "        state here <<choice>>"]
    lines += [f"        here --> {name}" for name in names_of(Layer.WORK)]
    lines += ["    }", *(f"    {name} --> here" for name in names_of(Layer.BEGIN)), "    work --> here"]
    lines += [f"    work --> {name}\n    {name} --> here" for name in over]
    lines += [f"    {name} --> {other}" for name in over for other in row_of(name).onto]
    return "\n".join([*lines, *(f"    work --> {name}" for name in names_of(Layer.END))])


def states_page() -> str:
    """Return the page about the states, as Markdown."""
    table = all_rows().values()
    common = set.intersection(*(set(row.acts) for row in table if row.layer is Layer.WORK))
    lines = [
        "# The states of a job",
        "",
        "Made from the rows of the state table by `python -m assistant.session.diagram states`. A row stands where its",
        "kind of step is at home (`assistant/session/kinds/`), or in `assistant/session/states.py`.",
        "",
        "Which state of the work a job is in follows from its place alone: as long as a hazard of the place is not",
        "acknowledged it is `hazard`, so nothing leads past one.",
        "",
        "```mermaid",
        mermaid(),
        "```",
        "",
        "| State | What it is | What may be said besides the common ones | What helps most |",
        "| --- | --- | --- | --- |",
    ]
    lines += [f"| {row.name} | {row.means} | {_own(row, common)} | {_names(row.helps)} |" for row in table]
    return "\n".join([*lines, "", f"The common ones of the work: {_names(sorted(common))}.", ""])


def _own(row: Row, common: set[str]) -> str:
    own = [name for name in row.acts if name != WORDS and (row.layer is not Layer.WORK or name not in common)]
    more = ["and all of the state below: all but a question cancels"] if row.below is not None else []
    return ", ".join([*(name.replace("_", " ") for name in own), *more]) or "–"


def _names(intents: tuple[str, ...] | list[str]) -> str:
    return ", ".join(name.replace("_", " ") for name in intents) or "–"


_WEIGHTS = {
    Weight.HARMLESS: "changes nothing about the job",
    Weight.MOVING: "moves the job or puts something down",
    Weight.CRITICAL: "needs the surest hearing",
}
_SLOTS = {
    SlotKind.WHOLE: "and a whole number to ninety-nine",
    SlotKind.DECIMAL: "and a number, with decimals if need be",
    SlotKind.NAME: "with a name of the job",
}


def commands_page(language: Language = LANGUAGE) -> str:
    """Return the page about what can be said in ``language``, as Markdown."""
    lines = [
        "# What can be said",
        "",
        "Made from `assistant/session/intents.py` and the phrases of the language by",
        "`python -m assistant.session.diagram commands`; `assistant phrases` prints the same list. What is heard",
        "surely enough depends on what a mistake would cost.",
        "",
        "| Say | What it does | If misheard |",
        "| --- | --- | --- |",
    ]
    for intent in INTENTS:
        slot = f" {_SLOTS[intent.slot]}" if intent.slot else ""
        said = ", ".join(f"*{phrase.replace('{}', '…')}*" for phrase in language.phrases.phrases(intent.name))
        lines.append(f"| {said}{slot} | {language.phrases.meaning(intent.name)} | {_WEIGHTS[intent.weight]} |")
    lines += [
        "",
        "A number can be said as a number or digit by digit: *count fourteen*, *count one four*,",
        "*reading thirty five point five*.",
        "",
    ]
    return "\n".join(lines)


if __name__ == "__main__":
    print({"states": states_page, "commands": commands_page}[sys.argv[1]](), end="")
