"""Tables of readings: names as short as can be, since twelve readings follow one another."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

from assistant.fastening.chunks import MOST_THINGS
from assistant.language.en.numbers import digit_words, heard_words, number_words, sounds_alike
from assistant.language.en.units import bolts_words
from assistant.language.en.words import plural, sentence, step_name
from assistant.language.topics.tables import Called
from assistant.language.values import StepAt

_WHEN = {"found": "as found", "left": "as left"}


def next_cell(cell: Called, *, whole: bool) -> str:
    return sentence(", ".join(_parts(cell, whole=whole)))


def _parts(cell: Called, *, whole: bool = False) -> list[str]:
    row = number_words(int(cell.row)) if cell.row.isdigit() else cell.row
    if whole and cell.row.isdigit():
        row = f"{cell.each} {row}"
    return [part for part in (row, cell.column, _WHEN.get(cell.when, "")) if part]


def cell_names(cell: Called) -> list[str]:
    number = cell.row.isdigit()
    row = heard_words(int(cell.row)) if number else cell.row
    rest = " ".join(part for part in (cell.column, _WHEN.get(cell.when, "")) if part)
    rows = [f"{cell.each} {row}", row] if number else [row]
    return [" ".join(f"{one} {rest}".lower().replace("-", " ").split()) for one in rows]


def _bare(value: Decimal) -> str:
    words = number_words(value)
    return words.removeprefix("zero ") if words.startswith("zero point") else words


def value(value: Decimal) -> str:
    said = _bare(value)
    return sentence(f"{said}: {digit_words(value)}" if sounds_alike(value) else said)


def value_off(value: Decimal, *, below: bool) -> str:
    said = f"{_bare(value)}: {digit_words(value)}" if sounds_alike(value) else _bare(value)
    return sentence(f"{said}, {'below' if below else 'above'}")


def far(value: Decimal) -> list[str]:
    said = f"{number_words(value)}: {digit_words(value)}" if sounds_alike(value) else number_words(value)
    return [f"You read {said}.", "That is far from the limits.", "Read again, or say confirmed."]


def all_within(number: int, left_out: int) -> str:
    if left_out:
        return f"{sentence(plural(left_out, 'reading', 'readings'))[:-1]} left out, the others within limits."
    return "Within limits." if number == 1 else f"All {number_words(number)} within limits."


def cells_outside(cells: Sequence[tuple[Called, Decimal]], of: int, *, first: int = 0) -> list[str]:
    head = [sentence(f"{number_words(of)} out of limits")] if not first else []
    told = [sentence(f"{' '.join(_parts(one))}, {_bare(value)}") for one, value in cells[first : first + MOST_THINGS]]
    more = len(cells) - first - MOST_THINGS
    return [*head, *told, *([f"And {number_words(more)} more: say tell me more."] if more > 0 and not first else [])]


def skip_cell(cell: Called) -> str:
    return f"Leave out the reading {' '.join(_parts(cell, whole=True))}"


def cell_was_read(cell: Called, value: Decimal) -> str:
    return f"{' '.join(_parts(cell, whole=True))}, {_bare(value)}"


def cell_was_left_out(cell: Called) -> str:
    return f"{' '.join(_parts(cell, whole=True))}, left out"


def accept(number: int) -> str:
    return f"Accept {plural(number, 'reading', 'readings')} out of limits"


def are_off(number: int) -> str:
    return sentence(f"{plural(number, 'reading is', 'readings are')} out of limits")


def readings_left(number: int) -> str:
    return sentence(f"{plural(number, 'reading', 'readings')} to do")


def open_off(number: int, step: StepAt) -> str:
    return f"{plural(number, 'reading', 'readings')} out of limits in {step_name(step)}"


def open_cells_out(number: int, step: StepAt) -> str:
    return f"{plural(number, 'reading', 'readings')} left out in {step_name(step)}"


def bolts_too_long(bolts: Sequence[int]) -> str:
    return f"{_bolts_are(bolts)} too long. Put in {_new(bolts)}."


def bolts_close(bolts: Sequence[int]) -> str:
    return f"{_bolts_are(bolts)} too close to the limit to tell. Measure again, or put in {_new(bolts)}."


def _bolts_are(bolts: Sequence[int]) -> str:
    return f"{sentence(bolts_words(bolts))[:-1]} {'is' if len(bolts) == 1 else 'are'}"


def _new(bolts: Sequence[int]) -> str:
    return "a new one" if len(bolts) == 1 else "new ones"
