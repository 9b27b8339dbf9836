"""``assistant quote``."""

from __future__ import annotations

from pathlib import Path

from assistant.bay.job import read_or_refuse
from assistant.bay.refusing import guarded
from assistant.cli.accounts.options import AccountOptions
from assistant.cli.accounts.put import check_papers, prices_or_refuse, put_paper
from assistant.procedure.wordings import OwnPaper
from assistant.report.accounts.quote_paper import quote_paper
from assistant.terminal.exits import Exit


def run_quote(path: Path, options: AccountOptions) -> Exit:
    """Print or write the quote for the procedure file ``path``."""

    def work() -> Exit:
        check_papers(options)
        paper = quote_paper(read_or_refuse(path).usable, prices_or_refuse(options.prices))
        return put_paper(paper, options, OwnPaper.QUOTE)

    return guarded(work)
