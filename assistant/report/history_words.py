"""The words behind the ids of a history, from the jobs' own copies: titles of procedures, texts of steps. Pure."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from assistant.facts.inputs import Opened
from assistant.procedure.format.reader import read_kept

MOST_OF_WORK = 48
"""So much of a step's text stands in a table; common practice, no source."""


@dataclass(slots=True)
class Words:
    """Titles by the id of a procedure, texts by the ids of a procedure and a step of it."""

    titles: dict[str, str] = field(default_factory=dict)
    steps: dict[tuple[str, str], str] = field(default_factory=dict)

    def title(self, procedure: str) -> str:
        """Return the title of a procedure; its id where none is known."""
        return self.titles.get(procedure) or procedure

    def what(self, procedure: str, what: str) -> str:
        """Return ``what``, which begins with the id of a step (``step: stop``), with the step's words instead.

        >>> Words(steps={("p", "lid"): "Take the lid off."}).what("p", "lid: pause")
        'Take the lid off: pause'
        """
        step, colon, rest = what.partition(": ")
        words = self.steps.get((procedure, step), step)
        return f"{shortened(words.rstrip('.') if colon else words)}{colon}{rest}"


def shortened(text: str) -> str:
    """Return ``text`` in at most MOST_OF_WORK letters, shortened behind a whole word.

    >>> shortened("Undo the four bolts of the lid crosswise, the two at the ends last.")
    'Undo the four bolts of the lid crosswise, the …'
    """
    if len(text) <= MOST_OF_WORK:
        return text
    return f"{text[: MOST_OF_WORK - 1].rpartition(' ')[0] or text[: MOST_OF_WORK - 2]} …"


def work_words(openings: Iterable[Opened]) -> Words:
    """Return the words of the procedures in ``openings``, the oldest first: what is newer counts."""
    found = Words()
    for opened in openings:
        if opened.title:
            found.titles[opened.procedure_id] = opened.title
        procedure = read_kept(opened.procedure_yaml.encode(), opened.procedure_file).procedure
        for step in procedure.every_step if procedure else ():
            found.steps[opened.procedure_id, step.id] = step.text
    return found
