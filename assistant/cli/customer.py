"""The page for the customer: its link, its pictures, and its end."""

from __future__ import annotations

import typer

from assistant.cli.options import takes
from assistant.cli.printing.options import CustomerOptions
from assistant.cli.record import NamedJob


@takes(
    prices=typer.Option(
        metavar="FILE",
        readable=False,
        help="Show price ranges by this price list; without one, by that of the settings.",
    ),
    no_prices=typer.Option("--no-prices", help="Show no prices: they are told on request."),
    days=typer.Option(min=1, max=90, help="How long the link is good; it ends with the job as well."),
    picture=typer.Option(
        metavar="FILE", readable=False, help="Put a photo on the page, without what the camera wrote beside it."
    ),
    photo=typer.Option(min=0, max=9999, metavar="NUMBER", help="Put a photo on the page that was taken in the job."),
    work=typer.Option(min=0, max=9999, help="Number of the extra work that the photo belongs to; 0 for none."),
    no_pictures=typer.Option("--no-pictures", help="Take all photos off the page."),
    revoke=typer.Option("--revoke", help="End the link at once."),
)
def customer(options: CustomerOptions, job: NamedJob) -> None:
    """Make a link, and its code, to a page on which the customer grants or declines extra work; an older link ends.

    It shows what was found and offered, and nothing else of the job. It is served by the display of the job, or by
    assistant desk, at the address that is given here.
    """
    from assistant.cli.printing.customer import customer_page

    raise typer.Exit(customer_page(job, options))


def add_customer(app: typer.Typer) -> None:
    """Add this command to the command line."""
    app.command()(customer)
