"""What a scanned text means, given what is known: an order, a machine, a tool, a part, several of them, or nothing."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

from assistant.scan.gs1 import Field, Read, is_article, read_code
from assistant.scan.order_list import WorkOrder, code_key
from assistant.scan.vin import Vin, read_vin

TOOL_MARK = "TOOL "
"""Begins the code on the labels that we print for tools: letters that stand in one place on the usual keyboards."""
_SWAPPED = str.maketrans("yz", "zy")
"""What a reader with the one layout types on a computer with the other (English and German keyboards)."""


@dataclass(frozen=True, slots=True)
class Named:
    """A tool or a part that is known: its id, how it is called, and the numbers that may stand on it."""

    id: str
    name: str
    numbers: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Known:
    """What a code may mean here. ``machines`` are those of earlier jobs, as they were written down."""

    orders: tuple[WorkOrder, ...] = ()
    machines: tuple[str, ...] = ()
    tools: tuple[Named, ...] = ()
    parts: tuple[Named, ...] = ()


@dataclass(frozen=True, slots=True)
class OrderScanned:
    """An order of the list."""

    order: WorkOrder


@dataclass(frozen=True, slots=True)
class MachineScanned:
    """A machine: ``name`` as it is known, or as it was read; the orders for it, and its number where it has one.

    ``is_known`` is whether an order or an earlier job has it.
    """

    name: str
    is_known: bool = True
    orders: tuple[WorkOrder, ...] = ()
    vin: Vin | None = None


@dataclass(frozen=True, slots=True)
class ToolScanned:
    """A tool of the bay."""

    tool: Named


@dataclass(frozen=True, slots=True)
class PartScanned:
    """A part of the job."""

    part: Named


@dataclass(frozen=True, slots=True)
class Several:
    """More than one thing has this code: nobody knows which is meant."""

    meant: tuple[OrderScanned | MachineScanned | ToolScanned | PartScanned, ...]


@dataclass(frozen=True, slots=True)
class Unknown:
    """Nothing that is known has this code. ``vin`` where it looks like the number of a vehicle that cannot be.

    ``is_tool``: it is one of our labels, of a tool that is not in the file of the bay.
    """

    text: str
    vin: Vin | None = None
    is_tool: bool = False


One = OrderScanned | MachineScanned | ToolScanned | PartScanned
CodeMeaning = One | Several | Unknown


def meaning_of(text: str, known: Known) -> CodeMeaning:
    """Return what the scanned ``text`` means, given what is ``known``.

    The code as it was read counts before what it would be on the other layout of keyboards, and either before a number
    of a vehicle that nobody has met yet.
    """
    text = text.strip()
    is_tool = text.upper().startswith(TOOL_MARK)
    if is_tool and (own := _own_tool(code_key(text[len(TOOL_MARK) :]), known.tools)):
        return own
    reads = read_code(text)
    vin = read_vin(text)
    sure = vin if vin is not None and vin.fault is None else None
    for as_typed in (lambda key: key, lambda key: key.translate(_SWAPPED)):
        found = _matches(reads, known, as_typed, sure)
        if found:
            return found[0] if len(found) == 1 else Several(found)
    if sure is not None:
        return MachineScanned(sure.text, is_known=False, vin=sure)
    return Unknown(text, vin, is_tool)


def _own_tool(key: str, tools: Sequence[Named]) -> ToolScanned | Several | None:
    """Return the tool that one of our labels names by its id, which the other layout may have changed."""
    for as_typed in (key, key.translate(_SWAPPED)):
        found = tuple(ToolScanned(tool) for tool in tools if code_key(tool.id) == as_typed)
        if found:
            return found[0] if len(found) == 1 else Several(found)
    return None


def _matches(reads: Iterable[Read], known: Known, as_typed: Callable[[str], str], vin: Vin | None) -> tuple[One, ...]:
    """Return everything that one of the fields of a code names, each once."""
    found: dict[tuple[str, str], One] = {}
    for read in reads:
        key = as_typed(code_key(read.text))
        if not key:
            continue
        if read.field in (Field.ALL, Field.ORDER):
            for order in known.orders:
                if code_key(order.number) == key:
                    found["order", order.number] = OrderScanned(order)
        if read.field in (Field.ALL, Field.SERIAL, Field.ASSET):
            if machine := _machine(key, known, vin):
                found["machine", machine.name] = machine
            for tool in known.tools:
                if key in (code_key(one) for one in (tool.id, *tool.numbers)):
                    found["tool", tool.id] = ToolScanned(tool)
        if read.field in (Field.ALL, Field.ARTICLE, Field.NUMBER):
            for part in known.parts:
                if _is_number(key, part.numbers):
                    found["part", part.id] = PartScanned(part)
    return tuple(found.values())


def _machine(key: str, known: Known, vin: Vin | None) -> MachineScanned | None:
    """Return the machine that is written down so, with the orders for it."""
    if vin is not None:
        key = code_key(vin.text)
    orders = tuple(order for order in known.orders if order.machine and code_key(order.machine) == key)
    name = next((one for one in known.machines if code_key(one) == key), orders[0].machine if orders else "")
    return MachineScanned(name, True, orders, vin) if name else None


def _is_number(key: str, numbers: Iterable[str]) -> bool:
    """Return whether one of ``numbers`` is ``key``; of a trade item, zeros before it say nothing."""
    return any(_number_key(code_key(one)) == _number_key(key) for one in numbers if code_key(one))


def _number_key(key: str) -> str:
    return key.lstrip("0") if is_article(key) else key
