"""Where the procedures of a bay lie that can be started in it."""

from __future__ import annotations

from pathlib import Path

from assistant.files import expanded
from assistant.settings import Settings, home
from assistant.shipped import procedures_folder
from assistant.terminal.exits import Exit, Refusal


def own_procedures(settings: Settings) -> Path:
    """Return the folder of the procedures that can be started.

    Raises:
        Refusal: the setting names none.
    """
    if settings.procedures:
        folder = home() / expanded(settings.procedures)
        if not folder.is_dir():
            sentence = f'There is no folder {folder} of procedures: make it, or mend the setting "procedures".'
            raise Refusal(sentence, Exit.PROCEDURE)
        return folder
    own = home() / "procedures"
    return own if own.is_dir() else procedures_folder()
