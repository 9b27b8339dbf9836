"""A whole procedure file: from its tree to a draft, and from a procedure to its text. Its table of keys is here."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import assistant.procedure.steps  # noqa: F401 - the kinds of step make themselves known
from assistant.procedure.findings import Findings, ReadingRule
from assistant.procedure.format.base import Context, Given, Key
from assistant.procedure.format.codecs import ListOf, OneOf
from assistant.procedure.format.draft import Draft
from assistant.procedure.format.forms import ID, INTERVAL, TEXT, TEXTS, TIME, TOLD, choice
from assistant.procedure.format.groups import GROUP
from assistant.procedure.format.records import KeyTable, makes, must
from assistant.procedure.format.step_list import StepList
from assistant.procedure.format.things import APPROVAL, EQUIPMENT, HAZARDS, PERSON, SPARE, SUPPLY, TIMER, WAIVER
from assistant.procedure.format.tree import MapNode, Node
from assistant.procedure.model import Chapter, HazardScheme, Procedure

HEAD: KeyTable[Any] = KeyTable(
    "procedure",
    (
        must("id", ID, "Short name of the procedure."),
        must("title", TOLD, "What is done, as it is spoken."),
        must("revision", TEXT, "Which edition this is."),
        must("source", TEXT, "Where the steps and the values come from."),
        must("machine", TEXT, "What it is done on."),
        must("hazard_scheme", choice("scheme", HazardScheme), "ansi or s1000d: whose sense the signal words have."),
        Key("values", OneOf("values", {"invented": "invented"}, ""), "invented, when no maker gave them: this is said "
            "aloud, and stands on the page and in the record."),
        Key("book_time", TIME, "How long the whole job takes, such as 2 h 30 min.", was="hours"),
        Key("due", INTERVAL, "When the work is due again, whichever comes first: such as 60000 km, 48 months; or 500 h."
            ),
    ),
    Given.values,
)  # fmt: skip
PRELIMINARY: KeyTable[Any] = KeyTable(
    "preliminary",
    (
        must("conditions", TEXTS, "What must be so before the work starts: a list of texts."),
        must("persons", ListOf(PERSON), "Who is needed."),
        must("support_equipment", ListOf(EQUIPMENT), "Tools and equipment."),
        must("supplies", ListOf(SUPPLY), "What is used up: sealant, cleaner, oil."),
        must("spares", ListOf(SPARE), "New parts."),
        must("safety", HAZARDS, "Hazards of the whole job."),
    ),
    Given.values,
)
CHAPTER = KeyTable(
    "chapter",
    (
        must("chapter", TOLD, "Name of this run of steps.", "name", was="part"),
        must("steps", StepList(), "Its steps in order."),
    ),
    makes(Chapter),
    example="chapter: Strip, steps: [...]",
)


def _procedure(given: Given) -> Procedure:
    head, before = (given[one.name] or one.nothing() or {} for one in (HEAD, PRELIMINARY))
    hashes = {key: given.context.made.get(key, "") for key in ("sha256", "content")}
    return Procedure(**head, **before, **given.values("procedure", "preliminary"), **hashes)


def _parts(procedure: Procedure) -> Mapping[str, Any]:
    return {"procedure": procedure, "preliminary": procedure}


FILE = KeyTable(
    "file",
    (
        must("procedure", HEAD, "What the procedure is and where it comes from."),
        must("preliminary", PRELIMINARY, "What must be at hand, and known, before the work starts."),
        Key("groups", ListOf(GROUP), "The fasteners, by size and place."),
        Key("timers", ListOf(TIMER), "Times that must not run out, and times that must."),
        must("chapters", ListOf(CHAPTER, least=1), "The steps, in named runs.", was="parts"),
        must("closing", StepList(prefix="closing", alone=True), "The steps that close the job: checks after the work."),
        Key("waivers", ListOf(WAIVER), "Warnings of the checker that the author answers for."),
        Key("approval", APPROVAL, "Who approved the procedure, and when."),
    ),
    _procedure,
    _parts,
)
"""The whole format of a procedure."""


def read_document(root: Node, findings: Findings, sha256: str = "", content: str = "") -> Draft | None:
    """Make a draft from the tree; None when it is no mapping. All that is wrong in the writing is in ``findings``.

    ``sha256`` and ``content`` are the hashes of the file and of what an approval approves.
    """
    if not isinstance(root, MapNode):
        hint = "begin with the key procedure, and write the other keys in the same column"
        findings.add(root, ReadingRule.VALUE_TYPE, "The file is not a mapping", hint)
        return None
    context = Context(findings, made={"sha256": sha256, "content": content})
    procedure = FILE.read(root, "file", context)
    return None if procedure is None else Draft(procedure, context.places)
