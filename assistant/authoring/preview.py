"""Hear it before the bay does: what the session would say, how long it takes, and what is too much to hold in mind."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from contextlib import ExitStack
from pathlib import Path
from queue import SimpleQueue

import numpy as np
from rich.console import Console

from assistant.authoring.chapters import SoundChapter, audio_bytes, check_kind, files_beside
from assistant.authoring.mind import too_much
from assistant.authoring.options import PreviewOptions
from assistant.bay.engines import choose_synthesiser
from assistant.bay.job import read_or_refuse, settings_for
from assistant.bay.refusing import guarded
from assistant.desk.dry_run import CLOSING, PREPARING, Stop, dry_run
from assistant.language.chosen import LANGUAGE
from assistant.procedure.model import Procedure
from assistant.session.telling.stage_openings import STAGE_WORDS, stage_openings
from assistant.settings import Settings
from assistant.terminal.exits import Exit, Refusal
from assistant.terminal.output import check_free, write_file
from assistant.terminal.tables import table
from assistant.voice.ports import RATE, Samples, Synthesiser, VoiceFault
from assistant.voice.speaking.file_speaker import FileSpeaker

_BREATH_S = 0.6
"""The pause between two turns in a file, in which the mechanic would answer."""


def run_preview(procedure: Path, options: PreviewOptions) -> Exit:
    """Preview the file ``procedure``: print it, and write or play it if that is wanted."""
    return guarded(lambda: _preview(procedure, options))


def _preview(path: Path, options: PreviewOptions) -> Exit:
    settings = settings_for(options)
    procedure = read_or_refuse(path).usable
    wanted = _chosen(procedure, options.chapter) if options.chapter else ""
    audio, force = options.audio, options.force
    if audio is not None:
        check_kind(audio)
        for one in files_beside(audio):
            check_free(audio.with_name(one), force=force)
    synthesiser = choose_synthesiser(settings)
    voice = _Voice(synthesiser, settings, wanted)
    with Console(stderr=True).status("Speaking the whole job"):
        stops = [stop for stop in dry_run(procedure, voice.length) if wanted in ("", stop.chapter)]
    _print(stops, procedure, whole=not wanted)
    if audio is not None:
        samples, chapters = voice.whole(stops)
        made = audio_bytes(audio, samples, chapters, procedure.title)
        kept = [write_file(audio.with_name(where), data, force=force) for where, data in made]
        print(f"Wrote {', '.join(str(audio.with_name(where)) for where, _ in made)}.", *_kept(kept))
    if options.aloud:
        _play(stops, synthesiser, settings)
    return Exit.OK


def _kept(paths: Iterable[Path | None]) -> list[str]:
    return [f"The file that was there is kept as {path}." for path in paths if path]


def _chosen(procedure: Procedure, chapter: str) -> str:
    names = [PREPARING, *(one.name for one in procedure.chapters), CLOSING]
    found = [name for name in names if name.lower() == chapter.lower()] or [
        name for name in names if name.lower().startswith(chapter.lower())
    ]
    if len(set(found)) != 1:
        raise Refusal(f"There is no chapter {chapter!r}: name one of {', '.join(names)}.", Exit.USAGE)
    return found[0]


class _Voice:
    """The synthesiser, and the samples of what was spoken; chapters that nobody asked for are only estimated."""

    def __init__(self, synthesiser: Synthesiser, settings: Settings, chapter: str) -> None:
        self._speaker = FileSpeaker(synthesiser, lambda: 0.0, rate=settings.rate)
        self._rate = settings.rate
        self._chapter = chapter
        self._made: dict[str, Samples] = {}

    def length(self, text: str, stop: Stop) -> float:
        """Return how long ``text`` takes to say [s]."""
        if self._chapter not in ("", stop.chapter):
            return len(text.split()) * 60 / self._rate
        if text not in self._made:
            self._made[text] = self._speaker.render(text)
        return self._made[text].size / RATE

    def whole(self, stops: Sequence[Stop]) -> tuple[Samples, list[SoundChapter]]:
        """Return all that is said at ``stops``, and where each of them begins [s]."""
        breath = np.zeros(round(_BREATH_S * RATE), dtype=np.int16)
        pieces: list[Samples] = []
        chapters, count = [], 0
        for stop in stops:
            chapters.append(SoundChapter(count / RATE, stop.title))
            for turn in stop.turns:
                pieces += [self._made[turn], breath]
                count += self._made[turn].size + breath.size
        return np.concatenate(pieces) if pieces else breath, chapters


def _print(stops: Sequence[Stop], procedure: Procedure, *, whole: bool) -> None:
    rows = []
    chapter = ""
    for stop in stops:
        if stop.chapter != chapter:
            chapter = stop.chapter
            rows.append((f"[{chapter}]", "", "", ""))
        minutes = f"{stop.hands / 60:g} min" if stop.hands else ""
        rows.append((_short(stop.title), f"{stop.spoken:.1f} s", minutes, _clock(stop.waited) if stop.waited else ""))
    print(table(("step", "spoken", "work", "wait"), rows))
    marks = [(stop, sentence) for stop in stops for sentence in too_much(stop.turns)]
    print("\nToo much to hold in mind:" if marks else "\nNothing is too much to hold in mind.")
    for stop, sentence in marks:
        print(f"  {_short(stop.title)}: {sentence}")
    for stop in stops:
        for timer in stop.overdue:
            print(f'  {_short(stop.title)}: by the minutes of the steps, the "{timer}" is over before this is done.')
    long = [opening for opening in stage_openings(procedure, LANGUAGE) if opening.words > STAGE_WORDS]
    for opening in long if whole else ():
        print(f"  Stage {opening.stage}, {_short(opening.step.text)}: it opens with {opening.words} words, and at most "
              f'{STAGE_WORDS} are kept in mind: "{opening.text}"')  # fmt: skip
    if whole:
        said = [turn for stop in stops for turn in stop.turns]
        print(f"\nWords: {sum(len(turn.split()) for turn in said)} in {len(said)} answers, without a mistake.")
        _print_times(stops, procedure)


def _print_times(stops: Sequence[Stop], procedure: Procedure) -> None:
    """Print how long the job takes by what the procedure says, beside its book time."""
    spoken, work, waits = (sum(times) for times in zip(*((s.spoken, s.hands, s.waited) for s in stops), strict=True))
    answers = sum(stop.answered for stop in stops)
    steps = [stop for stop in stops if stop.step is not None]
    silent = sum(1 for stop in steps if not stop.hands and not stop.waited)
    total = spoken + answers + work + waits
    talk = f"speech {_clock(spoken)}, answers {_clock(answers)}"
    print(f"\nTime: {_clock(total)}: {talk}, work {_clock(work)}, waits {_clock(waits)}.")
    if silent:
        print(f"{silent} of {len(steps)} steps name no minutes, so their work is not in it.")
    if procedure.book_time is None:
        print("The procedure names no book time to compare it with.")
        return
    book = float(procedure.book_time)
    less = "less" if total < book else "more"
    print(f"Book time: {_clock(book)}; this is {_clock(abs(book - total))} {less}.")
    if total > book:
        print("The procedure takes longer than its book time says: correct the book time, or the minutes of its steps.")


def _clock(seconds: float) -> str:
    """Write a length of time [s] for the eye: 1 h 05 min, 3 min 20 s."""
    whole = round(seconds)
    if whole >= 3600:
        return f"{whole // 3600} h {whole % 3600 // 60:02d} min"
    return f"{whole // 60} min {whole % 60:02d} s" if whole >= 60 else f"{whole} s"


def _short(title: str, most: int = 70) -> str:
    return title if len(title) <= most else f"{title[: most - 1]}…"


def _play(stops: Sequence[Stop], synthesiser: Synthesiser, settings: Settings) -> None:
    """Say everything through the loudspeaker, one turn after the other.

    Raises:
        VoiceFault: the loudspeaker or the synthesiser broke.
    """
    from assistant.voice.sound.card import SoundCard  # noqa: PLC0415 - the sound library is loaded only where it is needed
    from assistant.voice.speaking.speaker import CardSpeaker  # noqa: PLC0415

    ended: SimpleQueue[str] = SimpleQueue()
    lost = "The loudspeaker is gone: plug it in and begin again."
    with ExitStack() as stack:
        card = SoundCard(on_lost=lambda _: ended.put(lost), on_back=lambda _: None, on_overflow=lambda _: None)
        stack.callback(card.close)
        loudspeaker = card.loudspeaker(settings.loudspeaker)
        speaker = CardSpeaker(
            synthesiser,
            loudspeaker,
            rate=settings.rate,
            volume=settings.volume,
            on_fault=ended.put,
            on_said=lambda _text, completed: ended.put("" if completed else lost),
        )
        stack.callback(speaker.close)
        for stop in stops:
            print(f"\n{stop.title}")
            for turn in stop.turns:
                print(f"  {turn}")
                speaker.say(turn, cut=False)
                if fault := ended.get():
                    raise VoiceFault(fault)
