"""What is done about an utterance in noise, when it is unsure where it began: more of before is heard.

A voice detector notices a word late or not at all in noise, and of "reading zero point one" leaves "zero point one". So
what was no sure phrase is heard again from earlier on. It counts when both hearings agree, or when the first is the end
of the second. A number is the one thing that has no second word to check it: in noise it is never quite sure.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from assistant.events import Clarity, Grammar, Heard
from assistant.voice.ports import BLOCK, RATE, Block, Recogniser

REACHES_S = (0.16, 0.8)
"""So much more of what was before is put to the recogniser [s], one after the other, as long as nothing is sure."""
SURE_NUMBER = 0.89
"""No number in noise is surer: less than what is believed without being said back (``session`` asks for 0.9)."""


def heard_again(first: Heard, recogniser: Recogniser, earlier: Sequence[Block], blocks: Sequence[Block]) -> Heard:
    """Return what was heard of ``blocks``, or of more before them, taken from ``earlier``, when that is surer.

    ``first`` is what was heard of ``blocks`` alone.
    """
    best = first
    for reach_s in REACHES_S:
        reach = round(reach_s * RATE / BLOCK)
        if _is_sure(best, recogniser) or len(earlier) < reach:
            break
        recogniser.start()
        for block in (*earlier[-reach:], *blocks):
            recogniser.feed(block.samples)
        again = recogniser.finish(first.started_at, first.ended_at)
        if again.clarity is not Clarity.PHRASE or again.confidence < best.confidence * (best.clarity is Clarity.PHRASE):
            continue
        if best.text == again.text or best.clarity is not Clarity.PHRASE:
            best = again
    return best


def less_sure_of_numbers(heard: Heard, grammar: Grammar) -> Heard:
    """Return ``heard``, which is less sure if it is a phrase with a number."""
    if heard.clarity is not Clarity.PHRASE or heard.text in grammar.phrases:
        return heard
    return replace(heard, confidence=min(heard.confidence, SURE_NUMBER))


def _is_sure(heard: Heard, recogniser: Recogniser) -> bool:
    return heard.clarity is Clarity.PHRASE and heard.confidence >= recogniser.limits.moving
