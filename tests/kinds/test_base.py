"""The base code of a room names no kind of step: neither its class, nor its module, nor a state that it brings."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

import assistant
from assistant.procedure.kinds import KINDS
from assistant.session import kinds, table  # noqa: F401 (the kinds make their parts known)
from assistant.session.intents import BY_NAME
from assistant.session.part import SESSION

PROGRAM = Path(assistant.__file__).parent
TIGHTENING = {
    "chunks", "turning", "deciding/measuring", "deciding/reaching", "deciding/tightening", "telling/bolts",
    "telling/bolt_values", "telling/bolts_to_come", "telling/lasting", "telling/presenting", "telling/questions_bolts",
    "telling/readings", "telling/stage_again", "telling/stage_openings", "telling/stages", "stage_at",
    "telling/taking_bolts_back", "judging", "deciding/judging", "telling/judging",
    "joint_allows", "deciding/retightening", "telling/retightening",
}  # fmt: skip
"""What the largest kind has in the session beside its home."""
TROUBLES = {"troubles", "deciding/troubles", "telling/dropped", "telling/troubles"}
"""What is done about bolts that broke or are lost, whatever the step is at which that is said."""
HOMES = {
    "session": {
        *TIGHTENING,
        *TROUBLES,
        "cells",
        "packs",
        "found_packs",
        "shim_box",
        "shims",
        "valves",
        "evolving/kinds",
        "fitted",
        "kinds",
        "tools",
    },
    "display": {"tightening", "bolts", "table"},
    "report": {"record/kinds", "sheet/kinds"},
    "procedure": {"steps", "rules/kinds", "programme_text"},
    "drawing": {"bolt_map", "words"},
    "authoring": {"refit", "tables", "drafted_stages"},
    "bay": {"tool_facts"},
    "cli": {"printing/programme"},
    "desk": set(),
    "hearing": set(),
    "journal": set(),
    "rehearsal": set(),
    "terminal": set(),
}
"""By room, the modules and packages that know a kind of step; all others are base code."""
KIND_HOMES = [kind.__module__.rpartition(".")[2] for kind in KINDS.parts(SESSION)]
"""The modules of the kinds: they have the same name in each room."""
MODULES = {
    "session": 30,
    "display": 8,
    "report": 25,
    "procedure": 30,
    "cli": 25,
    "bay": 15,
    "authoring": 15,
    "journal": 15,
}
"""So many modules of base code there are at least in each room: else this test looks in the wrong place."""


def base(room: str) -> dict[str, ast.Module]:
    """Return every module of ``room`` that is no home of a kind: its name, and what stands in it."""
    found = {}
    for path in sorted((PROGRAM / room).rglob("*.py")):
        name = path.relative_to(PROGRAM / room).with_suffix("").as_posix()
        above = {name, *(parent.as_posix() for parent in Path(name).parents)}
        if not above & HOMES[room]:
            found[name] = ast.parse(path.read_text(encoding="utf-8"))
    assert len(found) >= MODULES.get(room, 3)
    return found


def imported(tree: ast.Module) -> set[str]:
    """Return the full names of all that is imported."""
    froms = [one for one in ast.walk(tree) if isinstance(one, ast.ImportFrom)]
    return {f"{one.module}.{alias.name}" for one in froms for alias in one.names}


@pytest.mark.parametrize("room", HOMES)
def test_it_imports_no_class_of_steps_and_no_home_of_a_kind(room: str) -> None:
    homes = (
        "assistant.procedure.steps.",
        "assistant.facts.kinds.",
        *(f"assistant.session.kinds.{name}" for name in KIND_HOMES),
    )
    named = {
        name: sorted(
            one
            for one in imported(tree)
            if one.startswith(("assistant.procedure.steps.", "assistant.facts.kinds.", *homes))
        )
        for name, tree in base(room).items()
    }
    assert {name: found for name, found in named.items() if found} == {}


@pytest.mark.parametrize("room", HOMES)
def test_it_names_no_state_of_a_kind(room: str) -> None:
    brought = {row.name for part in KINDS.parts(SESSION).values() for row in part.rows} - set(BY_NAME)
    assert brought < set(table.all_rows())
    assert len(brought) > 5
    named = {
        name: sorted(brought & {one.value for one in ast.walk(tree) if isinstance(one, ast.Constant)})
        for name, tree in base(room).items()
    }
    assert {name: found for name, found in named.items() if found} == {}


def told_apart(tree: ast.Module) -> list[str]:
    """Return the constants with which a module compares the state that a job is in."""
    found = []
    for node in ast.walk(tree):
        if isinstance(node, ast.Compare):
            sides = [node.left, *node.comparators]
        elif isinstance(node, ast.Match):
            sides = [node.subject, *(case.pattern for case in node.cases)]
        else:
            continue
        if any(is_state(side) for side in sides):
            found += [one.value for side in sides for one in ast.walk(side) if isinstance(one, ast.Constant)]
    return sorted({one for one in found if isinstance(one, str)} - {"phase"})


def is_state(node: ast.AST) -> bool:
    """Return whether an expression is the state of a job, or of a view of it."""
    match node:
        case ast.Attribute(attr="phase" | "base") | ast.Subscript(slice=ast.Constant(value="phase" | "base")):
            return True
    return False


def test_nothing_asks_in_which_state_a_job_is_by_its_name() -> None:
    """What belongs to a state stands in its row; the homes of a kind name their own states by its list of them."""
    assert told_apart(ast.parse("if here.phase == 'paused': pass")) == ["paused"]
    assert told_apart(ast.parse("match view['phase']:\n    case 'turned': pass")) == ["turned"]
    modules = {path: told_apart(ast.parse(path.read_text("utf-8"))) for path in sorted(PROGRAM.rglob("*.py"))}
    assert {path.name: found for path, found in modules.items() if found} == {}
