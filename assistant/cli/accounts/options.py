"""The options of the papers about money, as they were typed: the command line reads them before anything is loaded."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from assistant.cli.printing.options import Paper
from assistant.terminal.options import WriteOptions


@dataclass(frozen=True, kw_only=True)
class AccountOptions(WriteOptions):
    """The options of every paper about money: the price list, and how the paper is wanted."""

    prices: Path | None = None
    pdf: Path | None = None
    html: Path | None = None
    paper: Paper = Paper.A4
    as_json: bool = False

    @property
    def files(self) -> dict[str, Path]:
        """Return the files that are wanted, by their form."""
        return {form: path for form, path in (("pdf", self.pdf), ("html", self.html)) if path is not None}


@dataclass(frozen=True, kw_only=True)
class OrderOptions(AccountOptions):
    """The options of the order list: ``job`` in place of a procedure."""

    job: str = ""


@dataclass(frozen=True, kw_only=True)
class InvoiceOptions(AccountOptions):
    """The options of the figures for the invoice: ``kind`` says of persons what they are, NAME=KIND."""

    kind: list[str] | None = None
