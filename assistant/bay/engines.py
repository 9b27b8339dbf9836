"""The engines that the settings name: the recogniser, and the voice."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from assistant.language.chosen import LANGUAGE
from assistant.settings import Settings, home
from assistant.voice.adapters import moonshine
from assistant.voice.adapters.hibari import is_installed
from assistant.voice.listening.asked_second import AskedAtOnce, AskedInTime, SecondOpinion
from assistant.voice.listening.model_files import model_folder
from assistant.voice.listening.notes import NoteWriter
from assistant.voice.listening.writing import ProcessWriter
from assistant.voice.own.profile import VOICES
from assistant.voice.ports import Recogniser
from assistant.voice.speaking.process import NATURAL, PYTTSX3, ProcessSynthesiser
from assistant.voice.speaking.voices import Voices, unheard_of
from assistant.worker import OnFailure

_LIVE_PATIENCE_S, _RECORDING_PATIENCE_S = 2.0, 60.0
"""A writer that gives no second opinion for so long is taken to hang [s]: in a bay, and with a recording."""


def choose_recogniser(settings: Settings, tell: Callable[[str], None], mic: Callable[[], str] = str) -> Recogniser:
    """Return the recogniser that the settings name; ``tell`` gets what it says of voices, ``mic`` names the microphone.

    Raises:
        VoiceFault: the model directory is missing or cannot be read.
    """
    from assistant.voice.own.voices import hear_everybody  # noqa: PLC0415 - who only speaks needs no such engine

    return hear_everybody(model_folder(settings.model), home() / VOICES, tell, mic)


def note_writer(on_failure: OnFailure, tell: Callable[[str], None]) -> NoteWriter:
    """Return what writes notes down, from the first one on; where the extra is missing, ``tell`` gets a sentence then.

    It runs in a process of its own. When it breaks, ``on_failure`` is told, and the recogniser's words count.
    """
    make = ProcessWriter if moonshine.writer_is_installed() else None
    return NoteWriter(make, LANGUAGE, on_failure=on_failure, without=lambda: tell(moonshine.NO_WRITER))


def second_opinion(
    on_failure: OnFailure, tell: Callable[[str], None] = lambda _: None, *, waits: bool = False
) -> SecondOpinion | None:
    """Return what is asked about words that the recogniser is unsure of; None, and ``tell`` told so, without the extra.

    It runs in a process of its own, which is begun when somebody listens. Who listens in real time waits for a moment;
    with ``waits``, for recordings, as long as it takes. When it breaks, ``on_failure`` is told, and the recogniser's
    word stands.
    """
    if not moonshine.writer_is_installed():
        tell(moonshine.NO_WRITER)
        return None
    make = partial(ProcessWriter, patience_s=_RECORDING_PATIENCE_S if waits else _LIVE_PATIENCE_S)
    asks = (AskedAtOnce if waits else AskedInTime)(make, on_failure=on_failure)
    return SecondOpinion(asks, LANGUAGE)


def start_synthesiser(settings: Settings, on_failure: OnFailure = unheard_of) -> Voices:
    """Begin to load the synthesiser that the settings name; see :meth:`Voices.ready`.

    It runs in a process of its own. When it breaks, ``on_failure`` is told and it is started again; when it breaks too
    often, another one speaks.

    Raises:
        VoiceFault: no process can be started.
    """
    wanted = [(NATURAL if settings.synthesiser == "natural" else PYTTSX3, settings.voice), (PYTTSX3, "")]
    wanted += [(NATURAL, "")] if is_installed() else []
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
