"""Whole jobs in noise: ``python -m tests.bench.closed_loop [--people SHARED] [--data FOLDER] [--talks N]``.

A simulated mechanic works through the short demo job. He listens to the replies (what is said and shown, not its
sound), says the word that leads on, asks a question now and then, and says it again when he was not understood or
nothing happened. All that the microphone has is fed, block by block, to the real listener, with the phrases of the
state: the words, the noise between them and while the assistant speaks. At one metre nothing is heard while it speaks;
with a headset it is. Voices: :mod:`tests.bench.mechanic_voice`; noise: made from the physics of machines, or FOLDER's
``noise.tsv``, recordings of the same ``speaker`` (the machine) one after another.

Wrong is what was taken and not said. A wrong *action* put something down or moved the job; what was only answered,
refused, or read back and not confirmed, is counted apart. This never stands for people in a bay.
"""

from __future__ import annotations

import argparse
from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np

from assistant.bay.engines import second_opinion
from assistant.events import Clarity, Command, Heard, Say, Source, Thresholds
from assistant.facts import Fact
from assistant.facts.asking_back import AskedBack
from assistant.facts.inputs import Understood
from assistant.language.chosen import LANGUAGE
from assistant.session.asked_back import YES_OR_NO
from assistant.session.session import Reply
from assistant.session.understanding import is_phrase, understand
from assistant.terminal.tables import table
from assistant.voice.adapters.vosk import VoskRecogniser
from assistant.voice.listening.asked_second import SecondOpinion
from assistant.voice.listening.listener import Listener
from assistant.voice.listening.model_files import OWN_MODEL
from assistant.voice.ports import BLOCK, RATE, Block, Recogniser
from tests.bench.figures import Tell, load, machine, tell_failure
from tests.bench.loop_judging import as_told, does_something, is_input, was_it
from tests.bench.mechanic_voice import Floats, Machines, Voice, voices
from tests.bench.noisy_talk import SNRS, made_noise, recorded_noise
from tests.fakes.mechanic import next_words
from tests.jobs import SHORT, START_S, opening

WORD_S = 0.36
"""How long the assistant speaks a word [s]: the pace of the usual voice, some 165 words a minute."""
THINKS_S = 0.8
"""So long after a reply, or a tone, the mechanic speaks [s]: from memory, people answer machines within one."""
PATIENCE_S = 2.5
"""So long after his word he waits for a reply [s] before he says it again."""
MOST_TIMES = 8
"""After so many times in vain he takes the key; a job in which he did does not count as closed."""
MOST_S = 1800.0
NOISE_S = 60.0
PLACES = ("headset", "one metre")
ASKS = ("where am i", "what is left", "repeat", "which bolts", "what value", "time left")
ASKS_EVERY, MOST_ASKED = 4, 3
"""Behind so many commands comes a question; when it was not understood so often, he does without its answer."""


@dataclass
class Talk:
    """How one job went."""

    commands: int = 0
    utterances: int = 0
    lost_s: float = 0.0
    keys: int = 0
    """How often he took the key, because nothing else helped."""
    closed: bool = False
    actions: list[str] = field(default_factory=list)
    """What was done and not said."""
    answers: list[str] = field(default_factory=list)
    """What was answered, refused or read back, and not said."""
    again: list[str] = field(default_factory=list)
    """What was said in vain, and what became of it."""


