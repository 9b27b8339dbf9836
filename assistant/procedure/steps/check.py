"""A step that looks or measures."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from assistant.procedure.findings import ReadingRule
from assistant.procedure.format.base import Given, Key
from assistant.procedure.format.forms import LIMITS, YES_NO
from assistant.procedure.format.steps import step_format
from assistant.procedure.model import Limits, Step, Traits


@dataclass(frozen=True, slots=True)
class CheckStep(Step):
    """Look or measure. With ``limits`` a reading is asked for, otherwise the right answer is ``expect``."""

    traits: ClassVar[Traits] = Traits(asks=True, may_turn=True)

    expect: bool = True
    limits: Limits | None = None


def _one_answer(given: Given) -> None:
    if "answer" in given and "limits" in given:
        reason = "A check asks for yes or no, or for a reading"
        given.complain(given.node.keys["limits"], ReadingRule.UNKNOWN_KEY, reason, "keep answer or limits")


step_format(
    CheckStep,
    "check",
    "Look or measure: the question or command, as it is spoken.",
    Key("answer", YES_NO, "The right answer, yes or no; yes when left out.", "expect", default=True),
    Key("limits", LIMITS, "Limits of the reading that is asked for, with their unit."),
    check=_one_answer,
)
