"""What is held open in a job: bolts that broke, are stripped, lost or wrong, and what was dropped."""

from __future__ import annotations

from collections.abc import Sequence

from assistant.facts.codes import FreedHow, TroubleWhat
from assistant.facts.kinds.trouble import AskBoltFreed, AskDroppedFound
from assistant.session.here import Here


def is_held(here: Here, group: str, bolt: int) -> bool:
    """Return whether a bolt is held open, and was not given up."""
    held = here.state.held.get((group, bolt))
    return held is not None and not held.given_up


def findable(here: Here) -> Sequence[AskDroppedFound | AskBoltFreed]:
    """Return the questions whether something is found: what was dropped, and the bolts that are lost, in order."""
    lost = [bolt for bolt, held in here.state.held.items() if held.what is TroubleWhat.LOST]
    return [
        *(AskDroppedFound(number) for number in here.state.dropped),
        *(AskBoltFreed(group, bolt, FreedHow.FOUND) for group, bolt in lost),
    ]
