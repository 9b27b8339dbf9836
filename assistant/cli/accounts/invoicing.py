"""``assistant invoice``."""

from __future__ import annotations

from collections.abc import Sequence

from assistant.advice.prices import PriceKind, PriceList
from assistant.bay.refusing import guarded
from assistant.cli.accounts.options import InvoiceOptions
from assistant.cli.accounts.put import check_papers, prices_or_refuse, put_paper
from assistant.cli.accounts.reading import job_of
from assistant.procedure.wordings import OwnPaper
from assistant.report.accounts.invoice import invoice_of
from assistant.report.accounts.invoice_paper import invoice_paper
from assistant.report.record.build import build_record
from assistant.report.record.clock import clocks_of
from assistant.terminal.exits import Exit, Refusal


def run_invoice(job: str, options: InvoiceOptions) -> Exit:
    """Print or write the figures for the invoice of ``job``."""
    return guarded(lambda: _put(job, options))


def _put(name: str, options: InvoiceOptions) -> Exit:
    check_papers(options)
    prices = prices_or_refuse(options.prices)
    job = job_of(name)
    people = [clock.person for clock in clocks_of(job.procedure, job.entries)]
    kinds = _kinds(options.kind or [], people, prices)
    record = build_record(job.name, job.entries)
    found = invoice_of(job.procedure, prices, job.entries, record, kinds)
    return put_paper(invoice_paper(job.procedure, prices, record, found), options, OwnPaper.INVOICE, private=True)


def _kinds(given: Sequence[str], people: Sequence[str], prices: PriceList) -> dict[str, str]:
    """Return the kind of each person that is named, from texts such as "A. Reed=helper".

    Raises:
        Refusal: nobody of that name worked on the job, or the price list has no such work.
    """
    found = {}
    for text in given:
        person, parted, kind = (part.strip() for part in text.rpartition("="))
        if not parted or person not in people:
            known = ", ".join(one or "(no name)" for one in people)
            raise Refusal(f'"{text}" says nothing of who worked on the job: write NAME=KIND for {known}.', Exit.USAGE)
        if prices.find(PriceKind.LABOUR, kind, kind) is None:
            known = ", ".join(one.called for one in prices.lines if one.kind is PriceKind.LABOUR) or "none"
            raise Refusal(f'The price list has no work of "{kind}": write one of {known}.', Exit.USAGE)
        found[person] = kind
    return found
