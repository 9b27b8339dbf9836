"""What is off and not back on, by the words of the steps that took it off and of those that put it back. Pure."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass

from assistant.language.chosen import WRITTEN
from assistant.procedure.model import Step


@dataclass(frozen=True, slots=True)
class Refit:
    """A part in the words of the step that takes it off, the id of that step, and of those that put it back."""

    part: str
    off: str
    back: frozenset[str]


def refits_of(steps: Sequence[Step]) -> tuple[Refit, ...]:
    """Return each part that a step takes off and a later one puts back, in the order in which they come off."""
    parts = WRITTEN.parts
    found: list[Refit] = []
    for place, step in enumerate(steps):
        if not step.traits.takes_off or step.not_refitted:
            continue
        later = steps[place + 1 :]
        named = [other for other in later if other.refits == step.id]
        for part in parts.removed(step.text):
            puts = named or [
                other
                for other in later
                if other.traits.puts_on and any(parts.is_same(part, one) for one in parts.put_on(other.text))
            ]
            if puts:
                found.append(Refit(part.words, step.id, frozenset(other.id for other in puts)))
    return tuple(found)


def parts_off(refits: Sequence[Refit], done: Collection[str]) -> list[str]:
    """Return the parts among ``refits`` that are off: a step of ``done`` (ids) took them off, none put them back."""
    return list(dict.fromkeys(one.part for one in refits if one.off in done and one.back.isdisjoint(done)))
