"""What is said of a code that was read."""

from __future__ import annotations

from collections.abc import Sequence

from assistant.facts.scan import ScanDoubt, ToolStands
from assistant.language.en.numbers import digit_words
from assistant.language.en.words import at_most_four, bare, ear, sentence

_ALL = 6
"""So many letters and digits [count] of a code are spelled as a whole; of a longer one the last four."""
_LAST = 4
_DOUBTS = {
    ScanDoubt.LENGTH: "A vehicle number has seventeen characters.",
    ScanDoubt.LETTER: "A vehicle number has no I, no O and no Q.",
    ScanDoubt.CHECK: "The check digit of this vehicle number is wrong.",
    ScanDoubt.NOT_CHECKED: "Its check digit does not fit. Not every maker has one: compare the number.",
}


def spelled(text: str) -> str:
    """Spell a code shortly: digits one by one, letters by their names."""
    signs = [sign for sign in text.upper() if sign.isascii() and sign.isalnum()]
    last = signs if len(signs) <= _ALL else signs[-_LAST:]
    words = " ".join(digit_words(int(sign)) if sign.isdigit() else sign for sign in last)
    return words if len(signs) <= _ALL else f"ending in {words}"


def unknown(text: str, doubt: ScanDoubt | None, *, label: bool = False) -> list[str]:
    if label:
        return ["This label is of a tool that is not in the tool file."]
    said = spelled(text)
    read = f"I read a code {said}." if said.startswith("ending") else f"I read {said or 'no letter and no digit'}."
    if doubt is ScanDoubt.LENGTH:
        signs = sum(sign.isalnum() for sign in text)
        return [ear(f"I read {signs} characters."), _DOUBTS[doubt], "Scan it again."]
    if doubt is not None:
        return [read, _DOUBTS[doubt], "Scan it again."]
    return [read, "I do not know it, and did nothing: compare the number."]


def unended() -> str:
    return "A code came without its end, and I took nothing. Set the reader to send Enter behind each code."


def several(names: Sequence[str]) -> str:
    return f"This code is on {at_most_four([bare(name) for name in names])}. I took none of them: look which one it is."


_TOOL = {
    ToolStands.CHOSEN: "That is right for these bolts.",
    ToolStands.NOW: "",
    ToolStands.CANNOT: "That is not for these bolts.",
    ToolStands.NAMED_OTHER: "The procedure names another one.",
    ToolStands.NO_BOLTS: "",
}


def tool(name: str, stands: ToolStands) -> str:
    return f"{sentence(bare(name))} {_TOOL[stands]}".strip()


def part(thing: str, *, again: bool) -> str:
    return f"Here already: {bare(thing)}." if again else f"Here: {bare(thing)}."


def machine(*, same: bool) -> str:
    if same:
        return "That is the machine of this job."
    return "That is another machine than the one of this job. Compare them before you go on."


def machine_unnamed(text: str) -> str:
    return f"A vehicle, its number {spelled(text)}. This job names no machine."


def order_read(number: str) -> str:
    return f"Order {spelled(number)}."


def machine_between(name: str, *, is_known: bool) -> str:
    return f"The next job is for {bare(name) if is_known else f'a vehicle, its number {spelled(name)}'}."


def no_procedure(*, gone: bool) -> str:
    return "Its procedure is not in the folder. Say procedures." if gone else "Say procedures, and choose one."


def no_orders() -> str:
    return "The list of orders cannot be read. The screen says what to mend."


def tool_between() -> str:
    return "That is the label of a tool. Begin a job, then scan it."


def check_doubted() -> str:
    return _DOUBTS[ScanDoubt.NOT_CHECKED]
