"""The workshop's own text on a page for a customer: a copy beside the link, so that it says the same every day."""

from __future__ import annotations

from assistant.customer.links import customer_folder, put_private
from assistant.procedure.format.wordings_file import read_wordings_file
from assistant.procedure.wordings import NO_TEXT, OwnPaper, OwnText, written_text

_FILE = "wordings.txt"


def keep_own_text(job: str, own: OwnText) -> None:
    """Let the page of ``job`` show ``own`` from now on.

    Raises:
        OSError: it cannot be kept.
    """
    path = customer_folder(job) / _FILE
    if own:
        put_private(path, written_text(own, OwnPaper.CUSTOMER).encode())
    else:
        path.unlink(missing_ok=True)


def own_text_of(job: str) -> OwnText:
    """Return what the page of ``job`` shows of the workshop's own; nothing where the copy is not there or damaged."""
    path = customer_folder(job) / _FILE
    wordings = read_wordings_file(path).wordings if path.exists() else None
    return NO_TEXT if wordings is None else wordings.on(OwnPaper.CUSTOMER)
