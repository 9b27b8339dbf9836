"""``assistant order-list``."""

from __future__ import annotations

from pathlib import Path

from assistant.bay.job import read_or_refuse
from assistant.bay.refusing import guarded
from assistant.cli.accounts.options import OrderOptions
from assistant.cli.accounts.put import check_papers, prices_or_refuse, put_paper
from assistant.cli.accounts.reading import job_of
from assistant.procedure.wordings import OwnPaper
from assistant.report.accounts.order import job_order_lines, missing_others, order_lines
from assistant.report.accounts.order_paper import order_paper
from assistant.report.accounts.paper import AccountPaper
from assistant.report.record.standing import what_stands
from assistant.terminal.exits import Exit, Refusal


def run_order_list(path: Path | None, options: OrderOptions) -> Exit:
    """Print or write the order list for the procedure file ``path``, or for the job that ``options`` name."""
    return guarded(lambda: _put(path, options))


def _put(path: Path | None, options: OrderOptions) -> Exit:
    if (path is None) == (not options.job):
        raise Refusal("Name a procedure, or a job with --job: one of them.", Exit.USAGE)
    check_papers(options)
    return put_paper(_of_job(options) if path is None else _of_procedure(path, options), options, OwnPaper.ORDER)


def _of_procedure(path: Path, options: OrderOptions) -> AccountPaper:
    procedure, prices = read_or_refuse(path).usable, prices_or_refuse(options.prices)
    return order_paper(procedure, prices, order_lines(procedure, prices))


def _of_job(options: OrderOptions) -> AccountPaper:
    prices = prices_or_refuse(options.prices)
    job = job_of(options.job)
    stands = what_stands(job.entries)
    lines = job_order_lines(job.procedure, prices, stands)
    return order_paper(job.procedure, prices, lines, missing_others(job.procedure, stands), job.name)
