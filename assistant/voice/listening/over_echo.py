"""Listens through the own voice: takes its echo out, and tells when a person speaks over it. Pure but for its parts.

What the canceller leaves is no speech that a recogniser should be given: in full double talk it eats half of the short
words. So only one thing is asked of it: does a person speak now? Then the assistant falls silent, and hears the rest.
A linear filter beside it eats nothing of a person and leaves more of the echo: it notices a person sooner, and the
recogniser gets what it leaves. It is believed where the canceller leaves something of a voice as well, for when the
sound takes another way, the filter alone is lost.

How well the echo is taken out is watched all the time, on the own voice itself. As long as it is not known, or when
another way of the sound (a door, another microphone, a loudspeaker at its end) leaves too much of it, nothing is
believed, and the microphone counts as closed while the assistant speaks.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Callable
from dataclasses import dataclass
from enum import Enum, StrEnum

import numpy as np

from assistant.voice.listening.endpointing import QUIETEST_DB, level_db
from assistant.voice.listening.linear_echo import LinearEcho
from assistant.voice.ports import Block, EchoCanceller, Samples, VoiceDetector, VoiceFault
from assistant.voice.sound.played import PlayedSound

LEFT_MOST_DB = 8.0
"""What is left of the echo stands out of the room by less than this, or ..."""
TAKEN_LEAST_DB = 10.0
"""... at least so much of it was taken out; else the block counts as badly cancelled."""


@dataclass(frozen=True, slots=True)
class OverEchoing:
    """The knobs; levels in dB, times in blocks of 20 ms."""

    voice: float = 0.3
    """Probability of a voice, behind the canceller or the filter, from which a person is taken to speak, where ..."""
    least_voice: float = 0.02
    """... behind the canceller it is at least this."""
    no_voice: float = 0.25
    """Below this probability what the canceller leaves is no person."""
    over_room_db: float = 6.0
    """A person stands so far out of the room, and out of what the canceller usually leaves, ..."""
    under_echo_db: float = 12.0
    """... and behind the filter at most so far under the echo that it took out; it takes out 20 dB and more."""
    fades_db: float = 2.0
    """That echo is taken to fade by so much a block: rooms echo on, 100 dB in a second at the fastest."""
    lasting: int = 2
    """For so many blocks a person must be heard."""
    audible_db: float = 10.0
    """From so far over the room on the echo is heard at all."""
    played_db: float = -50.0
    """From this level on the loudspeaker is taken to sound [dBFS]."""
    before: int = 30
    """Blocks that are kept of what was heard before a person was noticed."""
    reach: int = 20
    """Blocks after which what was played may still be heard: half a second of delay and room is the most."""
    learn: int = 250
    """Blocks of own voice until the way is known, if ..."""
    learnt_share: float = 0.1
    """... no more than this share of the last ``window`` was badly cancelled."""
    window: int = 100
    lost_share: float = 0.4
    """From this share on the way is not known any more."""
    relearn: int = 500
    """Blocks of own voice until it is tried again, ..."""
    losses: int = 3
    """... up to so many times."""
    in_vain: int = 3
    """So many times a person may be heard to speak in ``in_vain_own`` blocks of own voice, and then nothing be said."""
    in_vain_own: int = 1500
    looks: int = 50
    """The devices are looked at each so many blocks."""
    idle: int = 100
    """Blocks of silence after which the canceller rests."""
    room: int = 150
    """The room's level is the least of so many blocks."""


class EchoWay(Enum):
    """How well the way from the loudspeaker to the microphone is known."""

    LEARNING = "learning"
    KNOWN = "known"
    LOST = "lost"


class LostBy(StrEnum):
    """Why it is not known any more."""

    ECHO = "echo"
    """Too much of the own voice is left, or it was taken for a person again and again."""
    DEVICES = "devices"
    """The microphone or the loudspeaker is another one than was measured."""
    BROKEN = "broken"
    """The canceller broke."""
    MISSING = "missing"
    """The canceller is not installed, or cannot be loaded."""


