"""The options of a rehearsal, as they were typed; what is None was not given."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from assistant.bay.options import SpeechOptions, WhoOptions
from assistant.desk.options import PageOptions
from assistant.kept.options import CardOptions


@dataclass(frozen=True, kw_only=True)
class RehearseOptions(WhoOptions, SpeechOptions, CardOptions, PageOptions):
    """The options of ``assistant rehearse``.

    One of ``audio_in``, a recording, and ``typed``, a typed talk (``-``: the standard input), is given. The spoken side
    is written to ``audio_out``. With ``job`` an open rehearsal of the same procedure goes on. ``real_time`` takes as
    long as the talk and the answers last. ``begin`` is when a typed talk begins; with ``json`` its dialogue and its
    entries are JSON lines, and a ``trial`` is kept in memory alone: nothing of it is in the journal.
    """

    audio_in: Path | None = None
    typed: Path | None = None
    audio_out: Path | None = None
    job: str = ""
    model: str | None = None
    real_time: bool = False
    json: bool = False
    begin: datetime | None = None
    trial: bool = False
