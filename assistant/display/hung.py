"""A picture that a page may show: held in memory, and asked for by its hash, so that no request names a file."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Hung:
    """The bytes of a picture, their media type and hash (hexadecimal); or ``fault``, a sentence, why there is none."""

    data: bytes = b""
    media: str = ""
    sha256: str = ""
    fault: str = ""

    @property
    def address(self) -> str:
        """The address at which the page finds it; "" when there is nothing to show."""
        return f"/pictures/{self.sha256}" if self.sha256 else ""
