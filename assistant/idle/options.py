"""The options of ``assistant bay``, as they were typed; what is None was not given."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from assistant.bay.options import SoundOptions, WhoOptions
from assistant.desk.options import DisplayOptions, ServeOptions


@dataclass(frozen=True, kw_only=True)
class BayOptions(WhoOptions, SoundOptions, ServeOptions):
    """What a bay that waits is opened with. It always has a page, with buttons."""

    wake: str | None = None
    procedures: Path | None = None
    printer: str | None = None

    @property
    def page(self) -> DisplayOptions:
        """Where the page is."""
        return DisplayOptions(self.display_host, self.display_port, touch=True)
