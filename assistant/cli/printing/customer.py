"""``assistant customer``: the link to the page for the customer, photos for it, and its end."""

from __future__ import annotations

import ipaddress
from datetime import datetime
from pathlib import Path

from assistant.bay.refusing import guarded
from assistant.cli.accounts.put import price_list_path
from assistant.cli.printing.options import CustomerOptions
from assistant.clock import SteadyClock
from assistant.customer.links import DAY_MS, customer_folder, make_token, prices_path, put_private, revoke
from assistant.customer.own_text import keep_own_text
from assistant.customer.photos import add_photo, add_photo_of_job, remove_photos
from assistant.customer.priced import priced_lines
from assistant.desk.display import LOOPBACK, display_address
from assistant.desk.options import DISPLAY_PORT
from assistant.display.guard import CUSTOMER
from assistant.display.link import terminal_code
from assistant.faults import Fault
from assistant.files import FileFault, read_file
from assistant.journal.opening import open_journal
from assistant.journal.port import JobState
from assistant.procedure.format.price_file import read_prices
from assistant.procedure.wordings import OwnPaper
from assistant.settings import home, load_settings, settings_path
from assistant.terminal.exits import Exit, Refusal
from assistant.visible import one_line
from assistant.workshop.wordings import own_text

_MOST_PRICES_BYTES = 2_000_000


def customer_page(job: str, options: CustomerOptions) -> Exit:
    """Do what ``options`` ask for with the page of ``job``."""
    return guarded(lambda: _customer(job, options))


def _customer(given: str, options: CustomerOptions) -> Exit:
    with open_journal(home(), read_only=True) as journal:
        job = journal.resolve(given)
        state = next(one.state for one in journal.scan() if one.id == job)
    try:
        if options.revoke:
            ended = revoke(job)
            print(f"The link to the page of job {job} is ended." if ended else f"Job {job} has no link.")
            return Exit.OK
        if options.no_pictures:
            print(f"Photos taken off the page of job {job}: {remove_photos(job)}.")
            return Exit.OK
        if state is JobState.CLOSED:
            raise Refusal(f"Job {job} is closed: nothing can be answered any more, so it gets no page.", Exit.JOURNAL)
        if options.picture is not None or options.photo:
            fault = _add(job, options)
            if fault is not None:
                raise Refusal(f"{fault.sentence}.", Exit.PROCEDURE)
            print(
                f"The photo is on the page of job {job}{f', with extra work {options.work}' if options.work else ''}."
            )
            return Exit.OK
        return _link(job, options)
    except OSError as fault:
        raise Refusal(
            f"The page cannot be kept in {customer_folder(job)} ({fault.strerror}); make room there, then try again.",
            Exit.OUTPUT,
        ) from fault


def _add(job: str, options: CustomerOptions) -> Fault | None:
    """Put a photo on the page: a file, or one that was taken in the job."""
    if options.picture is not None:
        return add_photo(job, options.picture, options.work)
    with open_journal(home(), read_only=True) as journal:
        facts = [entry.fact for entry in journal.read(job).entries]
    return add_photo_of_job(job, options.photo, facts, options.work)


def _link(job: str, options: CustomerOptions) -> Exit:
    """Make the link, with a copy of the price list, so that a page shows the same prices on every day."""
    if options.prices is not None and options.no_prices:
        raise Refusal("Give --prices or --no-prices: one of them.", Exit.USAGE)
    address, port = display_address(options.display_host), options.display_port or DISPLAY_PORT
    settings = load_settings(settings_path())
    outside = settings.customer_address
    prices = options.prices or price_list_path(settings.prices)
    prices = None if options.no_prices else prices
    data = None if prices is None else _checked_prices(prices)
    prices_path(job).unlink(missing_ok=True)
    if data is not None:
        put_private(prices_path(job), data)
    own = own_text(OwnPaper.CUSTOMER)
    keep_own_text(job, own)
    until_ms = round(SteadyClock().now() * 1000) + options.days * DAY_MS
    base = outside or f"http://{options.display_host.lower() or LOOPBACK}:{port}"
    link = f"{base}{CUSTOMER}{make_token(job, until_ms)}"
    until = f"{datetime.fromtimestamp(until_ms / 1000).astimezone():%Y-%m-%d %H:%M}"
    print(f"The page for the customer of job {job}:\n{link}")
    if outside:
        print(terminal_code(link))
        print(f"It can be reached by the proxy at {outside}; docs/customer.md says how that must be set.")
    elif ipaddress.ip_address(address).is_loopback:
        print(
            "It can be reached on this computer alone. For a phone in the shop's network give --display-host ADDRESS "
            "here and where it is served."
        )
    else:
        print(terminal_code(link))
        print(
            f"It can be reached in the network of {address} alone, by plain HTTP. To let it be reached from outside is "
            "your decision; docs/customer.md says what to think of first."
        )
    host = f" --display-host {options.display_host}" if options.display_host else ""
    print(
        f"It is served while the job runs with --display{host}, or by: assistant desk{host}\n"
        f"It is good until {until}, or until the job is closed; whoever has it can answer. An older link is ended."
    )
    if data is not None and prices is not None:
        for line in _priced(job, data, prices.name):
            print(line)
    else:
        print("It names no prices: they are told on request. To show ranges, give --prices FILE.")
    if own:
        print("It shows the workshop's own text as it is now; a later change of that needs a new link.")
    return Exit.OK


def _priced(job: str, data: bytes, name: str) -> list[str]:
    """Return how the extra work that waits for an answer is priced by the list."""
    prices = read_prices(data, name).prices
    with open_journal(home(), read_only=True) as journal:
        return [] if prices is None else [one_line(line) for line in priced_lines(journal.read(job).entries, prices)]


def _checked_prices(path: Path) -> bytes:
    """Return the price list at ``path``, which can be used.

    Raises:
        Refusal: it cannot be read, or has errors.
    """
    data = read_file(path, _MOST_PRICES_BYTES, "a price list")
    if isinstance(data, FileFault):
        raise Refusal(f"{data.sentence}.", Exit.PROCEDURE)
    reading = read_prices(data, path.name)
    if reading.prices is None:
        raise Refusal(f"{reading.findings[0]}", Exit.PROCEDURE)
    return data
