"""Prints a paper about money, or writes it, and reads the price list that it is made with."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from assistant.advice.prices import PriceList
from assistant.cli.accounts.options import AccountOptions
from assistant.files import expanded
from assistant.procedure.format.price_file import read_price_file
from assistant.procedure.wordings import OwnPaper
from assistant.settings import home, load_settings, settings_path
from assistant.terminal.exits import Exit, Refusal
from assistant.terminal.output import check_free, put
from assistant.terminal.tables import print_json, table
from assistant.workshop.wordings import own_text

if TYPE_CHECKING:  # the templates of its page come with it, and only who sets a page waits for them
    from assistant.report.accounts.paper import AccountPaper

_FILE = "prices.csv"
VERSION = 1
"""Of the JSON of these papers."""


def price_list_path(setting: str) -> Path | None:
    """Return the price list: ``setting`` (from the data folder if it is relative), or the usual one if it is there."""
    if setting:
        return home() / expanded(setting)
    usual = home() / _FILE
    return usual if usual.exists() else None


def prices_or_refuse(given: Path | None) -> PriceList:
    """Return the price list ``given``, or that of the settings where none was given.

    Raises:
        Refusal: there is none, or it has errors; all findings are in the sentence, one a line.
        SettingsFault: the settings cannot be read.
    """
    path = price_list_path(load_settings(settings_path()).prices) if given is None else given
    if path is None:
        raise Refusal(
            f"There is no price list: give --prices FILE, or set prices in {settings_path()}; {home() / _FILE} is one "
            "as well.",
            Exit.USAGE,
        )
    reading = read_price_file(path)
    if reading.prices is None:
        raise Refusal("\n".join(str(finding) for finding in reading.findings), Exit.PROCEDURE)
    return reading.prices


def check_papers(options: AccountOptions) -> None:
    """Make sure that what is wanted can be written.

    Raises:
        Refusal: it cannot.
    """
    for form, path in options.files.items():
        check_free(path, force=options.force, form=form)


def put_paper(it: AccountPaper, options: AccountOptions, kind: OwnPaper, *, private: bool = False) -> Exit:
    """Write ``it`` to the files that are wanted, or print it; ``private`` when it tells of people.

    ``kind`` says which text of the workshop's own stands in the files.
    """
    files = options.files
    if options.as_json:
        print_json({"paper": it.name.casefold(), "version": VERSION, **it.values, "notes": it.notes})
    elif not files:
        _print(it)
    if not files:
        return Exit.OK
    from assistant.report.accounts.paper import account_html
    from assistant.report.pdf import html_to_pdf

    page = account_html(it, paper=options.paper.value, own=own_text(kind))
    for form, path in files.items():
        put(path, html_to_pdf(page) if form == "pdf" else page.encode(), force=options.force, private=private)
    return Exit.OK


def _print(it: AccountPaper) -> None:
    print(f"{it.name}: {it.title}")
    for line in (*([it.warning] if it.warning else []), *(f"  {name}: {value}" for name, value in it.given.items())):
        print(line)
    for one in it.tables:
        print(f"\n{one.title}\n")
        print(table(one.head, one.rows) if any(one.head) and one.rows else "nothing")
    print("\n" + "\n".join(it.notes))
