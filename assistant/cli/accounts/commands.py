"""What a job costs: quote, order-list, invoice."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from assistant.cli import completing
from assistant.cli.accounts.options import AccountOptions, InvoiceOptions, OrderOptions
from assistant.cli.options import PROCEDURE_HELP, ProcedureFile, found_procedure, takes
from assistant.cli.record import NamedJob

_PRICES = typer.Option(
    metavar="FILE",
    readable=False,
    help="The price list, a CSV file; see docs/quote.md. Without it, that of the settings.",
)
_PDF = typer.Option(metavar="OUT", help="A PDF.")
OptionalProcedure = Annotated[
    Path | None,
    typer.Argument(
        metavar="[PROCEDURE]",
        readable=False,
        help=PROCEDURE_HELP,
        callback=lambda path: None if path is None else found_procedure(path),
        autocompletion=completing.known_procedures,
    ),
]
_HTML = typer.Option(metavar="OUT", help="One HTML file, to read and to print.")


@takes(prices=_PRICES, pdf=_PDF, html=_HTML)
def quote(options: AccountOptions, procedure: ProcedureFile) -> None:
    """Work out what a job will cost: book time by the rates of a price list, parts, supplies, taxes, and what may come.

    What has no price is listed and never counted as zero. It is advice and binds nobody.
    """
    from assistant.cli.accounts.quoting import run_quote

    raise typer.Exit(run_quote(procedure, options))


@takes(
    prices=_PRICES,
    job=typer.Option(
        metavar="JOB", help="What this job still needs, in place of a procedure.", autocompletion=completing.known_jobs
    ),
    pdf=_PDF,
    html=_HTML,
)
def order_list(options: OrderOptions, procedure: OptionalProcedure = None) -> None:
    """List what is to order: parts and supplies of a procedure against the stock, or what a job still needs.

    For a job that is what its preparation said is missing, what granted extra work needs, and bolts that broke.
    """
    from assistant.cli.accounts.ordering import run_order_list

    raise typer.Exit(run_order_list(procedure, options))


@takes(
    prices=_PRICES,
    kind=typer.Option(metavar="NAME=KIND", help="Whose rate somebody has who worked on the job; may be given again."),
    pdf=_PDF,
    html=_HTML,
)
def invoice(options: InvoiceOptions, job: NamedJob) -> None:
    """Work out the figures for the invoice of a job: hours, parts, extra work that was granted, taxes, and the quote.

    It is no invoice: it is what whoever writes one needs.
    """
    from assistant.cli.accounts.invoicing import run_invoice

    raise typer.Exit(run_invoice(job, options))


def add_accounts(app: typer.Typer) -> None:
    """Add these commands to the command line."""
    app.command()(quote)
    app.command("order-list")(order_list)
    app.command()(invoice)
