"""Where each part of a procedure stands in its file, and whether it was read soundly."""

from __future__ import annotations

from collections.abc import Iterator

from assistant.procedure.findings import At, Place
from assistant.procedure.format.tree import ListNode, MapNode, Node, ScalarNode
from assistant.procedure.model import Procedure


class Places:
    """Where each value of the model stands, and whether it was read without a complaint.

    Values are told apart by identity, because two equal steps stand in two places; they are kept here so that no
    identity is used twice.
    """

    def __init__(self) -> None:
        self.lost = False
        """Whether there is a step of which nobody knows what kind it is; sums over all steps mean nothing then."""
        self.references: list[tuple[Place, str, str]] = []
        """Where an id stands that is listed elsewhere, the kind of thing that it refers to, and the id."""
        self.spoken: list[tuple[Place, str, bool]] = []
        """Where a text stands that is spoken, the text, and whether it is a command."""
        self.called: list[tuple[tuple[Place, str], ...]] = []
        """Lists of names and numbers of which one is called aloud, and told from the others: where each stands."""
        self._nodes: dict[int, tuple[object, MapNode, bool]] = {}

    def add(self, value: object, node: MapNode, *, sound: bool) -> None:
        """Note that ``value`` was read from ``node``; ``sound`` when nothing in it was complained about."""
        self._nodes[id(value)] = (value, node, sound)

    def same(self, value: object, of: object) -> None:
        """Note that ``value`` stands where ``of`` stands, and is as sound."""
        known = self._nodes.get(id(of))
        if known is not None:
            self._nodes[id(value)] = (value, known[1], known[2])

    def refer(self, place: Place, kind: str, name: str) -> None:
        """Note that ``name`` at ``place`` refers to a thing of the kind ``kind``."""
        self.references.append((place, kind, name))

    def sound(self, *values: object) -> bool:
        """Return whether all ``values`` were read without a complaint; a rule says nothing about what is not sound."""
        return all(self._nodes[id(value)][2] for value in values if id(value) in self._nodes)

    def of(self, value: object, *path: str | int) -> Place:
        """Return the place of ``value``, or of what stands in it under keys and positions, as far as that is there."""
        known = self._nodes.get(id(value))
        if known is None:
            return At()
        node: Node = known[1]
        for part in path:
            if isinstance(node, MapNode) and isinstance(part, str) and part in node.values:
                node = node.values[part]
            elif isinstance(node, ListNode) and isinstance(part, int) and part < len(node.items):
                node = node.items[part]
            else:
                break
        return node

    def under(self, value: object, key: str) -> Place | None:
        """Return the place of what stands under ``key`` of ``value``; None when the key is not there."""
        known = self._nodes.get(id(value))
        return None if known is None else known[1].values.get(key)

    def texts(self, value: object, but: tuple[str, ...]) -> Iterator[ScalarNode]:
        """Yield every single value in ``value``, in the order of the file, but those of some keys."""
        known = self._nodes.get(id(value))
        if known is not None:
            yield from _scalars(known[1], but)

    def spans(self) -> Iterator[tuple[str, Place, Place]]:
        """Yield the id of every thing that has one, with the places of its beginning and of its last value."""
        for value, node, _ in self._nodes.values():
            name = getattr(value, "id", "")
            if isinstance(name, str) and name and not isinstance(value, Procedure):
                yield name, node, _last(node)


def _scalars(node: Node, but: tuple[str, ...]) -> Iterator[ScalarNode]:
    if isinstance(node, ScalarNode):
        yield node
    inside = node.items if isinstance(node, ListNode) else ()
    if isinstance(node, MapNode):
        inside = [value for key, value in node.values.items() if key not in but]
    for one in inside:
        yield from _scalars(one, but)


def _last(node: Node) -> Node:
    """Return the node that stands last in ``node``."""
    inside = (
        node.items if isinstance(node, ListNode) else list(node.values.values()) if isinstance(node, MapNode) else []
    )
    return max(map(_last, inside), key=lambda one: (one.line, one.column), default=node)
