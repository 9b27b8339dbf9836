"""What a gate holds back: it is passed by its right answer, or by a second person, and by nothing else."""

from __future__ import annotations

from assistant.facts.asking import Question
from assistant.facts.going import RefusedWhy
from assistant.facts.second import GateHeld
from assistant.session.deciding.core import Deciding
from assistant.session.deciding.granting import grant_of


def holds_back(d: Deciding, question: Question) -> bool:
    """Put down that the present gate does not let through what ``question`` would have asked; return whether it did.

    Where it is no gate, or the question does not pass it, there is nothing to put down.
    """
    step, grant = d.step, grant_of(question)
    if step is None or not step.gate:
        return False
    passes = getattr(question, "step", "") == step.id if grant.passes is None else grant.passes
    if not passes:
        return False
    if grant.leaves_out:
        d.refuse(RefusedWhy.GATE_STAYS)
    else:
        d.put(GateHeld(step=step.id, question=question))
    return True
