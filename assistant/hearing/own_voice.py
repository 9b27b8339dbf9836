"""``assistant voice NAME``: a voice of their own in five minutes, prompted by voice; what is known of voices."""

from __future__ import annotations

import shutil
from collections import Counter
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from shlex import quote

from assistant.bay.job import settings_for
from assistant.bay.refusing import guarded
from assistant.clock import SteadyClock
from assistant.files import private_folder
from assistant.hearing.booth import Answer, Booth, joined_blocks
from assistant.hearing.manifest import read_manifest
from assistant.hearing.measuring import phrases_for
from assistant.hearing.mic_check import ANSWER_WITHIN_S, CLIPPED_MOST, SILENCE_S
from assistant.hearing.mic_sound import clipped_share, is_dead, noise_db, speech_db
from assistant.hearing.options import VoiceOptions
from assistant.hearing.record import keep_recording
from assistant.hearing.voice_made import SaidClip, VoiceLearner
from assistant.hearing.voice_prompts import voice_prompts
from assistant.language.chosen import LANGUAGE
from assistant.settings import Settings, home
from assistant.terminal.exits import Exit, Refusal
from assistant.terminal.tables import table
from assistant.visible import one_line
from assistant.voice.adapters.wav import read_recording
from assistant.voice.listening.limits import hash_of_net
from assistant.voice.listening.model_files import model_folder
from assistant.voice.own.profile import (
    VOICES,
    Profile,
    ProfileFault,
    person_key,
    profile_path,
    read_profile,
    write_profile,
)

LEAST_RECORDINGS = 24
"""Fewer recordings teach too little, and tell too little of whether it helped."""
MOST_RECORDINGS = 240
"""Learning takes about a second of one core for each."""
TEACHES_FROM_DB = 10.0
"""Speech that stands less than this over the noise teaches the noise [dB]."""
ASKED_FOR_S = 210.0
"""What is asked until then teaches: with the beginning, and a minute of learning, it is five minutes [s]."""
_IN_A_ROW = 3
"""After so many answers in a row that cannot be used, it stops."""
_SAY = LANGUAGE.equipment


def run_voice(name: str, options: VoiceOptions) -> Exit:
    """Make, list or remove what is known of the voice of ``name``."""
    return guarded(lambda: _voice(" ".join(name.split()), options))


def _voice(name: str, options: VoiceOptions) -> Exit:
    settings = settings_for(options)
    if options.list:
        return _listed(model_folder(settings.model))
    if not name or not name.isprintable() or "," in name or len(name) > 100:
        raise Refusal(
            "A name is one line of at most 100 letters, without commas, as --operator names one person.", Exit.USAGE
        )
    if options.forget:
        gone = forget_voice(home(), name)
        print(
            f"What was known of the voice of {name} is removed."
            if gone
            else f"Nothing is known of the voice of {name}."
        )
        return Exit.OK
    if options.recordings is not None:
        _learn(name, settings, _clips(options.recordings), "")
        return Exit.OK
    return _prompted(name, settings)


def _prompted(name: str, settings: Settings) -> Exit:
    """Ask for what is still wanted of ``name``, then learn; what was recorded stays until the profile is made."""
    listing = recordings_of(home(), name)
    with Booth(settings) as booth:
        microphone = booth.microphone
        _check_same_microphone(listing, microphone)
        left = still_wanted(name, listing)
        booth.say(_SAY.voice_begins(len(left)))
        quiet = joined_blocks(booth.record(SILENCE_S))
        if is_dead(quiet):
            raise Refusal(_SAY.no_signal(), Exit.DEVICE)
        trouble = _asked(booth, left, listing, name, noise_db(quiet))
        if trouble:
            booth.say(trouble)
            return Exit.DEVICE
        clips = _clips(listing) if listing.exists() else []
        if len(clips) < LEAST_RECORDINGS:
            booth.say(_SAY.voice_too_few())
            return Exit.OPEN
        booth.say(_SAY.voice_learns())
        booth.say(_SAY.voice_learnt(helps=_learn(name, settings, clips, microphone)))
    shutil.rmtree(listing.parent, ignore_errors=True)
    return Exit.OK


def still_wanted(name: str, listing: Path) -> list[str]:
    """Return what ``name`` is to say and has not said yet by ``listing``, if there is one."""
    there = Counter(one.label for one in read_manifest(listing)) if listing.exists() else Counter[str]()
    left = []
    for text in voice_prompts(name):
        if there[text]:
            there[text] -= 1
        else:
            left.append(text)
    return left


def _asked(booth: Booth, left: list[str], listing: Path, name: str, noise: float) -> str:
    """Ask for each text and keep what can be learnt from; return why it went no further, "" if nothing was wrong."""
    clock, useless = SteadyClock(), Counter[str]()
    until = clock.now() + ASKED_FOR_S
    for text in left:
        if clock.now() > until:
            break
        answer = booth.ask(_SAY.say_this(text), phrases_for([text]), ANSWER_WITHIN_S)
        trouble = trouble_with(answer, noise)
        if not trouble:
            useless.clear()
            keep_recording(listing, listing.parent / "sound", text, answer.samples, name)
            continue
        useless[trouble] += 1
        if useless.total() >= _IN_A_ROW:
            return trouble
    return ""


