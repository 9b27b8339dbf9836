"""The gold records: ``python -m tests.report.gold`` writes them anew; look at what changed before you commit it."""

import re
import tempfile
from pathlib import Path

from assistant.journal.opening import open_journal
from assistant.procedure.format.price_file import read_price_file
from assistant.procedure.format.reader import read_procedure
from assistant.report.accounts.order import order_lines
from assistant.report.accounts.order_paper import order_paper
from assistant.report.accounts.paper import account_html
from assistant.report.accounts.quote_paper import quote_paper
from assistant.report.record.made import make
from tests.jobs import DEMOS, ROOT, work

GOLD = Path(__file__).parent / "gold"
_DATES = re.compile(r"\b(?:bay1-)?\d{4}-\d\d-\d\d( \d\d:\d\d:\d\d)?(-\d+)?|\b\d\d:\d\d:\d\d\b")
_HASHES = re.compile(r"\b([0-9a-f]{64}|[0-9a-f]{16}|[0-9a-f]{8})\b")
_MAPS = re.compile(r"<svg(?! class).*?</svg>", re.DOTALL)


def scrubbed(html: str) -> str:
    """Return a record without dates, hashes and bolt maps, which have tests of their own."""
    return _DATES.sub("DATE", _HASHES.sub("HASH", _MAPS.sub("MAP", html)))


def gold_html(procedure: Path, folder: Path) -> str:
    """Do the demo job of ``procedure`` in a journal in ``folder``, and return its record, scrubbed."""
    with open_journal(folder / procedure.stem) as journal:
        job = work(journal, procedure, asset="Rig 4", operator="Mechanic", meter={"value": "1200", "unit": "h"})
        html = make(job, journal.read(job).entries, paper="a4", clock=0).form("html").decode()
    return scrubbed(html)


def gold_papers() -> dict[str, str]:
    """Return the quote and the order list of a demo procedure by the demo price list, as pages, by their names."""
    procedure = read_procedure(ROOT / "procedures" / "valve-clearances.yaml").usable
    prices = read_price_file(ROOT / "procedures" / "prices-alder-row.csv").prices
    assert prices is not None
    papers = {
        "quote": quote_paper(procedure, prices),
        "order-list": order_paper(procedure, prices, order_lines(procedure, prices)),
    }
    return {name: scrubbed(account_html(it, paper="a4")) for name, it in papers.items()}


if __name__ == "__main__":
    GOLD.mkdir(exist_ok=True)
    with tempfile.TemporaryDirectory() as made:
        for demo in DEMOS:
            (GOLD / f"{demo.stem}.html").write_text(gold_html(demo, Path(made)), "utf-8")
    for name, page in gold_papers().items():
        (GOLD / f"{name}.html").write_text(page, "utf-8")
