"""The parts of a draft that every procedure has: its head, its preparation, its fasteners and its closing steps."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from assistant.authoring.text import TODO, comment, entry, ident, section, todo, tree
from assistant.language.chosen import WRITTEN
from assistant.procedure.format.forms import written_bolts

_WARNING = (
    "This is a draft. Take every value from the procedure of the maker, follow the law and the rules of your "
    "workplace, and let somebody who is qualified check it before it is used."
)


@dataclass(frozen=True, slots=True)
class DraftHead:
    """What the procedure is; what is empty must still be written."""

    title: str = ""
    machine: str = ""
    source: str = ""
    revision: str = ""
    scheme: str = "ansi"
    book_time: str = ""
    persons: int = 1


@dataclass(slots=True)
class DraftGroup:
    """A group of bolts in a draft. ``stages`` are mappings as they stand in a file; ``decide`` is for a person."""

    name: str
    size: str
    bolts: tuple[int, ...]
    thread: str = ""
    grade: str = ""
    where: str = ""
    new: bool = False
    """Whether new ones are fitted."""
    decide: tuple[str, ...] = ()
    told: str = ""
    """What else is known of them, for a comment."""
    id: str = ""
    spare: str = ""


@dataclass(slots=True)
class DraftParts:
    """What goes into the text of a draft. ``chapters`` are texts that were made already."""

    head: DraftHead
    about: Sequence[str]
    groups: Sequence[DraftGroup] = ()
    tools: Sequence[tuple[str, str]] = ()
    """Id and name of each tool that the steps use."""
    spares: Sequence[tuple[str, str, int]] = ()
    """Id, name and number of the new parts."""
    supplies: Sequence[dict[str, str]] = ()
    timers: Sequence[dict[str, str]] = ()
    persons: Sequence[dict[str, str]] = ()
    """Who is needed beside the mechanics."""
    examples: Mapping[str, str] = field(default_factory=dict)
    """What is shown in comments below ``persons``, and in place of ``timers`` when there are none."""
    chapters: Sequence[str] = field(default_factory=list)
    closing: Sequence[str] = ()
    """Questions of this draft that close the job, behind the usual ones."""


def name_groups(groups: Iterable[DraftGroup]) -> None:
    """Give every group an id of its own, and a spare where new ones are fitted."""
    taken: list[str] = []
    for group in groups:
        group.id = ident(group.name, taken)
        taken.append(group.id)
        group.spare = ident(f"new {group.name}", taken) if group.new else ""


def draft_text(draft: DraftParts) -> str:
    """Return the text of the draft."""
    pieces = [
        comment(_WARNING),
        comment(
            f"Every {TODO} is for you: write what it asks for, then delete the comment. Check with: assistant check"
        ),
        *(comment(line) for line in draft.about),
        _procedure(draft.head),
        _preliminary(draft),
        section("groups", (_group(group) for group in draft.groups), "\n"),
        _timers(draft),
        "\n" + comment("Write one command in a sentence, at most twenty words; it is spoken as it stands."),
        section("chapters", draft.chapters),
        _CLOSING,
        *(entry({"check": question}, 2) for question in draft.closing),
    ]
    return re.sub(r"\n{3,}", "\n\n", "".join(pieces))


def _procedure(head: DraftHead) -> str:
    lines = [
        ("title", head.title, "what is done, as it is spoken"),
        ("revision", head.revision, "which edition this is"),
        ("source", head.source, "the maker's procedure that the steps and values come from, with its edition"),
        ("machine", head.machine, "what it is done on"),
    ]
    text = "procedure:\n" + tree({"id": ident(head.title or "new procedure", ())}, 2)
    for key, value, what in lines:
        text += comment(what, 2) + tree({key: value or TODO}, 2)
    text += comment("ansi: a caution is about injury and a notice about damage; s1000d: a caution is about damage", 2)
    text += tree({"hazard_scheme": head.scheme}, 2)
    if head.book_time:
        return text + tree({"book_time": head.book_time}, 2) + "\n"
    return text + todo("book time, how long the whole job takes, such as book_time: 2 h 30 min", 2) + "\n"


def _preliminary(draft: DraftParts) -> str:
    spares = [
        {"id": name, "name": words, "quantity": str(count), "single_use": "yes"} for name, words, count in draft.spares
    ]
    pieces = [
        "preliminary:\n",
        comment("what must be so before the work starts, such as: The engine has stood still for one hour.", 2),
        tree({"conditions": [TODO]}, 2),
        tree({"persons": [{"kind": "mechanic", "count": str(draft.head.persons)}, *draft.persons]}, 2),
        draft.examples.get("persons", ""),
        todo("all tools that the steps need; a step names them by their id, under tools", 2),
        tree({"support_equipment": [{"id": name, "name": words} for name, words in draft.tools]}, 2),
        todo("what is used up, with quantity, unit and specification: sealant, cleaner, oil, coolant", 2),
        tree({"supplies": list(draft.supplies)}, 2),
        comment("new parts; a fit step fits them, and single_use is for those that never go back in", 2),
        tree({"spares": spares}, 2),
        todo("the hazards of the whole job, each with its signal word (danger, warning, caution, notice), such as:", 2),
        comment("{caution: Coolant harms the skin., consequence: You can get a rash., avoid: Wear gloves.}", 2),
        comment("hazards of one step stand under hazards: in that step", 2),
        tree({"safety": []}, 2),
    ]
    return "".join(pieces)


def _timers(draft: DraftParts) -> str:
    if not draft.timers and "timers" in draft.examples:
        return "\n" + draft.examples["timers"]
    above = comment("timers that the steps start or wait for: {id: drying, name: drying time, cure: 5 min}")
    return section("timers", (tree([one], 2) for one in draft.timers), "\n" + above)


def _group(group: DraftGroup) -> str:
    made: dict[str, Any] = {"id": group.id, "name": group.name, "size": group.size or TODO}
    made["bolts"] = written_bolts(sorted(group.bolts))
    made |= {key: value for key, value in (("thread", group.thread), ("class", group.grade)) if value}
    made |= {"where": group.where} if group.where else {}
    made |= {"single_use": "yes", "spare": group.spare} if group.new else {}
    return (comment(group.told, 2) if group.told else "") + entry(made, 2, group.decide)


def draft_chapter(name: str, steps: Iterable[str], remarks: Sequence[str] = ()) -> str:
    """Return a chapter of steps, of texts that :func:`step` made."""
    return (
        "".join(todo(text, 2) for text in remarks) + "  - " + tree({"chapter": name}) + "    steps:\n" + "".join(steps)
    )


def step(value: Any, *remarks: str) -> str:
    """Return one step, with what a person must decide about it above."""
    return entry(value, 6, remarks)


def unwritten(what: str, example: str) -> str:
    """Return a step that a person must still write."""
    return comment(f"{what}, such as: {example}", 6) + step({"do": TODO})


_CLOSING = "".join(
    (
        "\n" + todo("keep the closing steps that your machine needs, and write what else must be checked"),
        "closing:\n",
        entry({"do": WRITTEN.drafting.turn_over(), "turns": "yes"}, 2),
        *(entry({"check": question}, 2) for question in WRITTEN.drafting.last_questions()),
    )
)
