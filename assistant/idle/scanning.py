"""What a code means between jobs: the machine, the customer and the procedure of the next job. Pure."""

from __future__ import annotations

from dataclasses import dataclass, replace

from assistant.facts.scan import ScanDoubt
from assistant.idle.state import Between, CodeRead, JobCard, ListRow
from assistant.language.port import Language
from assistant.scan.meaning import (
    TOOL_MARK,
    CodeMeaning,
    MachineScanned,
    OrderScanned,
    Several,
    Unknown,
    meaning_of,
)
from assistant.scan.order_list import WorkOrder, code_key
from assistant.scan.vin import Vin


@dataclass(frozen=True, slots=True)
class ScanAnswer:
    """What comes of a code: what the next job is for, what may be chosen for it, and what is said before that."""

    card: JobCard
    rows: tuple[ListRow, ...] = ()
    words: tuple[str, ...] = ()


def scan_answer(state: Between, given: CodeRead, language: Language) -> ScanAnswer:
    """Return what comes of ``given``; a code that is not known leaves the card as it is."""
    if state.known.orders_fault:
        return ScanAnswer(state.card, (), (language.scans.no_orders(),))
    if given.text.upper().startswith(TOOL_MARK):
        return ScanAnswer(state.card, (), (language.scans.tool_between(),))
    meant = meaning_of(given.text, state.known.codes)
    match meant:
        case OrderScanned(order):
            return _order(state, given, order, language)
        case MachineScanned(orders=(order,)):
            return _order(state, given, order, language, _doubts(meant.vin, language))
        case MachineScanned():
            return _machine(state, given, meant, language)
        case Several():
            return ScanAnswer(state.card, (), (language.scans.several(_names(meant)),))
    vin = meant.vin if isinstance(meant, Unknown) else None
    return ScanAnswer(state.card, (), tuple(language.scans.unknown(given.text, _fault(vin))))


def _order(
    state: Between, given: CodeRead, order: WorkOrder, language: Language, doubts: tuple[str, ...] = ()
) -> ScanAnswer:
    """Take an order: its procedure, or the job for its machine that is open already."""
    card = JobCard(order.machine, order.customer, order.number, given.source)
    wanted = order.procedure.removesuffix(".yaml")
    file = next((row for row in state.known.procedures if wanted and row.key.removesuffix(".yaml") == wanted), None)
    going_on = [row for row in _open_jobs(state, order.machine) if file is None or row.title == file.title]
    rows = tuple(going_on) or ((file,) if file else ())
    words = [language.scans.order_read(order.number)]
    if not rows:
        words.append(language.scans.no_procedure(gone=bool(wanted)))
    return ScanAnswer(card, rows, (*words, *doubts))


def _machine(state: Between, given: CodeRead, machine: MachineScanned, language: Language) -> ScanAnswer:
    """Take a machine: the jobs for it that are open, and the procedures of the orders for it."""
    files = {order.procedure.removesuffix(".yaml") for order in machine.orders} - {""}
    rows = (
        *_open_jobs(state, machine.name),
        *(row for row in state.known.procedures if row.key.removesuffix(".yaml") in files),
    )
    words = [language.scans.machine_between(machine.name, is_known=machine.is_known), *_doubts(machine.vin, language)]
    if not rows:
        words.append(language.scans.no_procedure(gone=False))
    return ScanAnswer(JobCard(asset=machine.name, scanned=given.source), rows, tuple(words))


def _open_jobs(state: Between, machine: str) -> list[ListRow]:
    key = code_key(machine)
    return [row for row in state.known.jobs if key and code_key(row.machine) == key]


def _doubts(vin: Vin | None, language: Language) -> tuple[str, ...]:
    return (language.scans.check_doubted(),) if vin is not None and vin.doubted else ()


def _fault(vin: Vin | None) -> ScanDoubt | None:
    return ScanDoubt(vin.fault.value) if vin is not None and vin.fault is not None else None


def _names(meant: Several) -> list[str]:
    return [name for one in meant.meant if (name := _name(one))]


def _name(one: CodeMeaning) -> str:
    match one:
        case OrderScanned(order):
            return order.number
        case MachineScanned(name=name):
            return name
    return ""


def with_card(state: Between, read: ScanAnswer) -> Between:
    """Return the bay with what was read, and no list or question of before."""
    return state if read.card is state.card else replace(state, card=read.card, listed=None, asking=None)
