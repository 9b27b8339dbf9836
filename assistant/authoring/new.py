"""A new procedure from a few answers: a skeleton with comments, and nothing in it that was not said."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any, TypeVar

from assistant.authoring import examples
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
from assistant.authoring.tables.values import TableTarget
from assistant.authoring.text import TODO, comment, ident
from assistant.authoring.wanted import AmountWanted, BoltsWanted, ReadingsWanted, WaitWanted, Wanted
from assistant.authoring.written import finish_draft, ready
from assistant.bay.refusing import guarded
from assistant.fastening.quantities import Angle, plain
from assistant.fastening.symbols import AMOUNTS
from assistant.faults import Fault
from assistant.language.chosen import WRITTEN
from assistant.procedure.format.values import parse_duration, written_amount, written_duration
from assistant.procedure.model import HazardScheme
from assistant.terminal.exits import Exit

_N = TypeVar("_N", AmountWanted, WaitWanted)

MOST_PERSONS = 99

_SAY = WRITTEN.drafting


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


def run_new(out: Path | None, ask: Callable[[], Wanted], *, force: bool) -> Exit:
    """Write the skeleton of a procedure to ``out`` (or print it).

    ``ask`` is called once it is sure that the file may be written; it returns all answers.
    """

    def work() -> Exit:
        ready(out, force=force)
        return finish_draft(skeleton(ask()), out, force=force)

    return guarded(work)


def skeleton(wanted: Wanted) -> str:
    """Return the text of the skeleton."""
    groups = list(_groups(wanted.bolts))
    name_groups(groups)
    taken = [group.spare for group in groups if group.new]
    parts = []
    for name in wanted.spares:
        parts.append((ident(f"new {name}", taken), name, 1))
        taken.append(parts[-1][0])
    bought = [*parts, *((group.spare, f"new {group.name}", len(group.bolts)) for group in groups if group.new)]
    targets = [target for one in wanted.bolts for target in one.targets]
    tools = [("torque-wrench", "torque wrench")] if any(not isinstance(one, Angle) for one in targets) else []
    tools += [("angle-gauge", "angle gauge")] if any(isinstance(one, Angle) for one in targets) else []
    supplies = [
        {
            "id": name,
            "name": one.name,
            "quantity": plain(one.amount.value),
            "unit": one.amount.unit,
            "specification": TODO,
        }
        for name, one in _named(wanted.amounts)
    ]
    timers = [
        {"id": name, "name": _SAY.time_of(one.name, cools=one.how == "cool"), one.how: one.long}
        for name, one in _named(wanted.waits)
    ]
    second = [] if wanted.head.persons > 1 or not wanted.checks else [{"kind": "second person", "count": "1"}]
    shown = {"timers": examples.SHOW_TIMERS}
    if wanted.head.persons == 1 and not wanted.checks:
        shown["persons"] = examples.SHOW_PERSONS
    about = ["The chapters below are a usual order; take out what you do not need.", examples.HOW_TO_USE]
    chapters = _chapters(wanted, groups, parts)
    # What is counted in litres has a level that can be looked at.
    levels = [_SAY.level_right(one.name) for one in wanted.amounts if AMOUNTS[one.amount.unit][0] == "l"]
    return draft_text(
        DraftParts(wanted.head, about, groups, tools, bought, supplies, timers, second, shown, chapters, levels)
    )


def _chapters(wanted: Wanted, groups: Sequence[DraftGroup], parts: Sequence[tuple[str, str, int]]) -> list[str]:
    safe = [unwritten("what makes the work safe", "Take the negative cable off the battery."), *_waits(wanted, "cool")]
    look = comment("look, or measure with limits such as 0.05 to 0.15 mm", 6) + step({"check": f"{TODO}?"})
    readings = [step(_readings(one)) for one in wanted.readings] or [examples.SHOW_READINGS]
    refit = [*_new(parts), unwritten("put back what came off", "Put the cover on."), *_in(groups, wanted.bolts)]
    refit += [step({"check": one.question} | dict.fromkeys(one.keys, "yes")) for one in wanted.checks] or [
        examples.SHOW_CHECK
    ]
    refit += _waits(wanted, "cure") if wanted.waits else [examples.SHOW_WAIT]
    refit += [
        step({"do": _SAY.fill_in(one.name), "supplies": [name], "amount": written_amount(one.amount)})
        for name, one in _named(wanted.amounts)
    ] or [examples.SHOW_AMOUNT]
    return [
        draft_chapter("Make safe", safe),
        draft_chapter("Strip", [unwritten("take off what is in the way", "Lift off the cover."), *_out(groups)]),
        draft_chapter("Clean and check", [
            unwritten("clean", "Scrape the old gasket off both faces."), look, examples.SHOW_BRANCH, *readings
        ]),
        draft_chapter("Refit", refit),
    ]  # fmt: skip


def _named(ones: Sequence[_N]) -> list[tuple[str, _N]]:
    """Return each with an id made of its name."""
    taken: list[str] = []
    for one in ones:
        taken.append(ident(one.name, taken))
    return list(zip(taken, ones, strict=True))


def _readings(one: ReadingsWanted) -> dict[str, Any]:
    of: Any = [name.strip() for name in one.of.split(",")]
    return {
        "measure": _SAY.measure(one.name),
        "for each": one.each,
        "of": of if len(of) > 1 else one.of,
        "readings": [{"name": name, "limits": limits} for name, limits in one.columns],
    }


def _waits(wanted: Wanted, how: str) -> list[str]:
    """Return the steps of what cures or cools: what begins it, what needs nothing meanwhile, and the wait."""
    made = []
    for name, one in _named(wanted.waits):
        if one.how != how:
            continue
        begin, told = f"{name}-begins", "Press both faces together." if how == "cure" else "Switch the engine off."
        made += [
            comment(f"what begins it, such as: {told}", 6) + step({"id": begin, "do": TODO, "starts": name}),
            comment("what may be done meanwhile, with its minutes, such as: Write the label.", 6)
            + step({"do": TODO, "needs": []}),
            step({"wait": _SAY.let_be(one.name, cools=how == "cool"), "timer": name, "needs": [begin]}),
        ]
    return made


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
    # One example is enough, and none is needed where the answers have passes themselves.
    shows = all(len(targets) == 1 for one in wanted for targets in one.stages)
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
        stages = [_stage(group, targets) for targets in one.stages]
        torques = [str(target) for target in one.targets if not isinstance(target, Angle)]
        shown = examples.passes(group.id, torques[-1], group.bolts[0]) if shows and torques else ""
        shows = shows and not shown
        yield step({"tighten": _SAY.tighten(group.name), "stages": stages}) + shown


def _stage(group: DraftGroup, targets: Sequence[TableTarget]) -> dict[str, Any]:
    passes = [_pass(group, target) for target in targets]
    return {"passes": passes} if len(passes) > 1 else passes[0]


def _pass(group: DraftGroup, target: TableTarget) -> dict[str, Any]:
    angle = isinstance(target, Angle)
    return {
        "angle" if angle else "torque": str(target),
        "tool": "angle-gauge" if angle else "torque-wrench",
        "runs": [{"group": group.id, "bolts": "all"}],
    }
