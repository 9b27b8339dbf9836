"""The link to the page: its secret, and the code that a phone can scan. The adapter of segno."""

from __future__ import annotations

import io
import os
import secrets
from pathlib import Path

import segno

_TOKEN_BYTES = 16
"""128 random bits: nobody guesses that."""


def token_at(path: Path) -> str:
    """Return the secret that is kept at ``path``, readable for its owner alone; makes it when there is none.

    It stays the same from start to start, so that a screen on the wall comes back by itself.

    Raises:
        OSError: it cannot be read or written.
    """
    try:
        kept = path.read_text("ascii").strip()
    except FileNotFoundError:
        kept = ""
    except UnicodeDecodeError:
        kept = ""
    if len(kept) >= _TOKEN_BYTES:
        return kept
    made = secrets.token_urlsafe(_TOKEN_BYTES)
    path.parent.mkdir(parents=True, exist_ok=True)
    path.unlink(missing_ok=True)
    with os.fdopen(os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "w", encoding="ascii") as file:
        file.write(made + "\n")
    return made


def terminal_code(link: str) -> str:
    """Return a QR code of ``link`` for a terminal."""
    out = io.StringIO()
    segno.make(link, error="m").terminal(out, compact=True)
    return out.getvalue()


def svg_code(link: str) -> bytes:
    """Return a QR code of ``link`` as an SVG image, black on white with its quiet zone."""
    out = io.BytesIO()
    segno.make(link, error="m").save(out, kind="svg", scale=8, border=4, dark="#000", light="#fff", title="QR code")
    return out.getvalue()