def trouble_with(answer: Answer, noise: float) -> str:
    """Return the sentence on what is wrong with an answer; "" where it can be learnt from."""
    if answer.heard is None:
        return _SAY.recording_ends(heard=False)
    if clipped_share(answer.samples) > CLIPPED_MOST:
        return _SAY.too_strong(1)
    over = speech_db(answer.samples, noise) - noise
    return _SAY.over_noise(max(0, round(over)), enough=False) if over < TEACHES_FROM_DB else ""


def _check_same_microphone(listing: Path, microphone: str) -> None:
    """Begin anew where the recordings so far are of another microphone."""
    private_folder(listing.parent.parent, ours=True)
    private_folder(listing.parent, ours=True)
    mark = listing.parent / "microphone"
    if listing.exists() and (not mark.exists() or mark.read_text("utf-8") != microphone):
        print("What was recorded so far is of another microphone: it begins anew.")
        shutil.rmtree(listing.parent)
        private_folder(listing.parent, ours=True)
    mark.write_text(microphone, "utf-8")


def _clips(listing: Path) -> list[SaidClip]:
    return [(one.label, read_recording(one.path)) for one in read_manifest(listing) if one.label]


def _learn(name: str, settings: Settings, clips: list[SaidClip], microphone: str) -> bool:
    """Learn from ``clips`` and keep the profile if it helps; print what came of it, and return whether it does."""
    if len(clips) < LEAST_RECORDINGS:
        raise Refusal(
            f"{len(clips)} recordings are too few to learn a voice from: give {LEAST_RECORDINGS}.", Exit.USAGE
        )
    if len(clips) > MOST_RECORDINGS:
        raise Refusal(f"{len(clips)} recordings would take hours to learn from: give {MOST_RECORDINGS}.", Exit.USAGE)
    model = model_folder(settings.model)
    learner = VoiceLearner(model, phrases_for([text for text, _ in clips]))
    if missing := learner.usual.unknown_words({word for text, _ in clips for word in text.split()}):
        raise Refusal(f'The model does not know "{next(iter(missing))}": leave such recordings out.', Exit.USAGE)
    made = learner.tried(clips)
    without, with_it = made.without, made.with_it
    heard = f"{without.right} of {without.of} held back were heard without it, {with_it.right} with it"
    if not made.helps:
        print(f"Your voice is heard as well without a profile ({heard}), so none is kept.")
        return False
    today = datetime.fromtimestamp(SteadyClock().now(), tz=UTC).date().isoformat()
    profile = Profile(name, hash_of_net(model), microphone, today, without, with_it, made.change)
    try:
        path = write_profile(home() / VOICES, profile)
    except OSError as fault:
        raise Refusal(f"The profile cannot be kept ({fault.strerror}): free some space.", Exit.OUTPUT) from fault
    print(f"The profile of {name} is kept in {path} ({heard}); it is used when a job says --operator {quote(name)}.")
    return True


@dataclass(frozen=True, slots=True)
class KnownVoice:
    """One file of the folder of voices: whose, what it brings, and whether it is used with the present model."""

    name: str
    made_on: str
    microphone: str
    brings: str
    state: str
    is_used: bool


def known_voices(kept: Path, model: Path) -> list[KnownVoice]:
    """Return what is known of voices in the data folder ``kept``, and whether it fits the ``model``."""
    net = hash_of_net(model)
    found = []
    for path in sorted((kept / VOICES).glob("*.json")):
        try:
            one = read_profile(path)
        except ProfileFault as fault:
            found.append(KnownVoice(path.stem, "", "", "", fault.sentence, is_used=False))
            continue
        if one is not None:
            brings = f"{one.without.right} -> {one.with_it.right} of {one.with_it.of}"
            state = "used" if one.net == net else "made for another speech model: make it anew"
            found.append(KnownVoice(one.name, one.made_on, one.microphone, brings, state, is_used=one.net == net))
    return found


def _listed(model: Path) -> Exit:
    rows = [tuple(map(one_line, (v.name, v.made_on, v.microphone or "-", v.brings, v.state)))
            for v in known_voices(home(), model)]  # fmt: skip
    if not rows:
        print("No voice is known: assistant voice NAME makes a profile.")
        return Exit.OK
    print(table(("voice of", "made on", "microphone", "understood", "state"), rows))
    return Exit.OK


def recordings_of(kept: Path, name: str) -> Path:
    """Return the list of what was recorded of ``name`` so far, whether there is one or not."""
    return kept / VOICES / person_key(name) / "said.tsv"


def forget_voice(kept: Path, name: str) -> bool:
    """Remove the profile of ``name`` and its recordings from the data folder ``kept``; return whether there was one.

    Raises:
        Refusal: it cannot be removed.
    """
    path, said = profile_path(kept / VOICES, name), recordings_of(kept, name).parent
    was = path.exists() or path.is_symlink() or said.exists()
    try:
        path.unlink(missing_ok=True)
        if said.exists():
            shutil.rmtree(said)
    except OSError as fault:
        raise Refusal(
            f"What is known of a voice in {path.parent} is not removed ({fault.strerror}): remove it yourself.",
            Exit.OUTPUT,
        ) from fault
    return was
