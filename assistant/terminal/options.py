"""The options of every command that writes files, as they were typed."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True)
class WriteOptions:
    """Whether a file that is there is replaced; the old one is kept then."""

    force: bool = False
