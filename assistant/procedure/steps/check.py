"""A step that looks or measures."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from assistant.procedure.findings import ReadingRule
from assistant.procedure.format.base import Given, Key
from assistant.procedure.format.branches import BRANCH
from assistant.procedure.format.forms import LIMITS, YES_NO
from assistant.procedure.format.shims import PACK
from assistant.procedure.format.steps import step_format
from assistant.procedure.model import Branch, Limits, Step, Traits
from assistant.procedure.packs import PackStock


@dataclass(frozen=True, slots=True)
class CheckStep(Step):
    """Look or measure. With ``limits`` a reading is asked for, otherwise the right answer is ``expect``."""

    traits: ClassVar[Traits] = Traits(asks=True, may_turn=True)

    expect: bool = True
    limits: Limits | None = None
    if_no: Branch | None = None
    if_yes: Branch | None = None
    if_outside: Branch | None = None
    if_below: Branch | None = None
    if_above: Branch | None = None
    pack: PackStock | None = None
    """The pack of shims that sets what is read off."""

    @property
    def branches(self) -> tuple[Branch, ...]:
        """Return where the answers lead, and what may be offered behind them."""
        every = (self.if_no, self.if_yes, self.if_outside, self.if_below, self.if_above, self.offer)
        return tuple(one for one in every if one is not None)


def _one_answer(given: Given) -> None:
    if "answer" in given and "limits" in given:
        reason = "A check asks for yes or no, or for a reading"
        given.complain(given.node.keys["limits"], ReadingRule.UNKNOWN_KEY, reason, "keep answer or limits")
    if "pack" in given and "limits" not in given:
        reason, hint = "A pack is worked out from a reading, and this check has none", "write limits: with their unit"
        given.complain(given.node.keys["pack"], ReadingRule.MISSING_KEY, reason, hint)


step_format(
    CheckStep,
    "check",
    "Look or measure: the question or command, as it is spoken.",
    Key("answer", YES_NO, "The right answer, yes or no; yes when left out.", "expect", default=True),
    Key("limits", LIMITS, "Limits of the reading that is asked for, with their unit."),
    Key("if no", BRANCH, "What is done when the answer is no.", "if_no"),
    Key("if yes", BRANCH, "What is done when the answer is yes, where the right answer is no.", "if_yes"),
    Key("if outside", BRANCH, "What is done when the reading lies outside its limits.", "if_outside"),
    Key("if below", BRANCH, "What is done when the reading is below its limits.", "if_below"),
    Key("if above", BRANCH, "What is done when the reading is above its limits.", "if_above"),
    Key("pack", PACK, "The pack of shims that sets what is read off: then the new one is worked out.", default=None),
    check=_one_answer,
)
