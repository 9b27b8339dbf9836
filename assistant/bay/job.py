"""What the commands of a job share: how they refuse, where things lie, what they read, and which parts they choose."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import partial
from pathlib import Path
from typing import Any

from assistant.bay.tool_facts import tools_path
from assistant.fastening.tools import ToolBox
from assistant.journal.port import JobBusy, JournalFault
from assistant.language.chosen import LANGUAGE
from assistant.procedure.format.content import approval_clause
from assistant.procedure.format.reader import Reading, read_procedure
from assistant.procedure.format.tool_file import ToolReading, read_tool_file
from assistant.session import Session
from assistant.settings import Settings, SettingsFault, load_settings, override, settings_path
from assistant.terminal.exits import Exit, Refusal
from assistant.terminal.streams import STOPPED, give_stdout_back, warn
from assistant.voice.adapters.hibari import is_installed
from assistant.voice.listening.model_files import OWN_MODEL
from assistant.voice.ports import Recogniser, VoiceFault
from assistant.voice.speaking.process import NATURAL, PYTTSX3, ProcessSynthesiser
from assistant.voice.speaking.voices import Voices, unheard_of
from assistant.worker import OnFailure


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
    raise fault


def guarded(work: Callable[[], Exit]) -> Exit:
    """Do ``work``; a fault that a person can do something about is printed as a sentence, and gives its exit code."""
    try:
        return work()
    except (Refusal, JournalFault, VoiceFault, SettingsFault) as fault:
        refusal = refuse(fault)
        warn(refusal.sentence)
        return refusal.code
    except KeyboardInterrupt:
        warn(STOPPED)
        return Exit.INTERRUPTED
    finally:
        give_stdout_back()


def settings_for(options: Mapping[str, Any]) -> Settings:
    """Return the settings of this bay with the command line's options in their place."""
    return override(load_settings(settings_path()), options)


def read_or_refuse(path: Path) -> Reading:
    """Return the procedure at ``path``.

    Raises:
        Refusal: it has errors; all findings are in the sentence, one a line.
    """
    reading = read_procedure(path)
    if reading.procedure is None:
        raise Refusal("\n".join(str(finding) for finding in reading.findings), Exit.PROCEDURE)
    return reading


def read_tools_or_refuse(path: Path) -> tuple[ToolBox, ToolReading]:
    """Return the tools in the file ``path``, and how it was read.

    Raises:
        Refusal: it has errors; all findings are in the sentence, one a line.
    """
    reading = read_tool_file(path)
    if reading.box is None:
        raise Refusal("\n".join(str(finding) for finding in reading.findings), Exit.PROCEDURE)
    return reading.box, reading


def check_tools(setting: str) -> None:
    """Make sure that the tool file of this bay, if there is one, can be used, before devices are opened.

    Raises:
        Refusal: it has errors.
    """
    path = tools_path(setting)
    if path is not None:
        read_tools_or_refuse(path)


def about(reading: Reading) -> str:
    """Return, for the screen, which edition a job begins with, who approved it, and whether a look at it is wanted."""
    it = reading.usable
    line = f"{it.title}, revision {it.revision}: {approval_clause(it)}."
    if reading.findings:
        line += f" It has {len(reading.findings)} warnings; assistant check shows them."
    return line


def choose_recogniser(settings: Settings) -> Recogniser:
    """Return the recogniser that the settings name.

    Raises:
        VoiceFault: the model directory is missing or cannot be read.
    """
    from assistant.voice.adapters.vosk import VoskRecogniser  # noqa: PLC0415 - the lists need no engine

    return VoskRecogniser(LANGUAGE, Path(settings.model).expanduser() if settings.model else OWN_MODEL)


def start_synthesiser(settings: Settings, on_failure: OnFailure = unheard_of) -> Voices:
    """Begin to load the synthesiser that the settings name; see :meth:`Voices.ready`.

    It runs in a process of its own. When it breaks, ``on_failure`` is told and it is started again; when it breaks too
    often, another one speaks.

    Raises:
        VoiceFault: no process can be started.
    """
    wanted = [(NATURAL if settings.synthesiser == "natural" else PYTTSX3, settings.voice), (PYTTSX3, "")]
    if is_installed():
        wanted.append((NATURAL, ""))
    makers = [partial(ProcessSynthesiser, *one) for one in dict.fromkeys(wanted)]
    return Voices(makers[0](), makers, on_failure=on_failure)


def choose_synthesiser(settings: Settings, on_failure: OnFailure = unheard_of) -> Voices:
    """Return the synthesiser that the settings name, loaded; see :func:`start_synthesiser`.

    Raises:
        VoiceFault: it is not installed, or the voice is not known.
    """
    voices = start_synthesiser(settings, on_failure)
    voices.ready()
    return voices


def unheard(recogniser: Recogniser, session: Session) -> str:
    """Return a sentence about the phrases that the recogniser's model cannot hear, or nothing when it can hear all."""
    grammar = session.grammar()
    words = {word for phrase in grammar.phrases for word in phrase.split()}
    words |= {word for slot in grammar.slots for word in slot.prefix.split()}
    missing = recogniser.unknown_words(words)
    if not missing:
        return ""
    named = ", ".join(f'"{word}" (it knows "{near}")' if near else f'"{word}"' for word, near in missing.items())
    if len(missing) > len(words) / 2:
        return f"This model knows few words of the assistant (not {named}): is it English? Use another, or the keys."
    return f"This model cannot hear {named}: use the other ways to say it (assistant phrases), or a key."
