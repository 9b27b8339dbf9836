"""The workshop's own text on a record: shown apart, and carried in the file, so that the record proves what it did.

Nothing in the journal says what a workshop writes on its papers, so a record is compared with one that is made with the
text that it carries itself: each letter of it is compared, and none of this text is proved by that.
"""

from __future__ import annotations

import base64
import binascii
import re

from assistant.procedure.format.wordings_file import read_wordings
from assistant.procedure.wordings import NO_TEXT, OwnPaper, OwnText, written_text

NOT_PROVED = "It is no part of the record: nothing in the journal tells it, and no check of the record proves it."
_NAME = "step-assistant-own-text 1"
_CODE = "([A-Za-z0-9+/]{4,90000}={0,2})"
_PAGE = re.compile(rf'<meta name="own-text" content="{_NAME} {_CODE}">'.encode())
"""Where it stands in a page: text of people never has a bare <."""
_END = re.compile(rf"\n%{_NAME} {_CODE}\n\Z".encode())
"""Where it stands in a PDF: behind all else."""


def carried(own: OwnText) -> str:
    """Return ``own`` as it is carried in a record: letters, digits and signs of Base64 (RFC 4648) behind a name."""
    return f"{_NAME} {base64.b64encode(written_text(own, OwnPaper.RECORD).encode()).decode('ascii')}"


def own_text_in(data: bytes) -> OwnText:
    """Return the workshop's own text that the record ``data`` (HTML or PDF) carries; nothing where it has none.

    What is no text that a workshop may write is nothing as well: then the record is not the one that it says.
    """
    found = (_END if data.startswith(b"%PDF") else _PAGE).search(data)
    if found is None:
        return NO_TEXT
    try:
        text = base64.b64decode(found[1], validate=True)
    except binascii.Error:
        return NO_TEXT
    wordings = read_wordings(text, "the record").wordings
    return NO_TEXT if wordings is None else wordings.on(OwnPaper.RECORD)
