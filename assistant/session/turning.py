"""How bolts stand that are turned by a further angle, or were: that none is turned twice, and how long they waited."""

from __future__ import annotations

from collections.abc import Collection
from enum import StrEnum

from assistant.facts.codes import Way
from assistant.procedure.steps.tighten import TightenStep
from assistant.session.chunks import Chunk, bolt_done, bolt_key, bolt_place, chunks_in
from assistant.session.fitted import is_fitted
from assistant.session.here import Here
from assistant.session.troubles import is_held


class Standing(StrEnum):
    """The states of the table in which a tightening stands; their rows are in ``kinds/tighten.py``."""

    RENEWING = "renewing"
    TIGHTENING = "tightening"
    ONE_BOLT = "one_bolt"
    READ_OFF = "read_off"
    OUT_OF_LIMITS = "out_of_limits"
    TURNED = "turned"
    HELD = "held"
    MUST_LOOSEN = "must_loosen"


NOT_NOW = (Standing.RENEWING, Standing.TURNED, Standing.HELD, Standing.MUST_LOOSEN)
"""Where nothing is tightened until somebody decides."""

LONG_PAUSE_MS = 30 * 60_000
"""A pause between torque and further angle that is worth a word; a design choice."""


def standing(here: Here, step: TightenStep) -> str:
    """Return the state of the table in which a tightening stands; bolts matter where the job is."""
    place = bolt_place(here) if here.step is step else None
    if place is not None:
        chunk, bolts, index, offset = place
        bolt = bolt_key(here.job, step.id, index, offset)
        if is_held(here, chunk.group, bolts[0]):
            return Standing.HELD
        if must_loosen(here, chunk, bolts):
            return Standing.MUST_LOOSEN
        if any((chunk.group, one) in here.state.worn for one in bolts) or must_renew(here, step, chunk):
            return Standing.RENEWING
        if bolt in here.state.off:
            return Standing.OUT_OF_LIMITS
        if bolt in here.state.turned:
            return Standing.TURNED
        if chunk.within.read is not None and chunk.way in (Way.TORQUE, Way.ANGLE):
            return Standing.READ_OFF
    return Standing.ONE_BOLT if here.state.one_by_one else Standing.TIGHTENING


def must_loosen(here: Here, chunk: Chunk, bolts: Collection[int]) -> bool:
    """Return whether ``bolts`` of ``chunk`` got a further angle that was taken back: then they are loosened first."""
    return chunk.way is not Way.LOOSEN and any((chunk.group, bolt) in here.state.to_loosen for bolt in bolts)


def is_turned(here: Here) -> bool:
    """Return whether the present bolts got their further angle before, and were neither loosened nor replaced since."""
    step, place = here.step, bolt_place(here)
    if step is None or place is None:
        return False
    _, bolts, index, offset = place
    return all(bolt_key(here.job, step.id, index, offset + at) in here.state.turned for at in range(len(bolts)))


def waited_ms(here: Here) -> int | None:
    """Return since when the present bolts wait for their further angle [ms]; None where they do not."""
    place = bolt_place(here)
    if place is None or place[0].way is not Way.ANGLE or here.unread is not None:
        return None
    if here.base in (Standing.TURNED, Standing.HELD, Standing.MUST_LOOSEN):
        return None
    return here.state.torqued_ms.get(place[0].group)


def pause_ms(here: Here) -> int | None:
    """Return when the pause between torque and further angle of the present bolts gets long; None once told."""
    since, step, place = waited_ms(here), here.step, bolt_place(here)
    if since is None or step is None or place is None:
        return None
    return None if (step.id, place[0].turn, place[0].group) in here.state.pause_told else since + LONG_PAUSE_MS


# Fasteners that are used only once


def must_renew(here: Here, step: TightenStep, chunk: Chunk) -> bool:
    """Return whether the fasteners of ``chunk`` are used only once and nobody said yet that they are new.

    Fitting the right number of new ones, in a step before, says so too.
    """
    group = here.job.groups[chunk.group]
    if not group.single_use or chunk.way is Way.LOOSEN or (step.id, group.id) in here.state.renewed:
        return False
    return not _new_before(here, step, chunk) and not is_fitted(here, group.spare)


def _new_before(here: Here, step: TightenStep, chunk: Chunk) -> bool:
    """Return whether the bolts of ``chunk`` were said to be new, or were tightened, in this step or one before it."""
    steps = here.job.steps_of(TightenStep)
    known: set[int] = set()
    for one in steps[: steps.index(step) + 1]:
        for index, taken in enumerate(chunks_in(here.job, one.id)):
            if taken.group != chunk.group or taken.way is Way.LOOSEN:
                continue
            known |= {bolt for at, bolt in enumerate(taken.bolts) if bolt_done(here, one, index, at)}
            if (one.id, chunk.group) in here.state.renewed:
                known |= set(taken.bolts)
    return set(chunk.bolts) <= known
