"""What may be spoken: rules of the ear that hold for every sentence."""

from __future__ import annotations

import re

_NOT_FOR_THE_EAR = re.compile(r"\d|[°µ·/%&+=<>_*]|\b(?:Nm|N·m|mm|lbf|ft|kPa|kgf)\b|None|\bTrue\b|\bFalse\b")
_SENTENCE = re.compile(r"[^.?!]+[.?!]")
MOST_WORDS = 20
"""Words in a sentence that tells what to do (ASD-STE100 Simplified Technical English, as quoted in writing guides)."""


def unfit_for_the_ear(text: str) -> str:
    """Say what is wrong with a spoken text; "" when nothing is."""
    found = _NOT_FOR_THE_EAR.search(text)
    if found:
        return f"{found[0]!r} cannot be heard in {text!r}"
    if "".join(_SENTENCE.findall(text)) != text:
        return f"{text!r} does not end as a sentence"
    for sentence in _SENTENCE.findall(text):
        words = sentence.split()
        if len(words) > MOST_WORDS:
            return f"{len(words)} words are too many: {sentence!r}"
        if not sentence.strip()[0].isupper():
            return f"{sentence!r} has no capital"
    return ""
