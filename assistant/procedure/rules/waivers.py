"""Waivers: a warning that the author answers for, with a reason, in the file itself.

Only warnings can be waived. What would cost a bolt, an engine or a finger is an error, and an error can only be mended;
so a waiver can never make a file usable that is not. A waiver covers the warnings of one rule about one thing, by its
id; without an id it covers only warnings about the file as a whole. One that covers nothing is a warning itself, so
that waivers do not outlive their cause.
"""

from __future__ import annotations

from collections.abc import Collection

from assistant.procedure.answering import Waiver
from assistant.procedure.findings import Findings, Level
from assistant.procedure.format.draft import Complaint, Draft

WAIVERS_RULE = "waivers"
MEANS = "Waive only warnings that the file gives, each with its rule, its reason and the id of what it is about."


class Waivers:
    """The waivers of one file, and which of them were needed."""

    def __init__(self, draft: Draft) -> None:
        self._draft = draft
        self._waivers = draft.procedure.waivers
        self._used: set[int] = set()
        self._errors: set[int] = set()
        self._spans = list(draft.places.spans()) if self._waivers else []

    def reason(self, rule: str, complaint: Complaint) -> str:
        """Return why ``complaint`` of ``rule`` is waived; empty when it is not."""
        for number, waiver in enumerate(self._waivers):
            if waiver.rule == rule and self._covers(waiver, complaint):
                if complaint.level is Level.WARNING:
                    self._used.add(number)
                    return waiver.reason
                self._errors.add(number)
        return ""

    def _covers(self, waiver: Waiver, complaint: Complaint) -> bool:
        place = (complaint.place.line, complaint.place.column)
        around = {
            name for name, first, last in self._spans if (first.line, first.column) <= place <= (last.line, last.column)
        }
        return waiver.at in around if waiver.at else not around

    def complain(self, rules: Collection[str], findings: Findings) -> None:
        """Put what is wrong with the waivers themselves into ``findings``."""
        for number, waiver in enumerate(self._waivers):
            if not waiver.rule or number in self._used:
                continue
            place = self._draft.places.of(waiver, "rule")
            if waiver.rule not in rules:
                text = f'There is no rule "{waiver.rule}" that can be waived'
                hint = findings.suggest(waiver.rule, rules)
            elif number in self._errors:
                text = f'"{waiver.rule}" is an error here, and errors cannot be waived'
                hint = "mend it and take the waiver out"
            else:
                about = f'the thing "{waiver.at}"' if waiver.at else "the file as a whole"
                text = f'This waiver covers nothing, since "{waiver.rule}" has no warning about {about}'
                hint = "take it out"
            findings.add(place, WAIVERS_RULE, text, hint, Level.WARNING)
