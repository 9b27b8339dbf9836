"""A new procedure from a few answers: a skeleton with comments, and nothing in it that was not said."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from assistant.authoring.skeleton import (
    DraftGroup,
    DraftHead,
    DraftParts,
    draft_chapter,
    draft_text,
    name_groups,
    step,
    unwritten,
)
from assistant.authoring.tables.values import NO_VALUE, Size, TableTarget, parse_bolt_size, parse_targets
from assistant.authoring.text import TODO, comment, ident
from assistant.authoring.written import finish_draft, ready
from assistant.bay.job import guarded
from assistant.fastening.quantities import Angle
from assistant.faults import Fault
from assistant.language.chosen import WRITTEN
from assistant.procedure.format.values import MOST_BOLTS, parse_duration, written_duration
from assistant.procedure.model import HazardScheme
from assistant.terminal.exits import Exit, Refusal

MOST_PERSONS = 99

_SAY = WRITTEN.drafting


@dataclass(frozen=True, slots=True)
class BoltsWanted:
    """A group that the person named, with its targets in their order, and whether new ones are fitted."""

    name: str
    size: Size
    count: int
    targets: tuple[TableTarget, ...]
    new: bool


def parse_bolts_wanted(text: str) -> BoltsWanted | Fault:
    """Read the answer about one group: name; size; count; stages; and "new" when new ones are fitted.

    >>> parse_bolts_wanted("cover bolts; M8; 4; 5 Nm, 16 Nm, 45°").count
    4
    >>> parse_bolts_wanted("cover bolts; M8; four").sentence
    'The third entry "four" is not a number of bolts: write one from 1 to 99'
    """
    entries = [entry.strip() for entry in text.split(";")]
    new = entries[-1].lower() == "new"
    entries = entries[:-1] if new else entries
    if not 3 <= len(entries) <= 4 or not entries[0]:
        return Fault(
            "There are not three or four entries",
            "write name; size; count; stages, such as cover bolts; M8; 4; 5 Nm, 16 Nm, 45°",
        )
    size = Size("") if entries[1] in NO_VALUE else parse_bolt_size(entries[1])
    if isinstance(size, Fault):
        return size
    if not (entries[2].isascii() and entries[2].isdecimal() and 1 <= int(entries[2][:4]) <= MOST_BOLTS):
        return Fault(
            f'The third entry "{entries[2][:40]}" is not a number of bolts', f"write one from 1 to {MOST_BOLTS}"
        )
    stages = entries[3] if len(entries) == 4 else ""
    targets = () if stages in NO_VALUE else parse_targets(stages, None)
    return targets if isinstance(targets, Fault) else BoltsWanted(entries[0], size, int(entries[2]), targets, new)


def draft_head(answers: Mapping[str, Any]) -> DraftHead | Fault:
    """Make the head of the answers: texts by the names of its fields; an empty one leaves the thing open."""
    said = {key: " ".join(str(value).split()) for key, value in answers.items()}
    if said["scheme"].lower() not in tuple(HazardScheme):
        return Fault(f'"{said["scheme"][:40]}" is not a scheme of signal words', "write ansi or s1000d")
    persons = said["persons"]
    if not (persons.isascii() and persons.isdecimal() and 1 <= int(persons[:4]) <= MOST_PERSONS):
        return Fault(f'"{said["persons"][:40]}" is not a number of mechanics', f"write one from 1 to {MOST_PERSONS}")
    book_time = parse_book_time(said["book_time"])
    if isinstance(book_time, Fault):
        return book_time
    return DraftHead(
        said["title"], said["machine"], said["source"], said["revision"], said["scheme"].lower(), book_time,
        int(said["persons"]),
    )  # fmt: skip


def parse_book_time(text: str) -> str | Fault:
    """Read how long the whole job takes, as it will stand in the file; "" when nobody knows it yet."""
    plain = text.strip().replace(",", ".")
    seconds = parse_duration(plain) if plain else 0
    return seconds if isinstance(seconds, Fault) else written_duration(seconds)


def run_new(
    out: Path | None, ask: Callable[[], tuple[DraftHead, Sequence[BoltsWanted], Sequence[str]]], *, force: bool
) -> Exit:
    """Write the skeleton of a procedure to ``out`` (or print it).

    ``ask`` is called once it is sure that the file may be written; it returns the head, the groups of bolts and the
    names of other parts that are fitted new.
    """

    def work() -> Exit:
        ready(out, force=force)
        head, bolts, spares = ask()
        return finish_draft(skeleton(head, bolts, spares), out, force=force)

    return guarded(work)


def or_refuse(value: Any) -> Any:
    """Return ``value``.

    Raises:
        Refusal: it is a fault.
    """
    if isinstance(value, Fault):
        raise Refusal(f"{value.sentence}.", Exit.USAGE)
    return value


def skeleton(head: DraftHead, wanted: Sequence[BoltsWanted], spares: Sequence[str]) -> str:
    """Return the text of the skeleton."""
    groups = list(_groups(wanted))
    name_groups(groups)
    taken = [group.spare for group in groups if group.new]
    parts = []
    for name in spares:
        parts.append((ident(f"new {name}", taken), name, 1))
        taken.append(parts[-1][0])
    bought = [*parts, *((group.spare, f"new {group.name}", len(group.bolts)) for group in groups if group.new)]
    targets = [target for one in wanted for target in one.targets]
    tools = [("torque-wrench", "torque wrench")] if any(not isinstance(one, Angle) for one in targets) else []
    tools += [("angle-gauge", "angle gauge")] if any(isinstance(one, Angle) for one in targets) else []
    about = ["The chapters below are a usual order; take out what you do not need."]
    refit = [*_new(parts), unwritten("put back what came off", "Put the cover on."), *_in(groups, wanted)]
    look = comment("look, or measure with limits such as 0.05 to 0.15 mm", 6) + step({"check": f"{TODO}?"})
    texts = [
        draft_chapter("Make safe", [unwritten("what makes the work safe", "Take the negative cable off the battery.")]),
        draft_chapter("Strip", [unwritten("take off what is in the way", "Lift off the cover."), *_out(groups)]),
        draft_chapter("Clean and check", [unwritten("clean", "Scrape the old gasket off both faces."), look]),
        draft_chapter("Refit", refit),
    ]
    return draft_text(DraftParts(head, about, groups, tools, bought, texts))


def _groups(wanted: Sequence[BoltsWanted]) -> Iterator[DraftGroup]:
    """Make the groups, with their bolts numbered right through."""
    first = 1
    for one in wanted:
        bolts = tuple(range(first, first + one.count))
        first += one.count
        decide = ["check the numbers with the bolt map, and say where these bolts are"]
        if one.count > 1 and one.targets:
            decide.append("put the bolts of each run into their order of tightening")
        if not one.size.words:
            decide.append("their size in words, as it is spoken")
        yield DraftGroup(one.name, one.size.words, bolts, one.size.thread, new=one.new, decide=tuple(decide))


def _out(groups: Sequence[DraftGroup]) -> Iterator[str]:
    for group in groups:
        made = {"count": _SAY.count_out(group.name), "out": group.id}
        yield step(made | {"place": _SAY.laid_down(again=not group.new)}, "where they are put down")


def _new(spares: Sequence[tuple[str, str, int]]) -> Iterator[str]:
    for name, words, _ in spares:
        yield step({"fit": _SAY.fit_new(words, 1), "spare": name})


def _in(groups: Sequence[DraftGroup], wanted: Sequence[BoltsWanted]) -> Iterator[str]:
    for group, one in zip(groups, wanted, strict=True):
        if group.new:
            fit = {"fit": _SAY.fit_bolts(group.name), "spare": group.spare}
            yield step(fit | ({"quantity": str(one.count)} if one.count > 1 else {}))
        else:
            yield step({"count": _SAY.count_in(group.name), "in": group.id})
        if not one.targets:
            what = f"tighten the {group.name}: a tighten step with its stages, each with its unit"
            yield comment(what, 6) + step({"do": TODO})
            continue
        stages = [_stage(group, target) for target in one.targets]
        yield step({"tighten": _SAY.tighten(group.name), "stages": stages})


def _stage(group: DraftGroup, target: TableTarget) -> dict[str, Any]:
    angle = isinstance(target, Angle)
    return {
        "angle" if angle else "torque": str(target),
        "tool": "angle-gauge" if angle else "torque-wrench",
        "runs": [{"group": group.id, "bolts": "all"}],
    }
