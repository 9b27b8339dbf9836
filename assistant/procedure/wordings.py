"""The workshop's own texts for its papers, as plain values: a letterhead, and for each kind of paper one below it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from enum import StrEnum

OWN_TEXT_HEADING = "The workshop's own text"
"""What stands above such a text on each paper, so that nobody takes it for the program's."""
LETTERHEAD = "letterhead"
"""The section for what stands above every paper."""


class OwnPaper(StrEnum):
    """The papers on which a workshop has a text of its own, by the names of their sections."""

    QUOTE = "quote"
    ORDER = "order"
    INVOICE = "invoice"
    CUSTOMER = "customer"
    RECORD = "record"
    SHEET = "sheet"


SECTIONS = (LETTERHEAD, *(paper.value for paper in OwnPaper))
"""All sections of a file, in the order in which the docs have them."""


@dataclass(frozen=True, slots=True)
class OwnText:
    """What of the workshop's own stands on one paper.

    ``letterhead`` has its lines, the name first; ``lines`` are those of the text below, where an empty one parts
    paragraphs. Without both it is false.
    """

    letterhead: tuple[str, ...] = ()
    lines: tuple[str, ...] = ()

    def __bool__(self) -> bool:
        """Return whether there is anything to show."""
        return bool(self.letterhead or self.lines)

    @property
    def paragraphs(self) -> Sequence[Sequence[str]]:
        """The lines of each paragraph of the text below."""
        found: list[list[str]] = [[]]
        for line in self.lines:
            if line:
                found[-1].append(line)
            else:
                found.append([])
        return [one for one in found if one]


NO_TEXT = OwnText()


@dataclass(frozen=True, slots=True)
class Wordings:
    """All texts of one file: the lines of its letterhead, and those of each paper that has any."""

    letterhead: tuple[str, ...] = ()
    texts: Mapping[OwnPaper, tuple[str, ...]] = field(default_factory=dict)

    def on(self, paper: OwnPaper) -> OwnText:
        """Return what stands on ``paper``."""
        return OwnText(self.letterhead, self.texts.get(paper, ()))


NO_WORDINGS = Wordings()


def written_text(own: OwnText, paper: OwnPaper) -> str:
    """Return ``own``, which stands on ``paper``, as a file of wordings has it: read again it is the same."""
    parts = ((LETTERHEAD, own.letterhead), (paper.value, own.lines))
    return "".join(f"[{name}]\n" + "".join(f"{line}\n" for line in lines) for name, lines in parts if lines)
