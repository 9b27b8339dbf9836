"""The rules about what is repeated: names and numbers that are called aloud, and told from one another by ear."""

from __future__ import annotations

import re
from collections.abc import Iterator
from difflib import get_close_matches
from itertools import combinations

from assistant.faults import quoted
from assistant.procedure.findings import Level
from assistant.procedure.format.draft import Complaint, Draft, rule
from assistant.procedure.format.heard import words_heard


@rule
def names_sound_apart(draft: Draft) -> Iterator[Complaint]:
    """Give rows and readings names that cannot be heard for one another."""
    for called in draft.places.called:
        for (_, one), (place, other) in combinations(called, 2):
            if draft.written.wording.sound_alike(one, other):
                text = f"{quoted(other)} sounds like {quoted(one)} in this list"
                yield Complaint(place, text, "name one of them otherwise, or make two lists of it", Level.WARNING)


@rule
def names_are_heard(draft: Draft) -> Iterator[Complaint]:
    """Name rows and readings by words that the assistant's own model can hear, so that they can be called by name."""
    known = words_heard()
    for called in draft.places.called if known else ():
        for place, name in called:
            unknown = [word for word in re.findall(r"[a-z']+", name.lower()) if word not in known]
            if unknown:
                text = f'"{unknown[0]}" is no word that the speech model hears, so {quoted(name)} cannot be called'
                near = get_close_matches(unknown[0], sorted(known), 3)
                hint = "take another word" + (f", such as {' or '.join(near)}" if near else "")
                yield Complaint(place, text, hint, Level.WARNING)
