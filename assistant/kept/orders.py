"""The list of orders of a workshop, which a code chooses from, and the machines that earlier jobs knew."""

from __future__ import annotations

from pathlib import Path

from assistant.facts.inputs import Opened
from assistant.faults import Fault
from assistant.files import FileFault, expanded, read_file
from assistant.journal.port import Journal, JournalFault
from assistant.scan.order_list import ORDERS_BYTES, WorkOrder, read_orders
from assistant.settings import home

_FILE = "orders.csv"


def orders_path(setting: str) -> Path | None:
    """Return the list of orders: ``setting`` (from the data folder when it is relative), or the usual one if there."""
    if setting:
        return home() / expanded(setting)
    usual = home() / _FILE
    return usual if usual.exists() else None


def known_orders(setting: str) -> tuple[WorkOrder, ...] | str:
    """Return the orders of the list, none without one; a sentence where something in it is to be mended."""
    path = orders_path(setting)
    if path is None:
        return ()
    data = read_file(path, ORDERS_BYTES, "the list of orders, a .csv file")
    if isinstance(data, FileFault):
        return f"{data.sentence}."
    orders = read_orders(data, path.name)
    return f"{orders.sentence}." if isinstance(orders, Fault) else orders


def known_machines(journal: Journal) -> tuple[str, ...]:
    """Return the machines of the jobs in ``journal``, each once as it was written last; none that cannot be read."""
    try:
        found = [entry.fact for _, entry in journal.find((Opened,))]
    except JournalFault:
        return ()
    opened = (fact for fact in found if isinstance(fact, Opened) and not fact.rehearsal)
    return tuple(dict.fromkeys(fact.asset for fact in opened if fact.asset))
