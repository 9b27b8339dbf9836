"""Speaks into a file on a clock that is not the wall's: a rehearsal runs faster than real time, on one thread."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from assistant.events import Adjust, ToneKind, VoiceKnob
from assistant.voice.adapters.wav import WavLoudspeaker
from assistant.voice.ports import RATE, Samples, Synthesiser
from assistant.voice.speaking.mixer import Mixer
from assistant.voice.speaking.polish import join
from assistant.voice.speaking.rendering import Renderer, breath_groups, turned_rate, turned_volume
from assistant.voice.speaking.saying import Saying
from assistant.voice.speaking.speaker import OnSaid
from assistant.voice.speaking.tones import tone

_BLOCK_S = 0.5


class FileSpeaker:
    """A speaker whose sound goes to a WAV file (or nowhere); the file is as long as the clock has run."""

    def __init__(
        self,
        synthesiser: Synthesiser,
        clock: Callable[[], float],
        out: WavLoudspeaker | None = None,
        *,
        rate: int = 165,
        volume: float = -3.0,
        rate_hz: int = RATE,
        on_said: OnSaid | None = None,
    ) -> None:
        """Speak with ``synthesiser`` into ``out`` at the times (seconds) that ``clock`` tells.

        ``rate`` is in words per minute, ``volume`` in decibels (0 or less), ``rate_hz`` the sampling rate of ``out``.
        Every method that lets time pass raises VoiceFault when ``out`` cannot be written.
        """
        self._clock, self._began = clock, clock()
        self._renderer = Renderer(synthesiser, rate_hz)
        self._rate_hz = rate_hz
        self._ended: list[tuple[int, bool]] = []
        self._saying = Saying()
        self._mixer = Mixer(
            rate_hz, lambda utterance, completed: self._ended.append((utterance, completed)), self._part_ended
        )
        self._rate, self._volume = rate, volume
        self._mixer.set_volume(volume)
        self._on_said = on_said or (lambda _text, _completed: None)
        self._newest = 0
        self._open: dict[int, str] = {}
        self._pulled = 0
        self._spoken = 0
        """How many samples were pulled when the last word ended."""
        self._out = out

    def say(self, text: str, *, cut: bool = True) -> None:
        """Speak ``text``; with ``cut`` stop what is being said and forget what is queued."""
        if cut:
            self.hush()
        self._newest += 1
        self._open[self._newest] = text
        parts = breath_groups(text)
        self._saying.asked(self._newest, parts, cut=cut)
        for index, part in enumerate(parts):
            clip = self._renderer.clip(part, self._rate, self._newest, last=index == len(parts) - 1, part=index)
            self._mixer.play(clip)
        if not parts:
            self._ended.append((self._newest, True))
        self._catch_up()

    def tone(self, kind: ToneKind) -> None:
        """Sound a tone now, over anything that is being said."""
        self._catch_up()
        self._mixer.tone(tone(kind, self._rate_hz))

    def hush(self) -> None:
        """Stop speaking now and forget what is queued."""
        self._catch_up()
        self._mixer.cut(self._newest)

    def adjust(self, change: Adjust) -> bool:
        """Turn a knob, the volume at once, the rate for all that is said from now on; False where it is at its end."""
        self._catch_up()
        before = self._volume, self._rate
        if change.knob is VoiceKnob.VOLUME:
            self._volume = turned_volume(self._volume, change.steps)
            self._mixer.set_volume(self._volume)
        else:
            self._rate = turned_rate(self._rate, change.steps)
        return (self._volume, self._rate) != before

    def expect(self, texts: Iterable[str]) -> None:
        """Do nothing: on a clock of its own nothing is ever late."""

    def unsaid(self, ago_s: float) -> str:
        """Return the sentences that had not been spoken to their end ``ago_s`` seconds ago, hushed ones too."""
        self._catch_up()
        return self._saying.unsaid(self._clock() - ago_s)

    def _part_ended(self, utterance: int, part: int, at: int) -> None:
        self._saying.ended(utterance, part, self._began + (self._pulled + at) / self._rate_hz)

    def is_sounding(self) -> bool:
        """Return whether anything sounds now."""
        self._catch_up()
        return self._mixer.busy

    def quiet_s(self) -> float:
        """Return for how long nothing has been said [s]; 0 while something is. Tones are no words."""
        self._catch_up()
        return 0.0 if self._mixer.speaks else (self._pulled - self._spoken) / self._rate_hz

    def seconds_left(self) -> float:
        """Return how long it takes until all that was asked for has sounded, in seconds."""
        self._catch_up()
        return self._mixer.left / self._rate_hz

    def render(self, text: str) -> Samples:
        """Return ``text`` as it would be spoken now, shape (n,), at the speaker's sampling rate; nothing is played."""
        clips = [self._renderer.clip(part, self._rate, 0, last=False) for part in breath_groups(text)]
        return join([clip.samples for clip in clips], clips[0].gap if clips else 0)

    def close(self) -> None:
        """Let what is being said come to its end and close the file."""
        self._catch_up()
        while self._mixer.busy:
            self._pull(round(_BLOCK_S * self._rate_hz))
        if self._out is not None:
            self._out.close()
            self._out = None

    def _catch_up(self) -> None:
        due = round((self._clock() - self._began) * self._rate_hz)
        while self._pulled < due:
            self._pull(min(due - self._pulled, round(_BLOCK_S * self._rate_hz)))
        self._tell()

    def _pull(self, count: int) -> None:
        words = min(count, self._mixer.words_left)
        samples = self._mixer.pull(count)
        if words:
            self._spoken = self._pulled + words
        self._pulled += count
        if self._out is not None:
            self._out.play(samples)
        self._tell()

    def _tell(self) -> None:
        ended, self._ended[:] = list(self._ended), []
        for utterance, completed in ended:
            text = self._open.pop(utterance, None)
            if text is not None:
                self._on_said(text, completed)
