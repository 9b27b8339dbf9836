"""Where an utterance begins and ends: by voice, and by level over a noise floor that follows the room. Pure.

A voice detector hears speech in noise that is as loud, and no bang or compressor; but it notices the end of a word 0.1
to 0.2 s late. The level knows the end at once, where speech stands well above the room. So a voice begins an utterance,
and what ends it is the absence of voice, or in a quiet room the level, whichever is first. In noise a whole phrase that
was surely heard ends as soon as the detector doubts that it hears a voice. Blocks of 20 ms come in.

The floor is the lowest smoothed level of the last seconds (minimum statistics, after Martin, "Noise power spectral
density estimation based on optimal smoothing and minimum statistics", IEEE Transactions on Speech and Audio Processing
9(5), 2001, from memory; here for one band). While an utterance is open the floor may only rise to a steady noise: long
fluent speech must not become its own floor.
"""

from __future__ import annotations

import math
from collections import deque
from collections.abc import Callable
from enum import Enum

from assistant.voice.listening.endpointing import QUIETEST_DB, Endpointing, level_db
from assistant.voice.ports import BLOCK, RATE, SILENCE, Block, Opinion

BLOCK_S = BLOCK / RATE
_KEPT_S = 4.0
"""How much of what was before an utterance is at hand [s]."""


class Edge(Enum):
    """What a block did to the utterance."""

    NONE = "none"
    """Nothing: no utterance is open."""
    BEGIN = "begin"
    """It opened one; ``Endpointer.taken`` holds all blocks of it so far, pre-roll first."""
    MORE = "more"
    """It belongs to the open utterance."""
    END = "end"
    """It is the last of the utterance."""


