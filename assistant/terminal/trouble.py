"""What the screen tells when a part of the equipment fails; what is said then is a language's."""

from __future__ import annotations

from collections.abc import Mapping

from assistant.events import Then
from assistant.facts.bay import LostWhy
from assistant.worker import Failure

TOO_LONG = "I have been speaking for half a minute. Press q to silence me, or be quiet on a headset."
LOOP_STANDS = "The assistant does not answer. Wait a moment; if it stays so, end it and say: assistant resume"
SESSION_ENDED = (
    "The assistant failed three times in a minute and ends here. The job is kept; go on with: assistant resume"
)

_AGAIN: Mapping[str, str] = {
    "voice": "The voice failed and was started again.",
    "speaker": "The speaker failed and was started again; what it was saying is lost: say repeat.",
    "loudspeaker": "The loudspeaker's sound failed once; say repeat.",
    "listener": "The hearing failed and was started again; say it again.",
    "attending": "The search for words in noise failed and was started again.",
    "sound_card": "The watch over the sound devices failed and was started again.",
    "notes": "The writer of notes failed; this note is as the usual hearing took it.",
    "second_opinion": "The second hearing of unsure words failed and was started again.",
    "keyboard": "The keyboard failed once; press the key again.",
    "page": "The page failed and was started again.",
    "terminal": "This line could not be printed.",
    "watchdog": "The watch over the equipment failed and was started again.",
    "loop": "The assistant stood still for a while, and goes on.",
    "session": "The assistant could not work that out, and kept nothing of it: say it another way.",
}
_ENDED: Mapping[str, str] = {
    "voice": "There is no voice any more: read the screen, and use the keys. In a minute it is tried again.",
    "speaker": "I cannot speak any more: read the screen. To begin anew: Control-C, then assistant resume.",
    "loudspeaker": "The loudspeaker's sound fails again and again: read the screen, or name another loudspeaker.",
    "listener": "I cannot hear any more: use the keys. To begin anew: Control-C, then assistant resume.",
    "attending": "Words are not searched for in noise any more: beside a loud machine speak up, or use the keys.",
    "sound_card": "No sound device is watched any more: use the keys. To begin anew: Control-C, then assistant resume.",
    "notes": "The writer of notes fails again and again; from now on notes are as the usual hearing takes them.",
    "second_opinion": "Unsure words are not heard a second time any more: say them clearly, or use the keys.",
    "keyboard": "The keyboard is not read any more: use your voice. To begin anew: Control-C, then assistant resume.",
    "page": "The page is not served any more; voice and keys go on.",
    "terminal": "Nothing is printed any more; voice and keys go on.",
    "watchdog": "The equipment is not watched any more; voice and keys go on.",
    "session": SESSION_ENDED,
}
_LOST: Mapping[LostWhy, str] = {
    LostWhy.BUSY: "Some sound was lost, because this computer is busy; say it again.",
    LostWhy.STALLED: "Some sound was lost, because the hearing stood still; say it again.",
}


def failure_sentence(failure: Failure) -> str:
    """Return what the screen says about ``failure``."""
    if failure.then is Then.OTHER:
        return "The voice failed three times in a minute; another one speaks now."
    table = _ENDED if failure.then is Then.ENDED else _AGAIN
    return table.get(failure.part, f"A part of the assistant failed ({failure.part}).")


def lost_sound(why: LostWhy) -> str:
    """Return what the screen says about sound that was lost."""
    return _LOST.get(why, "Some sound was lost; say it again.")
