"""From the list of the box of a bay, a CSV file, to the shims in it, or to one sentence that says what to mend.

``docs/using.md`` has the columns. The list is taken as it was written or not at all: nothing in it is guessed.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Mapping

from assistant.advice.thickness import GRAINS, length_grains
from assistant.facts import Quantity
from assistant.facts.packs import BoxShims
from assistant.fastening.quantities import LengthUnit
from assistant.fastening.units import parse_length
from assistant.faults import Fault, quoted

_COLUMNS = ("size", "count", "kind")
_HINT = "its first line names the columns size and, if need be, count and kind; a size is written as 2.45 mm"
_KIND = re.compile(r"[A-Za-z][A-Za-z' -]{0,29}|")
_MOST_LINES = 2000
_MOST_COUNT = 999
_THICKEST = 2 * GRAINS[LengthUnit.INCH]


def read_box(data: bytes, name: str) -> tuple[BoxShims, ...] | Fault:
    """Return what is in the box by the list ``data`` of the file ``name``, or what is wrong first."""
    try:
        text = data.decode("utf-8-sig")
        parter = ";" if text.partition("\n")[0].count(";") else ","
        reader = csv.DictReader(io.StringIO(text, newline=""), delimiter=parter, strict=True)
        lines = [(reader.line_num, line) for line in reader]
        heads = [str(head).strip().lower() for head in reader.fieldnames or ()]
    except (UnicodeDecodeError, csv.Error):
        return Fault(f"{name} is no list of a box of shims", _HINT)
    if "size" not in heads or len(heads) != len(set(heads)):
        return Fault(f"{name} is no list of a box of shims", _HINT)
    strange = next((head for head in heads if head not in _COLUMNS), None)
    if strange is not None:
        return Fault(f"{name} has a column {quoted(strange)} that a box has not", _HINT)
    if len(lines) > _MOST_LINES:
        return Fault(f"{name} has {len(lines)} lines", f"the most is {_MOST_LINES}")
    found: dict[tuple[str, int], BoxShims] = {}
    for number, line in lines:
        at = f"Line {number} of {name}"
        shims = _line(line, at)
        if isinstance(shims, Fault):
            return shims
        size, one = shims
        if (one.kind.lower(), size) in found:
            return Fault(f"{at} has {quoted(line.get('size') or '')} again", "write its count in one line")
        found[one.kind.lower(), size] = one
    return tuple(one for one in found.values() if one.count)


def _line(line: Mapping[str, object], at: str) -> tuple[int, BoxShims] | Fault:
    if any(value is not None and not isinstance(value, str) for value in line.values()) or None in line.values():
        return Fault(f"{at} has not as many cells as there are columns", "write one cell for each column")
    cells = {str(head).strip().lower(): " ".join(str(value).split()) for head, value in line.items()}
    size, kind = parse_length(cells["size"]), cells.get("kind", "")
    if isinstance(size, Fault):
        return Fault(f"{at}: {quoted(cells['size'])} is no thickness", "write it with its unit, as 2.45 mm")
    grains = length_grains(size)
    if isinstance(grains, Fault):
        return Fault(f"{at}: {grains.reason}", grains.advice)
    if not 0 < grains <= _THICKEST:
        return Fault(f"{at}: no shim is {quoted(cells['size'])} thick", "look at the number and at the unit")
    count = cells.get("count", "") or "1"
    if re.fullmatch(r"\d{1,3}", count, re.ASCII) is None or int(count) > _MOST_COUNT:
        return Fault(f"{at}: {quoted(count)} is no number of shims", f"write a whole number up to {_MOST_COUNT}")
    if _KIND.fullmatch(kind) is None:
        return Fault(
            f"{at}: {quoted(kind)} is no kind of shims", "write a word or two in letters, as the procedure does"
        )
    return grains, BoxShims(kind, Quantity(size.value, size.unit.value), int(count))
