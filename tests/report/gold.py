"""The gold records: ``python -m tests.report.gold`` writes them anew; look at what changed before you commit it."""

import re
import tempfile
from pathlib import Path

from assistant.journal.opening import open_journal
from assistant.procedure.format.price_file import read_price_file, read_prices
from assistant.procedure.format.reader import read_procedure
from assistant.procedure.format.wordings_file import read_wordings_file
from assistant.procedure.wordings import OwnPaper
from assistant.report.accounts.invoice import invoice_of
from assistant.report.accounts.invoice_paper import invoice_paper
from assistant.report.accounts.order import order_lines
from assistant.report.accounts.order_paper import order_paper
from assistant.report.accounts.paper import account_html
from assistant.report.accounts.quote_paper import quote_paper
from assistant.report.record.build import build_record, opening_of, procedure_of
from assistant.report.record.made import make
from tests.jobs import DEMOS, ROOT, work
from tests.journal.golden import load

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


def gold_papers(folder: Path) -> dict[str, str]:
    """Return quote and order list of a demo procedure, and figures of a stored job, as pages, by their names."""
    procedure = read_procedure(ROOT / "procedures" / "valve-clearances.yaml").usable
    prices = read_price_file(ROOT / "procedures" / "prices-alder-row.csv").prices
    assert prices is not None
    with open_journal(load("lid-and-rail", folder / "lid-and-rail"), read_only=True) as journal:
        entries = journal.read(journal.resolve("last")).entries
    bench = read_prices((GOLD / "bench.csv").read_bytes(), "bench.csv").prices
    done = procedure_of(opening_of(entries))
    assert bench is not None
    assert done is not None
    record = build_record("bay1-2026-11-28-1", entries)
    papers = {
        "quote": quote_paper(procedure, prices),
        "order-list": order_paper(procedure, prices, order_lines(procedure, prices)),
        "invoice": invoice_paper(done, bench, record, invoice_of(done, bench, entries, record, {})),
    }
    wordings = read_wordings_file(ROOT / "procedures" / "wordings-alder-row.txt").wordings
    assert wordings is not None
    own = {"quote-with-own-text": account_html(papers["quote"], paper="a4", own=wordings.on(OwnPaper.QUOTE))}
    plain = {name: account_html(it, paper="a4") for name, it in papers.items()}
    return {name: scrubbed(page) for name, page in (plain | own).items()}


if __name__ == "__main__":
    GOLD.mkdir(exist_ok=True)
    with tempfile.TemporaryDirectory() as made:
        for demo in DEMOS:
            (GOLD / f"{demo.stem}.html").write_text(gold_html(demo, Path(made)), "utf-8")
        for name, page in gold_papers(Path(made)).items():
            (GOLD / f"{name}.html").write_text(page, "utf-8")
