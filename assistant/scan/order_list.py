"""From the list of orders of a workshop, a CSV file, to its orders, or to one sentence that says what to mend.

``docs/scan.md`` has the columns. The list is taken as it was written or not at all: nothing in it is guessed.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping
from dataclasses import dataclass

from assistant.faults import Fault, quoted

ORDER_COLUMNS = ("order", "machine", "customer", "procedure")
ORDERS_BYTES = 2_000_000
_MUST = ("order",)
_HINT = f"its first line names the columns {', '.join(ORDER_COLUMNS)}"
_PARTERS = (";", "\t", ",")
_MOST_LINES = 20_000
_LONGEST = 120


@dataclass(frozen=True, slots=True)
class WorkOrder:
    """One order: its number, the machine, the customer, and the file name of the procedure; "" for what is not known.

    ``line`` is where it stands in the list.
    """

    number: str
    machine: str = ""
    customer: str = ""
    procedure: str = ""
    line: int = 0


def read_orders(data: bytes, name: str) -> tuple[WorkOrder, ...] | Fault:
    """Return the orders in the list ``data`` of the file ``name``, or what is wrong first, with its line."""
    try:
        text = data.decode("utf-8-sig")
        head = text.partition("\n")[0].casefold()
        parter = next((mark for mark in _PARTERS if mark in head), ",")
        reader = csv.DictReader(io.StringIO(text, newline=""), delimiter=parter, strict=True)
        lines = [(reader.line_num, line) for line in reader]
        heads = [str(one).strip().casefold() for one in reader.fieldnames or ()]
    except UnicodeDecodeError:
        return Fault(f"{name} is not in UTF-8", "save the list as CSV in UTF-8")
    except csv.Error as fault:
        return Fault(f"The cells of {name} cannot be told apart ({fault})", "close every quotation mark")
    if missing := next((one for one in _MUST if one not in heads), None):
        return Fault(f'{name} has no column "{missing}"', _HINT)
    if strange := next((one for one in heads if one not in ORDER_COLUMNS), None):
        return Fault(f"{name} has a column {quoted(strange)} that is not known", _HINT)
    if len(heads) != len(set(heads)):
        return Fault(f"{name} has a column twice", _HINT)
    if len(lines) > _MOST_LINES:
        return Fault(f"{name} has {len(lines)} lines", f"the most is {_MOST_LINES}: take out orders that are done")
    found: dict[str, WorkOrder] = {}
    for number, cells in lines:
        order = _line(cells, number, name)
        if isinstance(order, Fault):
            return order
        before = found.setdefault(code_key(order.number), order)
        if before is not order:
            again = f"Line {number} of {name} has the order {quoted(order.number)} again"
            return Fault(again, f"keep it or line {before.line}")
    return tuple(found.values())


def _line(cells: Mapping[str | None, object], number: int, name: str) -> WorkOrder | Fault:
    at = f"Line {number} of {name}"
    if any(not isinstance(value, str) for value in cells.values()) or None in cells:
        return Fault(f"{at} has not as many cells as there are columns", "write one cell for each column")
    row = {str(head).strip().casefold(): " ".join(str(value).split()) for head, value in cells.items()}
    if wrong := next((value for value in row.values() if len(value) > _LONGEST or not value.isprintable()), None):
        return Fault(f"{at}: {quoted(wrong)} is too long, or cannot be printed", f"write at most {_LONGEST} letters")
    if not code_key(row["order"]):
        return Fault(f"{at} has no number of an order", "write letters or digits, as on the paper, or delete the line")
    file = row.get("procedure", "")
    if "/" in file or "\\" in file:
        return Fault(f"{at}: {quoted(file)} is a path", "write the name of a file in the folder of the procedures")
    return WorkOrder(row["order"], row.get("machine", ""), row.get("customer", ""), file, number)


def code_key(text: str) -> str:
    """Return ``text`` as codes are compared: letters and digits alone, without capitals.

    What stands between them differs from paper to paper, and between the layouts of keyboards.

    >>> code_key("WO 47-11/b"), code_key("wo4711B")
    ('wo4711b', 'wo4711b')
    """
    return "".join(char for char in text.lower() if char.isascii() and char.isalnum())
