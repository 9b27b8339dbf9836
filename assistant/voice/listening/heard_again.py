"""What is done about an utterance in noise, when it is unsure where it began: more of before is heard.

A voice detector notices a word late or not at all in noise, and of "reading zero point one" leaves "zero point one", or
"point one", which sounds like "count one". So what was no sure phrase is heard again from earlier on. It counts when
both hearings agree, or when the first was no phrase. A number is the one thing that no second word checks: both
hearings must agree on it, and a value that is read off is never quite sure in noise, so it is read back.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from assistant.events import Clarity, Grammar, Heard
from assistant.voice.ports import BLOCK, RATE, Block, Recogniser

REACHES_S = (0.16, 0.8)
"""So much more of what was before is put to the recogniser [s], one after the other, as long as nothing is sure."""
_NOT_SURE = 0.01
"""In noise a value that is read off is this much less sure at most than what is believed without being read back."""


def heard_again(
    first: Heard, recogniser: Recogniser, grammar: Grammar, earlier: Sequence[Block], blocks: Sequence[Block]
) -> Heard:
    """Return what was heard of ``blocks`` in noise, or of more before them, taken from ``earlier``.

    ``first`` is what was heard of ``blocks`` alone.
    """
    best, last = first, first
    for reach_s in REACHES_S:
        reach = round(reach_s * RATE / BLOCK)
        is_number = _has_number(best, grammar)
        if len(earlier) < reach or (_is_sure(best, recogniser) and not is_number):
            break
        if is_number and _is_sure(best, recogniser) and reach_s < REACHES_S[-1]:
            continue  # the longest is its check
        recogniser.start()
        for block in (*earlier[-reach:], *blocks):
            recogniser.feed(block.samples)
        last = recogniser.finish(first.started_at, first.ended_at)
        best = _better(best, last)
    if not _has_number(best, grammar):
        return best
    if last.text != best.text or last.clarity is not Clarity.PHRASE:
        return replace(best, text="", clarity=Clarity.UNCLEAR, words=())
    if not grammar.has_reading(best.text):
        return best
    return replace(best, confidence=min(best.confidence, recogniser.limits.reading - _NOT_SURE))


def _better(best: Heard, again: Heard) -> Heard:
    """Return the later hearing if it confirms or mends the one before."""
    if again.clarity is not Clarity.PHRASE:
        return best
    if best.clarity is not Clarity.PHRASE:
        return again
    return again if again.text == best.text and again.confidence > best.confidence else best


def _has_number(heard: Heard, grammar: Grammar) -> bool:
    return heard.clarity is Clarity.PHRASE and grammar.has_number(heard.text)


def _is_sure(heard: Heard, recogniser: Recogniser) -> bool:
    return heard.clarity is Clarity.PHRASE and heard.confidence >= recogniser.limits.moving
