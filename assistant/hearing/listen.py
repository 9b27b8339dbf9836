"""Listens to recordings on all cores: each one anew, in noise or without, and to running speech as in a bay."""

from __future__ import annotations

import multiprocessing
import os
import sys
import zlib
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TypeVar

import numpy as np

from assistant.bay.engines import second_opinion
from assistant.events import Clarity, Grammar, Heard
from assistant.hearing.manifest import Recording
from assistant.hearing.mixing import is_noise, mixed
from assistant.hearing.score import Trial
from assistant.language.chosen import LANGUAGE
from assistant.terminal.trouble import failure_sentence
from assistant.voice.adapters.vosk import VoskRecogniser
from assistant.voice.adapters.wav import read_recording
from assistant.voice.listening.endpointing import Endpointing
from assistant.voice.listening.listener import Listener
from assistant.voice.ports import BLOCK, RATE, Block, Samples, VoiceFault
from assistant.worker import Failure

_FED = RATE // 5
"""Samples that a recogniser is given at once: whole recordings need no small steps."""
_WORTH_A_PROCESS = 8
"""Recordings for which one more process is started."""
Result = TypeVar("Result")


@dataclass(frozen=True, slots=True)
class ListeningPlan:
    """How to listen: the model, what may be said, whether one of it must have been, and the noise.

    Every recording is heard without noise and, when there is any, once for each of ``snrs`` [dB]. With ``second``, what
    the model is unsure of is put to the second opinion, where that is installed, and a closed choice is made with it.
    """

    model: Path
    grammar: Grammar
    closed: bool
    noise: tuple[Path, ...] = ()
    snrs: tuple[float, ...] = ()
    seed: int = 1
    second: bool = True


class _Worker:
    """What one process keeps between recordings: the loaded model and the noise."""

    def __init__(self, plan: ListeningPlan, noise: Sequence[Samples]) -> None:
        self.plan = plan
        self.loaded = VoskRecogniser(LANGUAGE, plan.model)
        self.noise = noise
        self.second = second_opinion(_failed, waits=True) if plan.second else None

    def trials(self, recording: Recording) -> list[Trial]:
        clip = read_recording(recording.path)
        found = []
        for snr in (None, *self.plan.snrs):
            # What noise a recording meets depends on its name and the SNR alone, not on the order or the cores.
            random = np.random.default_rng([self.plan.seed, zlib.crc32(recording.path.name.encode()), _number(snr)])
            noise = self.noise[int(random.integers(len(self.noise)))] if snr is not None else None
            heard = self._hear(mixed(clip, noise, snr, random), noisy=snr is not None and snr < Endpointing().quiet_db)
            is_phrase = heard.clarity is Clarity.PHRASE
            text = heard.text if is_phrase else ""
            found.append(Trial(recording.label, recording.speaker, snr, text, heard.confidence if is_phrase else 0.0))
        return found

    def _hear(self, samples: Samples, *, noisy: bool) -> Heard:
        recogniser = self.loaded.fresh(closed=self.plan.closed)
        recogniser.set_grammar(self.plan.grammar)
        recogniser.start()
        for at in range(0, samples.size, _FED):
            recogniser.feed(samples[at : at + _FED])
        heard = recogniser.finish(0.0, samples.size / RATE)
        if self.second is not None and self.plan.closed:
            return self.second.among(heard, samples, self.plan.grammar.phrases)
        if self.second is not None:
            return self.second.on(heard, lambda: samples, self.plan.grammar, recogniser.limits, noisy=noisy)
        return heard

    def running(self, recording: Recording) -> tuple[float, list[Heard]]:
        """Return the length [s] of a long recording and the whole utterances in it that were taken for a phrase."""
        recogniser = self.loaded.fresh()
        recogniser.set_grammar(self.plan.grammar)
        heard: list[Heard] = []
        listener = Listener(recogniser, heard.append, second=self.second)
        samples = read_recording(recording.path)
        for at in range(0, samples.size - BLOCK + 1, BLOCK):
            listener.push(Block(samples[at : at + BLOCK], (at + BLOCK) / RATE))
        listener.flush()
        return samples.size / RATE, [one for one in heard if one.clarity is Clarity.PHRASE]


def _failed(failure: Failure) -> None:
    print(failure.sentence or failure_sentence(failure), file=sys.stderr)


def _number(snr: float | None) -> int:
    return 9_999 if snr is None else round(100 * snr) % 2**32


_worker: _Worker | None = None


def _start(plan: ListeningPlan, noise: Sequence[Samples]) -> None:
    global _worker  # noqa: PLW0603 - one per process, made once: a model takes longer to load than a word to hear
    _worker = _Worker(plan, noise)


def _trials(recording: Recording) -> list[Trial]:
    assert _worker is not None
    return _worker.trials(recording)


def _running(recording: Recording) -> tuple[float, list[Heard]]:
    assert _worker is not None
    return _worker.running(recording)


def listen(plan: ListeningPlan, recordings: Sequence[Recording], cores: int = 0) -> Iterator[list[Trial]]:
    """Yield for each recording, as it is done, what was heard at every SNR; ``cores`` 0 means all there are.

    Raises:
        VoiceFault: the model or a recording cannot be read, or there is no sound in any noise.
    """
    noise = [samples for path in plan.noise if is_noise(samples := read_recording(path))]
    if plan.snrs and not noise:
        raise VoiceFault("None of the recordings of noise has a sound in it: list others.")
    yield from _each(_trials, plan, noise, recordings, cores)


def listen_to_running_speech(
    plan: ListeningPlan, recordings: Sequence[Recording], cores: int = 0
) -> Iterator[tuple[float, list[Heard]]]:
    """Yield for each long recording, as it is done, its length [s] and the phrases that were heard in it.

    It goes through voice detection and the search for the ends of utterances, as the microphone's sound does.

    Raises:
        VoiceFault: the model or a recording cannot be read.
    """
    yield from _each(_running, plan, (), recordings, cores)


def _each(
    work: Callable[[Recording], Result],
    plan: ListeningPlan,
    noise: Sequence[Samples],
    recordings: Sequence[Recording],
    cores: int,
) -> Iterator[Result]:
    cores = min(cores or len(os.sched_getaffinity(0)), -(-len(recordings) // _WORTH_A_PROCESS))
    if cores <= 1:
        _start(plan, noise)
        yield from map(work, recordings)
        return
    with multiprocessing.get_context("spawn").Pool(cores, initializer=_start, initargs=(plan, noise)) as pool:
        yield from pool.imap_unordered(work, recordings, chunksize=4)
