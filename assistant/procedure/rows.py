"""What is repeated: the rows of a block or of a table, and the columns of a table. Plain values."""

from __future__ import annotations

import re
from dataclasses import dataclass

from assistant.advice.thickness import Thicknesses
from assistant.facts.codes import TakenWhen
from assistant.fastening.quantities import Length
from assistant.procedure.model import Limits

_APART = re.compile(r"[^a-z0-9]+")


def slug(name: str) -> str:
    """Return a name as a part of an id.

    >>> slug("Front left"), slug("2")
    ('front-left', '2')
    """
    return _APART.sub("-", name.lower()).strip("-")


@dataclass(frozen=True, slots=True)
class BlockRow:
    """One of what is repeated, such as a cylinder or a wheel: its number in digits, or its name as it is spoken."""

    name: str

    @property
    def id(self) -> str:
        """Return what facts call it."""
        return slug(self.name)

    @property
    def number(self) -> int | None:
        """Return its number; None where it has a name."""
        return int(self.name) if self.name.isdigit() else None


@dataclass(frozen=True, slots=True)
class ShimStock:
    """The shims that can be had: their ``sizes``, those in the ``box``, and the uncertainty of the ``gauge``.

    ``shim_gauge`` is the uncertainty of the thickness of each, ``kind`` how the list of the bay's box calls them.
    """

    sizes: Thicknesses
    box: Thicknesses | None = None
    gauge: Length | None = None
    shim_gauge: Length | None = None
    kind: str = ""


@dataclass(frozen=True, slots=True)
class TableColumn:
    """One reading of each row: its name as it is spoken, the limits of its value, and whether it is found or left.

    ``shim_for`` is the name of the clearance that the shim read off here sets; "" for any other reading.
    """

    name: str
    limits: Limits
    when: TakenWhen | None = None
    shim_for: str = ""

    @property
    def id(self) -> str:
        """Return what facts call it."""
        return slug(self.name) if self.when is None else f"{slug(self.name)}-{self.when.value}"