class Endpointer:
    """Finds utterances in a stream of blocks. Push every block that may be heard, in order."""

    def __init__(self, knobs: Endpointing | None = None) -> None:
        """Start with the floor unknown: it is taken from the first blocks."""
        self.knobs = knobs or Endpointing()
        self._recent: deque[float] = deque(maxlen=self._blocks(self.knobs.floor_s))
        self._before: deque[Block] = deque(maxlen=self._blocks(_KEPT_S))
        self._smooth: float | None = None
        self._floor = 0.0
        self.in_talk = False
        """Whether people talk around; to be told between utterances."""
        self.level = QUIETEST_DB
        """The level of the last block [dBFS]."""
        self.reset()

    @staticmethod
    def _blocks(seconds: float) -> int:
        return max(1, round(seconds / BLOCK_S))

    def reset(self) -> None:
        """Forget an open utterance and the pre-roll; keep what is known of the room."""
        self._before.clear()
        self.taken: list[Block] = []
        """The blocks of the open utterance at its ``BEGIN``."""
        self.earlier: list[Block] = []
        """The blocks before those, as far as no other utterance holds them."""
        self._open = False
        self._loud = 0
        self._length = 0
        self._silent = 0
        self._fading = 0
        self._tail = 0
        self.peak = QUIETEST_DB
        self.started_at = 0.0
        self.ended_at = 0.0
        self.is_voiced = False
        """Whether the voice detector heard a voice in the utterance."""
        self.is_alone = True
        """Whether there was silence before and after the utterance: it was not cut, nor follows close on another."""
        self.by_words = False
        """Whether the recogniser found the utterance, and no voice: when it began and ended is a guess then."""
        self._may_be_over = False
        self.had_words = False
        """Whether the recogniser heard a word in it, phrase or not."""
        self._spoken_at = self._spoken_before = -math.inf

    @property
    def floor(self) -> float:
        """The level of the room without speech [dBFS]."""
        return self._floor

    @property
    def is_open(self) -> bool:
        """Whether an utterance is open."""
        return self._open

    @property
    def pause(self) -> int:
        """For how many blocks the open utterance has been silent, or fading in noise."""
        return max(self._silent, self._fading)

    @property
    def is_noisy(self) -> bool:
        """Whether the last utterance stands so little above the room that its beginning and end are uncertain."""
        return self.by_words or self.peak - self._floor < self.knobs.quiet_db

    def take_back(self, blocks: list[Block]) -> None:
        """Let an utterance that held no word at all, ``blocks``, not have been: words may yet be found in its sound."""
        if self.had_words:
            return
        self._spoken_at = self._spoken_before
        self._before.extendleft(reversed(blocks))

    def push(
        self,
        block: Block,
        voice: float = 1.0,
        settled: Callable[[float], bool] = lambda _pause: False,
        opinion: Opinion = SILENCE,
    ) -> Edge:
        """Take the next block, in which a voice sounds with the probability ``voice`` (0 to 1).

        ``opinion`` is what the recogniser made of all until now: a whole phrase begins an utterance too, if no voice
        did, and its silence ends it.

        ``settled`` is asked, once silence has begun, whether a whole phrase was heard; it gets the length of that
        silence [s]. After ``END``, ``started_at`` and ``ended_at`` (seconds since the epoch) tell the first and last
        sound, and ``peak`` [dBFS] how loud it was.
        """
        self.level = level_db(block.samples)
        floor = self._follow(self.level)
        if self._open:
            return self._inside(block, floor, voice, settled, opinion)
        return self._outside(block, floor, voice, opinion)

    def _follow(self, level: float) -> float:
        """Let the floor follow the room and return it [dBFS]."""
        self._smooth = level if self._smooth is None else 0.7 * self._smooth + 0.3 * level
        self._recent.append(self._smooth)
        if not self._open or self._is_steady():
            self._floor = min(self._recent)
        else:
            self._floor = min(self._floor, self._smooth)
        return self._floor

    def _is_steady(self) -> bool:
        full = len(self._recent) == self._recent.maxlen
        return full and max(self._recent) - min(self._recent) < self.knobs.steady_db

    def _outside(self, block: Block, floor: float, voice: float, opinion: Opinion) -> Edge:
        knobs = self.knobs
        self._before.append(block)
        # What still fades behind such an end is its word; only a voice that rises again is another one.
        self._tail = max(0, self._tail - 1) if knobs.no_voice <= voice < knobs.fading_voice else 0
        is_loud = self.level > max(floor + knobs.onset_db, knobs.least_db)
        self._loud = self._loud + 1 if is_loud and voice >= knobs.voice and not self._tail else 0
        if self._loud >= self._blocks(knobs.onset_s):
            self.started_at = block.ended_at - self._loud * BLOCK_S
            reach_s = knobs.preroll_s + knobs.onset_s
        elif opinion.is_phrase:
            reach_s = opinion.words_s + knobs.words_preroll_s
            self.started_at = block.ended_at - opinion.words_s - knobs.words_late_s
        else:
            return Edge.NONE
        known, reach = list(self._before), self._blocks(reach_s)
        self.earlier, self.taken = known[:-reach], known[-reach:]
        self._before.clear()
        self._open = True
        self._length = len(self.taken)
        self._silent = self._fading = 0
        self.peak = self.level
        self.started_at = max(self.started_at, self.taken[0].ended_at - BLOCK_S)
        self.ended_at = block.ended_at
        self.by_words = self._loud < self._blocks(knobs.onset_s)
        self.is_voiced = not self.by_words
        apart_s = knobs.talk_apart_s if self.in_talk else knobs.apart_s
        self.is_alone = self.started_at - self._spoken_at >= apart_s
        self._may_be_over = self.by_words
        self.had_words = opinion.words_s > 0
        return Edge.BEGIN

    def _inside(
        self, block: Block, floor: float, voice: float, settled: Callable[[float], bool], opinion: Opinion
    ) -> Edge:
        self._length += 1
        self.peak = max(self.peak, self.level)
        self.is_voiced |= voice >= self.knobs.voice
        self.had_words |= opinion.words_s > 0
        if opinion.words_s:
            self._may_be_over = self.by_words and opinion.is_phrase
        if self._is_silent(floor, voice) if not self.by_words else not opinion.words_s:
            self._silent += 1
        else:
            self._silent = 0
            self.ended_at = block.ended_at
        self._fading = self._fading + 1 if self._silent or self._fades(floor, voice) else 0
        is_cut = self._length >= self._blocks(self.knobs.longest_s)
        if is_cut or self._has_ended(settled, opinion):
            self._open = False
            self._loud = 0
            self._tail = self._blocks(self.knobs.tail_s) if self._fading and not self._silent else 0
            if self.by_words:
                late_s = self.knobs.words_over_s if opinion.is_over else self.knobs.short_hang_s
                self.ended_at = max(self.started_at, min(self.ended_at, block.ended_at - late_s))
            self._spoken_before, self._spoken_at = self._spoken_at, self.ended_at
            self.is_alone &= not is_cut
            return Edge.END
        return Edge.MORE

    def _is_silent(self, floor: float, voice: float) -> bool:
        knobs = self.knobs
        if voice < knobs.no_voice or self.level <= knobs.least_db:
            return True
        if self.peak - floor < knobs.quiet_db:
            return False
        return self.level <= max(floor + knobs.release_db, self.peak - knobs.drop_db)

    def _fades(self, floor: float, voice: float) -> bool:
        """Return whether a word in noise may be over: the detector's doubt comes sooner than its no."""
        return self.peak - floor < self.knobs.quiet_db and voice < self.knobs.fading_voice

    def _has_ended(self, settled: Callable[[float], bool], opinion: Opinion) -> bool:
        knobs = self.knobs
        if self._silent >= self._blocks(knobs.talk_hang_s if self.in_talk else knobs.hang_s):
            return True
        if self.by_words:  # no voice was found, so its absence tells nothing: the recogniser tells the end
            return opinion.is_over or (self._may_be_over and not self.in_talk and settled(0.0))
        if self.in_talk or self._fading < self._blocks(knobs.try_s):
            return False
        # What only fades counts as no longer a pause than that: for numbers and unsure phrases there must be silence.
        fades_s = min(self._fading * BLOCK_S, knobs.short_hang_s)
        return settled(max(self._silent * BLOCK_S, fades_s)) and self._fading >= self._blocks(knobs.short_hang_s)
