"""What can be asked about tables of readings, anywhere in the job: the readings of a row, or of one place, by name."""

from __future__ import annotations

from collections.abc import Mapping

from assistant.facts.codes import Side
from assistant.facts.inputs import UnderstoodOf
from assistant.fastening.chunks import MOST_THINGS
from assistant.language.port import Language
from assistant.language.topics.tables import Called
from assistant.procedure.steps.measure import MeasureStep
from assistant.session import cells
from assistant.session.here import Here
from assistant.session.kinds.measure_words import cell_called
from assistant.session.named import add_names
from assistant.session.state import CellValue
from assistant.session.telling.core import Telling
from assistant.session.telling.questions import add_answer


def _names(here: Here, language: Language) -> Mapping[str, str]:
    """Return ids of row and column ("" for all columns) of the job's tables by what is spoken for them."""
    found: dict[str, str] = {}
    for step in here.job.steps_of(MeasureStep):
        for row, column in step.cells():
            for name in language.tables.cell_names(cell_called(step, (row, column))):
                found.setdefault(name, f"{row.id}/{column.id}")
            found.setdefault(language.tables.cell_names(Called(row.name, "", step.each))[0], f"{row.id}/")
    return found


def _readings(t: Telling) -> list[str]:
    """Say what was read off there: the last four readings of all tables, those that count now at the end."""
    given = t.facts[0]
    row, _, column = (given.name if isinstance(given, UnderstoodOf) else "").partition("/")
    read = list(cells.readings_at(t, row, column))[-MOST_THINGS:]
    if not read:
        return [t.language.questions.not_read_yet()]
    return [
        words
        for step, spot, value in read
        for words in (t.language.tables.next_cell(cell_called(step, spot), whole=True), _said(t, value))
    ]


def _said(t: Telling, value: CellValue) -> str:
    if value.side is Side.WITHIN:
        return t.language.tables.value(value.reading.value)
    return t.language.tables.value_off(value.reading.value, below=value.side is Side.BELOW)


def last_cell(t: Telling, step: MeasureStep) -> list[str]:
    """Say at which place of the table the last reading was."""
    last = t.state.last_reading
    if last is None or last.cell is None:
        return []
    spot = next((spot for spot in step.cells() if (spot[0].id, spot[1].id) == last.cell), None)
    return [] if spot is None else [t.language.tables.next_cell(cell_called(step, spot), whole=True)]


add_names("reading_of", _names)
add_answer("reading_of", _readings)