class Loop:
    """One job, one listener, and the sound of a bay; the time is that of the sound."""

    def __init__(
        self,
        recogniser: Recogniser,
        voice: Voice,
        machines: Machines,
        *,
        job: Path = SHORT,
        second: SecondOpinion | None = None,
    ) -> None:
        """Open the job of ``job``; ``second`` is asked about what the recogniser is unsure of."""
        self._voice, self._machines = voice, machines
        self.session, first = opening(job)
        self.session._limits = recogniser.limits
        self.now = START_S
        self.speaks_until = START_S
        self._pending: list[Heard] = []
        self._listener = Listener(
            recogniser,
            self._pending.append,
            is_sounding=lambda: self.now < self.speaks_until,
            headset=not voice.far,
            second=second,
        )
        self.asked_back = ""
        """The intent of which the assistant asked whether it was meant, until it is told something."""
        self.inputs: list[tuple[Fact, tuple[Fact, ...]]] = []
        """What came in since it was looked at last, and what it brought about."""
        self._take(self.session.open(first, self.now))

    def pass_(self, seconds: float) -> None:
        """Let time go by without a word."""
        self._play(np.zeros(round(seconds * RATE)))

    def say(self, words: str, again: int) -> None:
        """Let the mechanic say ``words``, which were not understood ``again`` times before."""
        self._play(self._voice.say(words, again))

    def press(self, words: str) -> None:
        """Let the mechanic take the key in place of ``words``."""
        self._take(self.session.hear(Heard(words, 1.0, self.now, self.now, Clarity.PHRASE, Source.KEY), self.now))

    @property
    def is_hearing(self) -> bool:
        """Whether an utterance is open."""
        return self._listener.is_hearing

    def _play(self, sound: Floats) -> None:
        for at in range(0, sound.size, BLOCK):
            part = sound[at : at + BLOCK]
            block = self._machines.block()
            block[: part.size] += part
            self.now += BLOCK / RATE
            self._listener.push(Block(np.clip(np.rint(block), -32_768, 32_767).astype(np.int16), self.now))
            while self._pending:
                self._take(self.session.hear(self._pending.pop(0), self.now))
            if not self.session.closed and (due := self.session.next_tick()) is not None and due <= self.now:
                self._take(self.session.tick(self.now))

    def _take(self, reply: Reply) -> None:
        if reply.facts:
            self.inputs.append((reply.facts[0], reply.facts[1:]))
            self._hear_question(reply.facts)
        said = " ".join(effect.text for effect in reply.effects if isinstance(effect, Say))
        if said:
            self.speaks_until = self.now + WORD_S * len(said.split())
            self.session.quiet_since = self.speaks_until
        if not self.session.closed:
            self._listener.set_grammar(self.session.grammar())

    def _hear_question(self, facts: Sequence[Fact]) -> None:
        asked = next((fact.intent for fact in facts if isinstance(fact, AskedBack)), "")
        if asked or isinstance(facts[0], Understood):
            self.asked_back = asked


