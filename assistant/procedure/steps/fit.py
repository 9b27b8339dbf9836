"""A step that fits new parts."""

from __future__ import annotations

from dataclasses import dataclass

from assistant.procedure.model import Step


@dataclass(frozen=True, slots=True)
class FitStep(Step):
    """Fit new parts of one spare; the mechanic answers with the number of new ones fitted."""

    spare: str = ""
    quantity: int = 1
