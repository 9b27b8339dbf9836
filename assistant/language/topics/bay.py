"""What is recognised, and what is said about the equipment."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from typing import Protocol

from assistant.events import VoiceKnob


class Phrases(Protocol):
    """How each intent is said. The intents themselves, with their weights, are in the session's table."""

    def phrases(self, intent: str) -> tuple[str, ...]:
        """Return the ways to say ``intent``, the usual one first: lower case, no digits, no apostrophes.

        Where a number belongs to it, the number follows the phrase.
        """

    def name(self, text: str) -> str:
        """Return how a name of the procedure is spoken, as a recogniser spells it; "" where it cannot be."""

    def meaning(self, intent: str) -> str:
        """Return what ``intent`` does, as a sentence to read beside its phrases."""


class Notes(Protocol):
    """Free speech: how words follow one another in notes about a machine."""

    def free_phrases(self, words: Sequence[str]) -> list[str]:
        """Return phrases to make a model of word pairs from: each of ``words``, and notes that hold no other word."""

    def written_endings(self) -> list[str]:
        """Return how a writer of free speech may write the phrase that ends a note, in small letters."""

    def written_numbers(self) -> Mapping[str, str]:
        """Return the number words that sound like other words, by how a writer of free speech may write them."""


class Equipment(Protocol):
    """What is said about the equipment and the bay, not the job."""

    def device_gone(self, device: str) -> str:
        """Say that the microphone, the loudspeaker or the phone (the ``device``) is gone."""

    def device_back(self, device: str) -> str:
        """Say that the microphone, the loudspeaker or the phone (the ``device``) is there again."""

    def headset_chosen(self, headset: str) -> str:
        """Say which ``headset`` somebody chose (a code): the phone, the other phone, or the bay's own devices."""

    def yes(self) -> str:
        """Ask whoever spoke over the voice, and was not understood, to say it now: the shortest question there is."""

    def only_while_silent(self, why: str) -> str:
        """Say that nobody is heard while the assistant speaks, and ``why``: a code of the ear, or ``missing``."""

    def not_stored(self) -> str:
        """Say that the journal could not take what was said last."""

    def at_its_end(self, knob: VoiceKnob, *, up: bool) -> str:
        """Say that a ``knob`` of the voice cannot be turned further ``up``, or down."""

    def part_failed(self, part: str, then: str) -> str:
        """Say that a ``part`` of the equipment failed, and what came ``then``, a code of the worker; "" for none."""

    def not_approved(self, *, changed: bool) -> str:
        """Say that nobody approved the procedure, or that it was ``changed`` after somebody did."""

    def procedure_gone(self, on: date | None, reason: str, *, begins: bool) -> list[str]:
        """Say that the procedure was withdrawn ``on`` a day, and the ``reason`` as somebody wrote it.

        To whoever ``begins`` a job with it, also what to say to begin anyhow.
        """

    def procedure_gone_shown(self, revision: str, on: date | None, reason: str) -> str:
        """Return the same for a display: a text that begins small, without its full stop."""

    def file_changed(self, steps: Sequence[tuple[str, int]], others: int, *, faulty: bool) -> str:
        """Say that the procedure file was changed after the job began, and how much differs; or that it is ``faulty``.

        ``steps`` has how many steps are changed, added, removed or moved (codes), ``others`` how many other things.
        """

    def check_begins(self) -> str:
        """Ask for silence, before the microphone is checked."""

    def own_voice(self) -> str:
        """Return words with which the microphone is listened to for the assistant's own voice."""

    def say_this(self, phrase: str, number: int = 0, of: int = 0) -> str:
        """Ask for a ``phrase`` to be said; it is ``number`` ``of`` several, or 0 where nobody counts."""

    def recording_begins(self, phrases: int) -> str:
        """Say how many phrases are asked for, to be recorded."""

    def recording_ends(self, *, heard: bool) -> str:
        """Say that this is all, or that nothing was ``heard``."""

    def no_signal(self) -> str:
        """Say that the microphone gives no signal, and what to do."""

    def voice_begins(self, phrases: int) -> str:
        """Say that a voice is learnt, from how many phrases, and ask for silence first."""

    def voice_too_few(self) -> str:
        """Say that too few phrases were said to learn from, and that the next start goes on."""

    def voice_learns(self) -> str:
        """Say that all was said, and that learning takes a moment."""

    def voice_learnt(self, *, helps: bool) -> str:
        """Say whether the profile of the voice ``helps``; then it is used from now on."""

    def hum(self, *, only: bool) -> str:
        """Say that there is mains hum on the microphone, or that there is ``only`` hum."""

    def nobody_spoke(self) -> str:
        """Say that no voice was heard."""

    def too_strong(self, clipped: int) -> str:
        """Say that the sound of so many phrases was clipped."""

    def weak(self) -> str:
        """Say that the voice is weak."""

    def over_noise(self, decibels: int, *, enough: bool) -> str:
        """Say that the voice stands little over the noise [dB]; not ``enough``: too little."""

    def echoes(self) -> str:
        """Say that the room echoes long."""

    def other_sounds(self) -> str:
        """Say that something sounded together with the own voice, which was not found in it."""

    def stood_still(self) -> str:
        """Say that the computer stood still again and again while it listened."""

    def understood(self, right: int, of: int) -> str:
        """Say how many phrases were understood."""

    def stored(self, mode: str, closed_ms: int) -> str:
        """Say that the devices are stored, and how the assistant listens while it speaks: ``mode`` is a code.

        In the mode ``closed`` the microphone stays closed for ``closed_ms`` after it spoke [ms].
        """

    def not_enough(self) -> str:
        """Say that nothing is stored, since too little was understood."""