def work_through(loop: Loop, most_times: int = MOST_TIMES) -> Talk:
    """Let the mechanic work through the job; return how it went."""
    talk, his_own, asked = Talk(), True, 0
    vain: Counter[str] = Counter()
    last = ""
    while not loop.session.closed and loop.now < START_S + MOST_S:
        his_own = not _listen(loop, talk) and his_own
        words = _answer(loop, last) or _next(loop, asked if talk.commands // ASKS_EVERY > asked else None, his_own)
        if words is None:
            loop.pass_(1.0)
        elif vain[words] == most_times:
            talk.keys += 1
            loop.press(words)
            loop.inputs.clear()
            del vain[words]
        else:
            began, back, meant = loop.now, loop.asked_back, _meant(loop, words)
            last = last if back and meant.intent in YES_OR_NO else meant.intent
            right, his_own = _said(loop, talk, words, meant, vain[words])
            talk.utterances += 1
            talk.commands += right and not (back and meant.intent == "no")
            vain[words] += 1
            if words in ASKS and (right or vain[words] == MOST_ASKED):
                asked, right = asked + 1, True
            if right:
                del vain[words]
            else:
                talk.lost_s += loop.now - began
    talk.closed = loop.session.closed
    return talk


def _listen(loop: Loop, talk: Talk) -> int:
    """Hear the assistant out; return how much it took meanwhile that nobody said."""
    begun = loop.now  # a tone is heard out as well
    while loop.now < (until := max(begun, loop.speaks_until) + THINKS_S) or loop.is_hearing:
        loop.pass_(0.1)
        if loop.now > until + PATIENCE_S:
            break
    return _judge(loop, talk, None, "nothing")[1]


def _answer(loop: Loop, meant: str) -> str | None:
    """Return the answer to *next?* and the like, where ``meant`` was said last."""
    if not loop.asked_back or not set(YES_OR_NO) <= set(loop.session.grammar().phrases):
        return None
    return YES_OR_NO[loop.asked_back != meant]


def _next(loop: Loop, asks: int | None, his_own: bool) -> str | None:
    """Return what the mechanic says now: what leads on, or the question with this number where it may be asked.

    What he did not begin himself (``his_own``), he cancels.
    """
    phase = loop.session.view(loop.now)["phase"]
    if phase in ("confirming", "dictation") and not his_own:
        return "cancel"
    if asks is not None and phase not in ("confirming", "hazard"):
        question = next((one for one in _from(asks) if one in loop.session.grammar().phrases), None)
        if question is not None:
            return question
    return next_words(loop.session.view(loop.now))


def _from(number: int) -> list[str]:
    return [ASKS[(number + one) % len(ASKS)] for one in range(len(ASKS))]


def _meant(loop: Loop, words: str) -> Command:
    dictates = loop.session.grammar().dictation and not is_phrase(words, LANGUAGE)
    heard = Heard(words, 1.0, loop.now, loop.now, Clarity.DICTATION if dictates else Clarity.PHRASE)
    found = understand(heard, loop.session.standing(loop.now), Thresholds(), LANGUAGE)
    if not isinstance(found, Command):
        raise TypeError(f'"{words}" cannot be said here.')
    return found


def _said(loop: Loop, talk: Talk, words: str, meant: Command, again: int) -> tuple[bool, bool]:
    """Say ``words`` and wait for what comes; return whether it was taken, and whether nothing else was."""
    loop.say(words, again)
    ended = loop.now
    heard = "not noticed"
    while loop.now < ended + PATIENCE_S and not any(is_input(fact) for fact, _ in loop.inputs):
        loop.pass_(0.1)
    for fact, _ in loop.inputs:
        heard = as_told(fact)
    right, others = _judge(loop, talk, meant, words)
    if not right:
        talk.again.append(f"{words} as {heard}")
    if not right and not loop.session.closed:
        while loop.now < loop.speaks_until + THINKS_S:
            loop.pass_(0.1)
        again, more = _judge(loop, talk, meant, words)  # what was heard late
        right, others = again, others + more
    return right, not others


def _judge(loop: Loop, talk: Talk, meant: Command | None, words: str) -> tuple[bool, int]:
    """Look at what came in; return whether ``meant`` was among it, and how much that was not said."""
    right, others = False, 0
    for fact, brought in loop.inputs:
        if meant is not None and not right and was_it(fact, meant):
            right = True
        elif isinstance(fact, Understood):
            others += 1
            number = "" if fact.number is None else f" {fact.number}"
            (talk.actions if does_something(brought) else talk.answers).append(f"{fact.intent}{number} for {words}")
    loop.inputs.clear()
    return right, others


# Many talks


@dataclass(frozen=True, slots=True)
class Line:
    """What came of the talks in one place, beside one noise."""

    where: str
    talks: tuple[Talk, ...]

    @property
    def each(self) -> float:
        """Utterances for each command."""
        return sum(one.utterances for one in self.talks) / max(1, sum(one.commands for one in self.talks))

    def cells(self) -> tuple[str, ...]:
        """Return the line of the table."""
        commands = sum(one.commands for one in self.talks)
        lost = sum(one.lost_s for one in self.talks) / len(self.talks)
        return (
            self.where,
            str(sum(len(one.actions) for one in self.talks)),
            str(sum(len(one.answers) for one in self.talks)),
            f"{self.each:.2f} ({commands})",
            f"{lost:.0f}",
            f"{sum(one.closed and not one.keys for one in self.talks)} of {len(self.talks)}",
            str(sum(one.keys for one in self.talks)),
        )


def measure(
    noises: Mapping[str, Floats],
    people: Path | None,
    talks: int,
    tell: Tell,
    show: Callable[[Line], object] = lambda _: None,
    places: Sequence[str] = PLACES,
    split: str = "test",
    model: Path = OWN_MODEL,
    snrs: Sequence[float] = SNRS,
    *,
    second: bool = True,
) -> list[Line]:
    """Return what came of so many talks in each of ``places``, in quiet and in each noise at each of ``snrs`` [dB].

    With ``second``, what the recogniser is unsure of is put to the second opinion, where its extra is installed.
    """
    loaded = VoskRecogniser(LANGUAGE, model)
    asked = second_opinion(tell_failure, waits=True) if second else None
    conditions: list[tuple[str, Floats, float | None]] = [("quiet", np.zeros(BLOCK), None)]
    conditions += [(f"{name}, {snr:g} dB", noise, snr) for snr in snrs for name, noise in noises.items()]
    lines = []
    for place in places:
        for name, noise, snr in conditions:
            where = f"{place}, {name}"
            done = []
            for number, voice in enumerate(voices(people, talks, far=place != PLACES[0], split=split)):
                tell(f"closed loop, {where}, talk {number + 1}")
                machines = Machines(noise, voice.level, snr, np.random.default_rng(number))
                done.append(work_through(Loop(loaded.fresh(), voice, machines, second=asked)))
            lines.append(Line(where, tuple(done)))
            show(lines[-1])
    if asked is not None:
        asked.close()
    return lines


WORDS_OF = (("done and not said", "actions"), ("answered and not said", "answers"), ("in vain", "again"))
HEADS = (
    "",
    "wrong actions",
    "answered, not said",
    "utterances for each command (commands)",
    "lost [s]",
    "closed by voice",
    "keys",
)


def show(lines: Sequence[Line]) -> str:
    """Return the table, every word that was taken and not said, and what was said in vain."""
    told = [table(HEADS, [line.cells() for line in lines])]
    for line in lines:
        for what, found in (
            ("done and not said", "actions"),
            ("answered and not said", "answers"),
            ("in vain", "again"),
        ):
            wrong = Counter(words for one in line.talks for words in getattr(one, found))
            if wrong:
                each = ", ".join(f"{words} ({times})" if times > 1 else words for words, times in wrong.items())
                told.append(f"{line.where}, {what}: {each}")
    return "\n".join(told)


def main() -> None:
    """Print the table."""
    ask = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    ask.add_argument("--people", type=Path, help="a folder with manifest.tsv, as the model's recipe takes it")
    ask.add_argument(
        "--split", choices=("dev", "test"), default="test", help="which of these people (dev: for choosing)"
    )
    ask.add_argument("--data", type=Path, help="a folder with noise.tsv")
    ask.add_argument("--talks", type=int, default=1, help="how many jobs in each place and noise")
    ask.add_argument("--model", type=Path, default=OWN_MODEL, help="a Vosk model directory (without it: our own)")
    ask.add_argument("--snr", type=float, action="append", default=[], help="this level only [dB] (may be repeated)")
    ask.add_argument("--only", action="append", default=[], help="this noise only (may be repeated)")
    ask.add_argument("--place", choices=PLACES, action="append", help="this place only")
    ask.add_argument("--alone", action="store_true", help="the recogniser alone, without the second opinion")
    given = ask.parse_args()
    noises = recorded_noise(given.data / "noise.tsv", NOISE_S) if given.data else made_noise(NOISE_S)
    noises = {name: noise for name, noise in noises.items() if not given.only or name in given.only}
    print(f"{machine()}; load {load()}")
    lines = measure(
        noises,
        given.people,
        given.talks,
        lambda _: None,
        lambda line: print("\t".join(line.cells()), flush=True),
        given.place or PLACES,
        given.split,
        given.model,
        given.snr or SNRS,
        second=not given.alone,
    )
    print(show(lines))


if __name__ == "__main__":
    main()
