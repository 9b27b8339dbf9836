"""Measures the code itself: how large each room is, which rooms know which, and what grew too large.

A line is a line of a Python file, comments and empty ones too. An arrow goes from one room to another that it imports,
in as many places as it may; imports for types alone count as well. A circle is a set of rooms, or of modules, each of
which leads to each other by imports. The arrows are those of grimp, which import-linter uses.
"""

from __future__ import annotations

import ast
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path

import grimp

from tests.bench.figures import Figure, Tell

PACKAGE = Path(__file__).parents[2] / "assistant"
MOST_LINES = 400
"""No module is longer."""
BAY_LINES = 2200
"""What builds and runs one bay, and nothing else."""

Arrows = Mapping[str, set[str]]


def figures(tell: Tell) -> list[Figure]:
    """Return the figures of the code."""
    tell("reading the code")
    lines = lines_of_modules()
    rooms = lines_of_rooms(lines)
    arrows = arrows_of_modules()
    between = by_room(arrows)
    over = sorted(name for name, count in lines.items() if count > MOST_LINES)
    twice = defined_twice()
    longest = max(lines, key=lambda name: lines[name])
    return [
        *(Figure(f"Lines of {room}", count, "lines", _limit(room)) for room, count in sorted(rooms.items())),
        Figure("Lines in all", sum(rooms.values()), "lines", None, f"{len(lines)} modules"),
        Figure("Arrows between rooms", sum(map(len, between.values())), "arrows", None, f"of {len(between)} rooms"),
        Figure("Arrows between modules", sum(map(len, arrows.values())), "arrows"),
        Figure("Circles of rooms", len(circles(between)), "circles", 1, _named(circles(between))),
        Figure("Circles of modules", len(circles(arrows)), "circles", 1, _named(circles(arrows))),
        Figure(f"Modules of more than {MOST_LINES} lines", len(over), "modules", 1, ", ".join(over)),
        Figure("Lines of the longest module", lines[longest], "lines", MOST_LINES + 1, longest),
        Figure("Public names that are defined twice", len(twice), "names", 1, ", ".join(twice)),
    ]


def _limit(room: str) -> int | None:
    return BAY_LINES + 1 if room == "bay" else None


def _named(found: Iterable[tuple[str, ...]]) -> str:
    return "; ".join(" - ".join(circle) for circle in found)


def lines_of_modules(package: Path = PACKAGE) -> dict[str, int]:
    """Return how many lines each module of ``package`` has, by its path below it."""
    return {
        path.relative_to(package).as_posix(): len(path.read_text("utf-8").splitlines())
        for path in sorted(package.rglob("*.py"))
    }


def lines_of_rooms(modules: Mapping[str, int]) -> Counter[str]:
    """Return how many lines each room has; the small modules beside the rooms are one together, "(top)"."""
    counted: Counter[str] = Counter()
    for name, count in modules.items():
        room, inside, _ = name.partition("/")
        counted[room if inside else "(top)"] += count
    return counted


def arrows_of_modules(package: str = "assistant") -> dict[str, set[str]]:
    """Return which modules of ``package`` each of its modules imports; it must be on the path."""
    graph = grimp.build_graph(package, cache_dir=None)
    return {module: set(graph.find_modules_directly_imported_by(module)) for module in sorted(graph.modules)}


def by_room(arrows: Arrows) -> dict[str, set[str]]:
    """Return ``arrows`` between rooms: what stands right below the package."""
    rooms: dict[str, set[str]] = {}
    for module, imported in arrows.items():
        if "." in module:
            room = _room(module)
            rooms.setdefault(room, set()).update({_room(one) for one in imported if "." in one} - {room})
    return rooms


def _room(module: str) -> str:
    return module.split(".")[1]


def circles(arrows: Arrows) -> list[tuple[str, ...]]:
    """Return the sets of more than one whose members all lead to each other (Tarjan, 1972, from memory)."""
    number: dict[str, int] = {}
    lowest: dict[str, int] = {}
    path: list[str] = []
    found: list[tuple[str, ...]] = []

    def visit(name: str) -> None:
        number[name] = lowest[name] = len(number)
        path.append(name)
        for other in sorted(arrows.get(name, ())):
            if other not in number:
                visit(other)
            if other in path:
                lowest[name] = min(lowest[name], lowest[other])
        if lowest[name] == number[name]:
            at = path.index(name)
            circle = tuple(sorted(path[at:]))
            del path[at:]
            if len(circle) > 1:
                found.append(circle)

    for name in arrows:
        if name not in number:
            visit(name)
    return found


def defined_twice(package: Path = PACKAGE) -> dict[str, list[str]]:
    """Return the public classes, functions and constants that several modules define, and their paths."""
    found: dict[str, list[str]] = {}
    for path in sorted(package.rglob("*.py")):
        tree = ast.parse(path.read_text("utf-8"))
        for name in sorted({name for node in tree.body for name in _defined(node) if not name.startswith("_")}):
            found.setdefault(name, []).append(path.relative_to(package).as_posix())
    return {name: paths for name, paths in sorted(found.items()) if len(paths) > 1}


def _defined(node: ast.stmt) -> Iterator[str]:
    match node:
        case ast.ClassDef() | ast.FunctionDef() | ast.AsyncFunctionDef():
            yield node.name
        case ast.Assign(targets=targets):
            yield from (one.id for target in targets for one in ast.walk(target) if isinstance(one, ast.Name))
        case ast.AnnAssign(target=ast.Name(id=name)):
            yield name