class OverEcho:
    """The front end of the ear. Push every block of the microphone, in order, from one thread."""

    def __init__(
        self,
        canceller: EchoCanceller,
        played: PlayedSound,
        detectors: tuple[VoiceDetector, VoiceDetector],
        *,
        on_lost: Callable[[LostBy], None] = lambda _why: None,
        same_devices: Callable[[], bool] = lambda: True,
        knobs: OverEchoing | None = None,
    ) -> None:
        """Join the parts; both ``detectors`` are its own. ``on_lost`` is called when the way is not known any more.

        ``same_devices`` tells whether microphone and loudspeaker are those that were measured.
        """
        self.knobs = knobs or OverEchoing()
        self._canceller, self._played = canceller, played
        self._detector, self._beside = detectors
        self._filter = LinearEcho()
        self._on_lost, self._same_devices = on_lost, same_devices
        self.way = EchoWay.LEARNING
        self.level = self.room = self.left = QUIETEST_DB
        """Levels [dBFS] of the last block without the echo, of the room, and of what the canceller leaves at most."""
        self.voice = self.voice_beside = 0.0
        """How likely a voice sounds beside the own one, by the canceller and by the filter."""
        self._filtered = self._echo = QUIETEST_DB
        self.before: deque[Block] = deque(maxlen=self.knobs.before)
        """The blocks up to the last one, without the own voice: the beginning of a word lies in them."""
        self._levels: deque[float] = deque(maxlen=self.knobs.room)
        self._left: deque[float] = deque(maxlen=2 * self.knobs.window)
        self._bad: deque[bool] = deque(maxlen=self.knobs.window)
        self._is_broken = False
        self._silent = self.knobs.idle
        self._wait = self.knobs.learn
        self._blocks = self._own = self._lasted = self._losses = 0
        self._in_vain: deque[int] = deque(maxlen=self.knobs.in_vain)

    @property
    def hears_over(self) -> bool:
        """Whether a person speaks over the own voice, or right after it."""
        return self._lasted >= self.knobs.lasting

    def nobody_spoke(self) -> None:
        """Note that nothing was understood of whoever was heard to speak: it may have been the own voice."""
        self._in_vain.append(self._own)
        if len(self._in_vain) == self.knobs.in_vain and self._own - self._in_vain[0] < self.knobs.in_vain_own:
            self._lose(LostBy.ECHO)

    def push(self, block: Block) -> Block:
        """Take the next block and return it without the own voice.

        It is as it came where that has not sounded for long, and as long as the way is not known.
        """
        self._look()
        played = self._played.beside(block.ended_at, block.samples.size)
        self._silent = 0 if level_db(played) > self.knobs.played_db else self._silent + 1
        if self._silent >= self.knobs.idle or self._is_broken:
            return self._rest(block)
        try:
            samples = self._canceller.process(block.samples, played)
        except VoiceFault:
            self._is_broken = True
            self._lose(LostBy.BROKEN)
            return block
        before, self.level = level_db(block.samples), level_db(samples)
        self.voice = self._detector.feed(samples)
        clean = Block(self._filter_out(block.samples, played), block.ended_at)
        self.before.append(clean)
        self._follow_room(before)
        if self._silent < self.knobs.reach:
            self._judge(before)
        self._lasted = self._lasted + 1 if self._stands_out() else 0
        return clean if self.way is EchoWay.KNOWN else block

    def _filter_out(self, microphone: Samples, played: Samples) -> Samples:
        left, echo = self._filter.process(microphone, played)
        self._filtered = level_db(left)
        self._echo = max(level_db(echo), self._echo - self.knobs.fades_db)
        self.voice_beside = self._beside.feed(left)
        return left

    def _rest(self, block: Block) -> Block:
        """Do nothing with a block long after the own voice but to follow the room."""
        if self._silent == self.knobs.idle:
            self._detector.start()
            self._beside.start()
            self.before.clear()
            self._lasted, self.voice = 0, 0.0
        self._follow_room(level_db(block.samples))
        return block

    def _stands_out(self) -> bool:
        knobs = self.knobs
        if self.way is not EchoWay.KNOWN or self.voice < knobs.least_voice:
            return False
        least = self.room + knobs.over_room_db
        stands = self.level > max(least, self.left) and self._filtered > max(least, self._echo - knobs.under_echo_db)
        return stands and max(self.voice, self.voice_beside) >= knobs.voice

    def _look(self) -> None:
        """Look now and then whether the devices are still those that were measured."""
        self._blocks += 1
        if self._blocks % self.knobs.looks == 0 and self._losses < self.knobs.losses and not self._same_devices():
            self._losses = self.knobs.losses
            self._lose(LostBy.DEVICES)

    def _lose(self, why: LostBy) -> None:
        """Believe nothing any more until the way was learnt again, or for good."""
        self._losses += 1
        self.way, self._wait = EchoWay.LOST, self.knobs.relearn
        self._bad.clear()
        self._in_vain.clear()
        self._lasted = 0
        self._on_lost(why)

    def _follow_room(self, level: float) -> None:
        self._levels.append(level)
        self.room = min(self._levels)

    def _judge(self, before: float) -> None:
        """Look how well the own voice was taken out of a block that had the level ``before`` [dBFS]."""
        knobs = self.knobs
        is_heard = before > self.room + knobs.audible_db
        is_left = self.level > self.room + LEFT_MOST_DB and before - self.level < TAKEN_LEAST_DB
        self._bad.append(is_heard and is_left)
        if self.voice < knobs.no_voice:
            self._left.append(self.level)
            if self._own % 10 == 0:
                self.left = float(np.percentile(self._left, 95))
        self._own += 1
        self._wait -= 1
        share = sum(self._bad) / len(self._bad)
        if self.way is EchoWay.KNOWN and len(self._bad) >= knobs.window // 2 and share > knobs.lost_share:
            self._lose(LostBy.ECHO)
        elif self.way is not EchoWay.KNOWN and self._losses < knobs.losses and self._wait <= 0:
            self.way = EchoWay.KNOWN if share <= knobs.learnt_share else self.way
