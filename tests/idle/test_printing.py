"""The label of a closed job is printed beside the loop; what goes wrong is one sentence, and stops nothing."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

from assistant.idle.printing import LabelPrinter, print_label
from assistant.journal.opening import open_journal
from tests.fakes.paper_tray import PaperTray
from tests.idle.test_day import CLOSE
from tests.idle.typed_day import day

SIZE = (62.0, 40.0)


@pytest.fixture
def closed(home: Path, procedures: Path) -> str:
    """The name of a job that was closed."""
    day(home, ["procedures", "number one", "start", "yes", *CLOSE], procedures)
    with open_journal(home) as journal:
        return journal.resolve("last")


@pytest.mark.slow
def test_a_label_is_set_and_handed_to_the_printer(closed: str, tmp_path: Path) -> None:
    tray = PaperTray(tmp_path / "bin")
    assert print_label(closed, "labels", SIZE, lp=(str(tray.lp),)) == ""
    assert tray.pages[f"label {closed} on labels"].startswith(b"%PDF")


@pytest.mark.slow
def test_a_missing_printer_is_one_sentence(closed: str) -> None:
    missing = print_label(closed, "labels", SIZE, lp=("/no/such/lp",))
    assert missing.startswith(f'The label of job {closed} could not be printed on "labels" (there is no program lp: ')
    refused = print_label(
        closed, "labels", SIZE, lp=(sys.executable, "-c", "import sys; sys.exit('lp: no such queue')")
    )
    assert "(lp: no such queue)" in refused


def test_a_label_that_does_not_fit_is_one_sentence(closed: str) -> None:
    assert "could not be made" in print_label(closed, "labels", (12.0, 12.0), lp=("/no/such/lp",))
    assert "could not be made" in print_label("nothing-1", "labels", SIZE, lp=("/no/such/lp",))


def test_without_a_printer_nothing_is_done(closed: str) -> None:
    told: list[str] = []
    printer = LabelPrinter("", SIZE, told.append, lambda failure: pytest.fail(str(failure)))
    printer.print(closed)
    printer.close()
    assert told == []
