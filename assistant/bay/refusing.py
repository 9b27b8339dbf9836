"""How commands refuse: a fault of a room is one sentence and an exit code. Nothing heavy comes with it."""

from __future__ import annotations

from collections.abc import Callable

from assistant.central.place import CentralFault
from assistant.journal.port import JobBusy, JournalFault
from assistant.settings import SettingsFault
from assistant.terminal.exits import Exit, Refusal
from assistant.terminal.streams import STOPPED, give_stdout_back, warn
from assistant.voice.faults import VoiceFault


def refuse(fault: Exception) -> Refusal:
    """Return the refusal that stands for a fault of one of the rooms."""
    match fault:
        case Refusal():
            return fault
        case JobBusy():
            return Refusal(fault.sentence, Exit.BUSY)
        case JournalFault():
            return Refusal(fault.sentence, Exit.JOURNAL)
        case VoiceFault():
            return Refusal(fault.sentence, Exit.DEVICE)
        case SettingsFault():
            return Refusal(fault.sentence, Exit.USAGE)
        case CentralFault():
            return Refusal(fault.sentence, Exit.CENTRAL)
    raise fault


def guarded(work: Callable[[], Exit]) -> Exit:
    """Do ``work``; a fault that a person can do something about is printed as a sentence, and gives its exit code."""
    try:
        return work()
    except (Refusal, JournalFault, VoiceFault, SettingsFault, CentralFault) as fault:
        refusal = refuse(fault)
        warn(refusal.sentence)
        return refusal.code
    except KeyboardInterrupt:
        warn(STOPPED)
        return Exit.INTERRUPTED
    finally:
        give_stdout_back()
