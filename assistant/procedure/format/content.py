"""What an approval approves, everything in the file but the approval itself, as a hash; and whether it holds."""

from __future__ import annotations

import re
from hashlib import sha256

from assistant.procedure.model import Procedure

HASH_DIGITS = 12
"""Hexadecimal digits that are written down. They are there for slips of the keyboard, not against forgery."""
_APPROVAL = re.compile(rb"approval[ \t]*:")


def content_hash(data: bytes) -> str:
    """Return the hash of the file ``data`` without the mapping ``approval``, as :data:`HASH_DIGITS` hexadecimal digits.

    Empty lines, spaces at the ends of lines and the kind of line end do not count, so that it stays the same when an
    approval is written in or taken out. A file that has its approval between braces keeps it in the hash, and so is
    never approved.
    """
    lines = (line.rstrip() for line in without_approval(data).splitlines())
    return sha256(b"\n".join(line for line in lines if line)).hexdigest()[:HASH_DIGITS]


def without_approval(data: bytes) -> bytes:
    """Return the file ``data`` without the lines of the mapping ``approval``, and without a byte order mark."""
    kept: list[bytes] = []
    inside = False
    for line in data.removeprefix(b"\xef\xbb\xbf").splitlines(keepends=True):
        if line.strip() and not line.startswith((b" ", b"\t")):
            inside = _APPROVAL.match(line) is not None
        if not inside:
            kept.append(line)
    return b"".join(kept)


def approval_clause(procedure: Procedure) -> str:
    """Return who approved ``procedure`` and when, or that nobody did, as a clause."""
    approval = procedure.approval
    if approval is None:
        return "not approved"
    if not procedure.approved:
        return f"not approved as it is now: {approval.by} approved other content on {approval.on}"
    return f"approved by {approval.by} on {approval.on}"
