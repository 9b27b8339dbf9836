"""Nodes to steps: hazards, and the kinds of step."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from typing import TypedDict

from assistant.procedure.findings import Findings, ReadingRule
from assistant.procedure.format.build_stages import StageBuilder
from assistant.procedure.format.draft import Places
from assistant.procedure.format.fields import Fields
from assistant.procedure.format.keys import KINDS
from assistant.procedure.format.tree import MapNode
from assistant.procedure.format.values import MOST_BOLTS, parse_limits
from assistant.procedure.model import Group, Hazard, SignalWord, Step
from assistant.procedure.steps.check import CheckStep
from assistant.procedure.steps.count import CountStep, Direction
from assistant.procedure.steps.do import DoStep
from assistant.procedure.steps.fit import FitStep
from assistant.procedure.steps.tighten import TightenStep
from assistant.procedure.steps.wait import WaitStep

MOST_STEPS = 500
_MOST_MINUTES = 10_000


class _Common(TypedDict):
    id: str
    text: str
    hazards: tuple[Hazard, ...]
    info: str
    tools: tuple[str, ...]
    supplies: tuple[str, ...]
    minutes: Decimal | None
    starts_timer: str | None
    before_timer: str | None
    refits: str | None
    not_refitted: str
    lock: str | None
    unlock: str | None
    turns: bool | None
    against: tuple[str, ...]
    line: int


class StepBuilder:
    """Makes the steps of one procedure; ``groups`` are those that its stages may name."""

    def __init__(self, findings: Findings, places: Places, groups: Mapping[str, Group]) -> None:
        self._findings = findings
        self._places = places
        self._stages = StageBuilder(findings, places, groups)
        self._steps = 0

    def steps(self, fields: Fields, key: str, prefix: str) -> tuple[Step, ...]:
        """Make the steps of a list; those without an id get ``prefix`` and their number."""
        made: list[Step] = []
        for node in fields.maps(key, least=1):
            self._steps += 1
            if self._steps > MOST_STEPS:
                if self._steps == MOST_STEPS + 1:
                    text = f"Here begins step {self._steps}, more than {MOST_STEPS}: split the procedure"
                    self._findings.add(node, ReadingRule.TOO_MANY_STEPS, text)
                break
            number = len(made) + 1 if prefix == "closing" else self._steps
            before = self._findings.count
            step = self._step(node, f"{prefix}-{number}")
            self._places.add(step, node, sound=self._findings.count == before)
            made.append(step)
        return tuple(made)

    def hazards(self, fields: Fields, key: str) -> tuple[Hazard, ...]:
        """Make hazards, the most severe first as they are read aloud; equal ones stay in the order of the file."""
        made = []
        for node in fields.maps(key):
            before = self._findings.count
            one = Fields(node, "hazard", self._findings)
            words = [word for word in SignalWord if word.value in one]
            if len(words) != 1:
                text = (
                    "A hazard has exactly one signal word: write danger:, warning:, caution: or notice: and the hazard"
                )
                self._findings.add(node, ReadingRule.SIGNAL_WORD, text)
            word = words[0] if words else SignalWord.DANGER
            text = one.text(word.value) if words else ""
            hazard = Hazard(word, text, one.text("consequence"), one.text("avoid"), node.line)
            self._places.add(hazard, node, sound=self._findings.count == before)
            made.append(hazard)
        severity = list(SignalWord)
        return tuple(sorted(made, key=lambda hazard: severity.index(hazard.word)))

    def _step(self, node: MapNode, made_id: str) -> Step:
        kinds = [kind for kind in KINDS if kind in node.values]
        if len(kinds) != 1:
            every = ", ".join(f"{kind}:" for kind in KINDS)
            if kinds:
                text = f"This step is {' and '.join(kinds)} at once: make a step of each"
            else:
                hints = [self._findings.suggest(name, KINDS) for name in node.keys]
                hint = next((hint for hint in hints if hint.startswith("did you mean")), f"write one of {every}")
                text = f"This step does not say what kind it is: {hint}"
            self._findings.add(node, ReadingRule.STEP_KIND, text)
            self._places.lost = True
            return DoStep(id=made_id, text="", line=node.line)
        kind = kinds[0]
        fields = Fields(node, f"{kind} step", self._findings)
        common = self._common(fields, kind, made_id)
        match kind:
            case "check":
                return self._check(fields, common)
            case "count":
                return self._count(fields, common)
            case "tighten":
                return TightenStep(**common, stages=self._stages.stages(fields))
            case "wait":
                return WaitStep(**common, timer=fields.ident("timer"))
            case "fit":
                return FitStep(
                    **common, spare=fields.ident("spare"), quantity=fields.whole("quantity", MOST_BOLTS) or 1
                )
        return DoStep(**common)

    def _common(self, fields: Fields, kind: str, made_id: str) -> _Common:
        return {
            "id": fields.ident("id") or made_id,
            "text": fields.text(kind),
            "hazards": self.hazards(fields, "hazards"),
            "info": fields.text("info"),
            "tools": fields.idents("tools"),
            "supplies": fields.idents("supplies"),
            "minutes": fields.decimal("minutes", _MOST_MINUTES),
            "starts_timer": fields.ident("starts") or None,
            "before_timer": fields.ident("before") or None,
            "refits": fields.ident("refits") or None,
            "not_refitted": fields.text("not_refitted"),
            "lock": fields.ident("lock") or None,
            "unlock": fields.ident("unlock") or None,
            "turns": fields.yes_no("turns", default=False) if "turns" in fields else None,
            "against": fields.idents("against"),
            "line": fields.node.line,
        }

    def _check(self, fields: Fields, common: _Common) -> CheckStep:
        if "answer" in fields and "limits" in fields:
            text = "A check asks for yes or no, or for a reading: keep answer or limits"
            self._findings.add(fields.node.keys["limits"], ReadingRule.UNKNOWN_KEY, text)
        expect = fields.yes_no("answer", default=True)
        return CheckStep(**common, expect=expect, limits=fields.parsed("limits", parse_limits))

    def _count(self, fields: Fields, common: _Common) -> CountStep:
        if ("out" in fields) == ("in" in fields):
            text = "A count step counts one group out or in: write out: or in: and the id of the group"
            self._findings.add(fields.node, ReadingRule.MISSING_KEY, text)
        way = Direction.OUT if "out" in fields else Direction.IN
        return CountStep(**common, group=fields.ident(way.value), direction=way, place=fields.text("place"))
