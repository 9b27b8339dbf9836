"""The rules about wording: what is spoken must be short, one thing at a time, and heard in one way only.

The limits of words are those of ASD-STE100 (as summarised publicly): 20 in a procedural sentence, 25 in a descriptive
one. Words are counted as the language of the procedure counts them.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from assistant.faults import quoted
from assistant.files import whole_number
from assistant.procedure.findings import Level
from assistant.procedure.format.draft import Complaint, Draft, rule

MOST_PROCEDURAL = 20
MOST_DESCRIPTIVE = 25
MOST_IN_STEP = 25
"""Words of a whole step: what is said in one breath and done before the next. Ours, not published."""
_MOST_WRITTEN_OUT = 99
"""Numbers up to this are written out in the hint of a complaint."""


@rule
def sentence_length(draft: Draft) -> Iterator[Complaint]:
    """Keep a command to 20 words and a description to 25, as ASD-STE100 does."""
    wording = draft.written.wording
    for place, text, command in draft.places.spoken:
        most = MOST_PROCEDURAL if command else MOST_DESCRIPTIVE
        longest = max(map(wording.word_count, wording.written_sentences(text)), default=0)
        if longest > most:
            what = "command" if command else "description"
            yield Complaint(
                place,
                f"A sentence here has {longest} words, and a {what} has at most {most}",
                "split it",
                Level.WARNING,
            )


@rule
def short_steps(draft: Draft) -> Iterator[Complaint]:
    """Tell a step in at most 25 words; what else there is to know stands under info, for whoever asks."""
    wording = draft.written.wording
    for step in draft.every_step():
        if (words := wording.word_count(step.text)) > MOST_IN_STEP:
            text = f"This step has {words} words, and a step is told in at most {MOST_IN_STEP}"
            yield Complaint(draft.step_place(step), text, "move the rest to info, or make two steps", Level.WARNING)


@rule
def one_instruction(draft: Draft) -> Iterator[Complaint]:
    """Give one instruction in a step; a second one about the same thing may follow ("and count them")."""
    for step in draft.every_step():
        second = draft.written.wording.second_instruction(step.text)
        if second and not step.traits.asks:
            text, hint = f'This step gives a second instruction ("{second}")', "make a step of it"
            yield Complaint(draft.step_place(step), text, hint, Level.WARNING)


_DIGIT = re.compile(r"\d")


@rule
def spoken_values(draft: Draft) -> Iterator[Complaint]:
    """Leave values to the keys that read them back digit by digit; write other numbers in words."""
    for place, text, command in draft.places.spoken:
        if _DIGIT.search(text):
            number = re.findall(r"\d[\w.,/°]*", text)[0]
            count = whole_number(number)
            hint = (
                f' ("{draft.written.wording.in_words(count)}")'
                if count is not None and count <= _MOST_WRITTEN_OUT
                else ""
            )
            yield Complaint(
                place,
                f"{quoted(number)} is spoken as it is written and may be misheard",
                f"write it in words{hint}, or leave it to torque, angle or limits",
                Level.WARNING,
            )
        value = draft.written.wording.value_in(text) if command else ""
        if value:
            yield Complaint(
                place,
                f'The value "{value}" cannot be read back from a text',
                "put it under torque, angle or limits",
                Level.WARNING,
            )


@rule
def vague_words(draft: Draft) -> Iterator[Complaint]:
    """Say what is meant: not as required, sufficiently, properly or approximately."""
    for place, text, _ in draft.places.spoken:
        found = draft.written.wording.vague(text)
        if found:
            yield Complaint(
                place, f'"{found}" leaves it to the listener', "say how much, how far or in which case", Level.WARNING
            )


@rule
def nothing_undecided(draft: Draft) -> Iterator[Complaint]:
    """Leave nothing open: no text says TODO, TBD, DECIDE or ??, and no comment begins with TODO."""
    for node in draft.places.texts(draft.procedure, but=("source", "revision")):
        found = draft.written.wording.undecided(node.text)
        if found:
            yield Complaint(node, f'"{found}" says that something is still open', "decide it and write it")


@rule
def times_have_timers(draft: Draft) -> Iterator[Complaint]:
    """Give a time to a timer, which counts it and says when it is over; do not only speak it."""
    for step in draft.every_step():
        found = (
            ""
            if step.waits_for or step.starts_timer or step.before_timer
            else draft.written.wording.time_said(step.text)
        )
        if found:
            text, hint = f'Nobody counts "{found}"', "add a timer, and a step with wait:, or starts: and before:"
            yield Complaint(draft.step_place(step), text, hint, Level.WARNING)
