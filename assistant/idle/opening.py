"""``assistant bay``: opens a bay in this room, and lets it wait and work all day."""

from __future__ import annotations

from pathlib import Path

from assistant.bay.hearable import Hears
from assistant.bay.job import check_tools, guarded, settings_for
from assistant.bay.live import open_room
from assistant.desk.pages import BayDesk
from assistant.idle.day import Day, pressed_on_page
from assistant.idle.known import KnownHere
from assistant.idle.options import BayOptions
from assistant.idle.printing import LabelPrinter
from assistant.idle.state import Mechanic
from assistant.idle.wake import check_wake
from assistant.kept.shim_box import box_known
from assistant.language.chosen import LANGUAGE
from assistant.report.label import parse_label_size
from assistant.settings import Settings, home
from assistant.shipped import procedures_folder
from assistant.terminal.exits import Exit, Refusal


def run_bay(options: BayOptions) -> Exit:
    """Wait and work until somebody ends it by Control-C or the system by its shutdown."""

    def work() -> Exit:
        settings = settings_for(options)
        check_wake(settings)
        size = parse_label_size(settings.label_size)
        if isinstance(size, str):
            raise Refusal(f'The setting "label_size": {size}', Exit.USAGE)
        check_tools(settings.tools)
        box_known(settings.box)
        folder = folder_of(settings)
        desk = BayDesk(folder)
        with open_room(settings, options.page, folder, lambda inbox: {"choose": pressed_on_page(inbox)}) as room:
            known = KnownHere(room.journal, desk, settings)

            def label_told(fault: str) -> None:
                words = LANGUAGE.idle.label_is(printed=not fault)
                if fault:
                    room.inbox.told(fault)
                room.inbox.put(lambda runner, now: runner.announce(words, now, trouble=bool(fault)))

            printer = LabelPrinter(settings.printer, size, label_told, room.inbox.failed)
            try:
                return Day(room, settings, known, closed=printer.print).run(
                    [*first_lines(settings, room.bay.ears, known.now().people), room.invitation]
                )
            finally:
                printer.close()

    return guarded(work)


def folder_of(settings: Settings) -> Path:
    """Return the folder of the procedures that can be started.

    Raises:
        Refusal: the setting names none.
    """
    if settings.procedures:
        folder = home() / Path(settings.procedures).expanduser()
        if not folder.is_dir():
            sentence = f'There is no folder {folder} of procedures: make it, or mend the setting "procedures".'
            raise Refusal(sentence, Exit.PROCEDURE)
        return folder
    own = home() / "procedures"
    return own if own.is_dir() else procedures_folder()


def first_lines(settings: Settings, ears: Hears, people: tuple[Mechanic, ...]) -> list[str]:
    """Return what is printed when the bay begins to wait."""
    begin = f'Say "{settings.wake}", then' if settings.wake else "Say"
    lines = [f"The bay waits. {begin}: jobs, procedures, or new job. Control-C ends the day."]
    silent = [one.name for one in people if not one.spoken or ears.unknown_words(one.spoken.split())]
    if silent:
        lines.append(
            f"The model cannot hear the names {', '.join(silent)}: write beside each how it sounds, in words that it "
            'knows, such as operators = "Aoife = ee fa", or choose it by its number or on the page.'
        )
    return lines
