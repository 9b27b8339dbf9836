"""``assistant bay``: opens a bay in this room, and lets it wait and work all day."""

from __future__ import annotations

from assistant.bay.around import Outward, Runner
from assistant.bay.hearable import Hears
from assistant.bay.job import check_tools, settings_for
from assistant.bay.live import open_room
from assistant.bay.refusing import guarded
from assistant.clock import SteadyClock
from assistant.desk.pages import BayDesk
from assistant.idle.day import Day, pressed_on_page
from assistant.idle.known import KnownHere
from assistant.idle.options import BayOptions
from assistant.idle.printing import LabelPrinter
from assistant.idle.state import Mechanic
from assistant.idle.wake import check_wake
from assistant.kept.own_procedures import own_procedures
from assistant.kept.shim_box import box_known
from assistant.language.chosen import LANGUAGE
from assistant.report.label import parse_label_size
from assistant.service.notify import Manager
from assistant.service.only_one import the_only_bay
from assistant.settings import Settings, home
from assistant.terminal.exits import Exit, Refusal
from assistant.workshop.library_copy import age_told, bay_library


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
        folder = own_procedures(settings)
        desk = BayDesk(folder)
        manager, choose = Manager(), lambda inbox: {"choose": pressed_on_page(inbox)}
        with the_only_bay(home()), open_room(settings, options.page, folder, choose, waits=True) as room:
            room.bay.beat = manager.beat
            known = KnownHere(room.journal, desk, settings, room.elsewhere)

            def label_told(fault: str) -> None:
                words = LANGUAGE.idle.label_is(printed=not fault)
                if fault:
                    room.inbox.told(fault)

                def answer(runner: Runner, now: float) -> None:
                    if isinstance(runner, Outward):  # aloud: it belongs to the end of the job
                        Outward.announce(runner, words, now, trouble=bool(fault))

                room.inbox.put(answer)

            printer = LabelPrinter(settings.printer, size, label_told, room.inbox.failed)
            day = Day(room, settings, known, closed=printer.print, doing=lambda job: manager.status(_status(job)))
            manager.ready(_status(""))
            try:
                return day.run([*first_lines(settings, room.bay.ears, known.now().people), room.invitation])
            finally:
                manager.stopping()
                printer.close()

    return guarded(work)


def _status(job: str) -> str:
    """Return the line about the bay for whoever looks after the computer: it names no person."""
    return f"Job {job} is at work" if job else "The bay waits"


def first_lines(settings: Settings, ears: Hears, people: tuple[Mechanic, ...]) -> list[str]:
    """Return what is printed when the bay begins to wait."""
    begin = f'Say "{settings.wake}", then' if settings.wake else "Say"
    lines = [f"The bay waits. {begin}: jobs, procedures, or new job. Control-C ends the day."]
    library = bay_library()
    if theirs := library.procedures():
        lines.append(
            f"{len(theirs)} from the library of the workshop, which come before files of the same id. "
            f"{age_told(library.asked_at, SteadyClock().now())}"
        )
    silent = [one.name for one in people if not one.spoken or ears.unknown_words(one.spoken.split())]
    if silent:
        lines.append(
            f"The model cannot hear the names {', '.join(silent)}: write beside each how it sounds, in words that it "
            'knows, such as operators = "Aoife = ee fa", or choose it by its number or on the page.'
        )
    return lines
