"""The gold records: ``python -m tests.report.gold`` writes them anew; look at what changed before you commit it."""

import re
import tempfile
from pathlib import Path

from assistant.journal.opening import open_journal
from assistant.report.record.made import make
from tests.jobs import DEMOS, work

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


if __name__ == "__main__":
    GOLD.mkdir(exist_ok=True)
    with tempfile.TemporaryDirectory() as made:
        for demo in DEMOS:
            (GOLD / f"{demo.stem}.html").write_text(gold_html(demo, Path(made)), "utf-8")
