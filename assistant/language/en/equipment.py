"""What is said about the equipment and the bay, not the job."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from assistant.events import VoiceKnob
from assistant.language.en.numbers import number_words
from assistant.language.en.tools import day_words
from assistant.language.en.words import plural, sentence

# While a job runs


def device_gone(device: str) -> str:
    return f"The {device} is gone. Nothing is lost. I keep looking for it."


def device_back(device: str) -> str:
    return f"The {device} is back. Go on."


_HEADSETS = {
    "phone": "The phone is the headset now.",
    "other phone": "Another phone is the headset now.",
    "bay": "The phone is no headset any more. Use the equipment of the bay.",
}


def headset_chosen(headset: str) -> str:
    return _HEADSETS[headset]


def yes() -> str:
    return "Yes?"


_SILENT = {
    "echo": "I hear too much of myself here: speak when I am silent.",
    "devices": "The microphone or the loudspeaker was changed: speak when I am silent, and run mic-check.",
    "broken": "The echo canceller broke: speak when I am silent.",
    "missing": "The echo canceller is not installed: speak when I am silent.",
}


def only_while_silent(why: str) -> str:
    return _SILENT[why]


def not_stored() -> str:
    return "That was not stored. Look at the screen, then say it again."


_ENDS = {
    (VoiceKnob.VOLUME, True): "I cannot speak louder.",
    (VoiceKnob.VOLUME, False): "I cannot speak more quietly.",
    (VoiceKnob.RATE, True): "I cannot speak faster.",
    (VoiceKnob.RATE, False): "I cannot speak more slowly.",
}


def at_its_end(knob: VoiceKnob, *, up: bool) -> str:
    return _ENDS[knob, up]


_FAILED = {
    ("voice", "other_way"): "I speak with another voice now.",
    ("listener", "built_again"): "I listen again. Say it again.",
    ("listener", "ended"): "I cannot hear any more. Use the keys.",
    ("attending", "ended"): "Beside loud machines I may not hear you. Use the keys there.",
    ("sound_card", "ended"): "I cannot hear any more. Use the keys.",
    ("session", "built_again"): "I could not work that out. Nothing of it was kept. Say it another way.",
}


def part_failed(part: str, then: str) -> str:
    return _FAILED.get((part, then), "")


def not_approved(*, changed: bool) -> str:
    return "This procedure was changed after it was approved." if changed else "This procedure is not approved."


def procedure_gone(on: date | None, reason: str, *, begins: bool) -> list[str]:
    day = f" on {day_words(on)}" if on else ""
    lines = [f"This revision of the procedure was withdrawn{day}."]
    lines += [f"The reason: {sentence(reason)}"] if reason else []
    return [*lines, "Say confirmed to begin with it all the same." if begins else "This job goes on with it."]


def procedure_gone_shown(revision: str, on: date | None, reason: str) -> str:
    day = f" on {on.isoformat()}" if on else ""
    return f"revision {revision} of the procedure was withdrawn{day}{f': {reason}' if reason else ''}".rstrip(".")


_CHANGES = {"added": "added", "removed": "removed", "changed": "changed", "moved": "moved"}
_MOST_COUNTED = 10


def file_changed(steps: Sequence[tuple[str, int]], others: int, *, faulty: bool) -> str:
    parts = [f"{_number(count)} {'step is' if count == 1 else 'steps are'} {_CHANGES[how]}" for how, count in steps]
    if others:
        parts.append(f"{_number(others)} other {'thing differs' if others == 1 else 'things differ'}")
    joined = " and ".join([", ".join(parts[:-1]), parts[-1]] if len(parts) > 1 else parts)
    what = "It has errors now." if faulty else sentence(joined)
    return f"The procedure file was changed after this job began. {what} This job goes on with its own copy."


def _number(count: int) -> str:
    return number_words(count) if count <= _MOST_COUNTED else "many"


# Checking the microphone, and recording phrases


def check_begins() -> str:
    return "Microphone check. Please be silent for three seconds, and let the machines run."


def own_voice() -> str:
    return "Now I listen to my own voice. Bolts four to eight. Thirty-two newton metres."


def say_this(phrase: str, number: int = 0, of: int = 0) -> str:
    return f"{number_words(number).capitalize()} of {number_words(of)}. Say: {phrase}." if of else f"Say: {phrase}."


def recording_begins(phrases: int) -> str:
    asked = f"I ask for {plural(phrases, 'phrase', 'phrases')}. Say each as you would at work."
    return f"{asked} Control C stops; what is kept stays."


def recording_ends(*, heard: bool) -> str:
    return "That is all. Thank you." if heard else "I hear nothing: try the microphone with assistant mic-check."


def no_signal() -> str:
    return (
        "The microphone gives no signal: switch it on, plug it in, or name another (assistant devices lists them) "
        "with --microphone."
    )


def voice_begins(phrases: int) -> str:
    asked = f"I ask for {plural(phrases, 'phrase', 'phrases')}. Say each as you would at work."
    return f"{asked} You may stop at any time. First be silent for three seconds."


def voice_too_few() -> str:
    return "That is not enough yet. Start me again, and I go on from here."


def voice_learns() -> str:
    return "That is all. Thank you. I learn now. It takes a minute."


def voice_learnt(*, helps: bool) -> str:
    if helps:
        return "I hear you better with it. I use it when you are named as operator."
    return "Your voice is heard as well without. Nothing is kept."


def hum(*, only: bool) -> str:
    if only:
        return "The microphone gives hum only: check its cable and plug, and keep it away from mains leads."
    return "There is mains hum on the microphone: check its cable and plug."


def nobody_spoke() -> str:
    return "I heard nobody speak: check that this is the microphone in front of you, and its gain."


def too_strong(clipped: int) -> str:
    words = "a phrase was" if clipped == 1 else f"{number_words(clipped)} phrases were"
    return f"The sound is too strong and {words} clipped: turn the gain down, or speak past the microphone."


def weak() -> str:
    return "Your voice is weak: turn the gain up, or bring the microphone closer to your mouth."


def over_noise(decibels: int, *, enough: bool) -> str:
    much = "little" if enough else "too little"
    stands = f"Your voice stands {plural(decibels, 'decibel', 'decibels')} over the noise, which is {much}"
    return f"{stands}: bring the microphone closer to your mouth, or wear a headset with a boom."


def echoes() -> str:
    return "The room echoes long: the microphone stays closed longer after I speak, or use a headset."


def other_sounds() -> str:
    return (
        "Something sounded while I spoke: I cannot tell whether the microphone hears me. Check again in a quiet moment."
    )


def stood_still() -> str:
    return "This computer stood still again and again, and lost sound: close other programs, and check again."


def understood(right: int, of: int) -> str:
    return f"I understood {number_words(right)} of {plural(of, 'phrase', 'phrases')}."


_LISTENS = {
    "headset": "I listen while I speak, since the microphone does not hear me",
    "over": "speak over me at any time, and I fall silent",
    "closed": "the microphone stays closed for {} milliseconds after I speak",
}


def stored(mode: str, closed_ms: int) -> str:
    return f"The devices are stored for the next job: {_LISTENS[mode].format(number_words(closed_ms))}."


def not_enough() -> str:
    return "Nothing is stored: that is too few to work with."
