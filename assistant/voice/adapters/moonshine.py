"""Writes down free speech, the optional extra ``notes``. The one adapter of the model in moonshine-voice.

The small English model lies inside the wheel of the version that is locked, and nothing is ever fetched from the
network. It is run by onnxruntime and not by the library of that wheel: that one took its process with it now and then,
and tells nothing of how likely other words were. How it is run: Jeffries et al. 2024, arXiv:2410.15608.
"""

from __future__ import annotations

import importlib.util
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any, NamedTuple

import numpy as np
import numpy.typing as npt

from assistant.voice.adapters.keywords import KEYWORDS, KeywordClassifier
from assistant.voice.adapters.word_pieces import TEXT_BEGINS, TEXT_ENDS, WordPieces
from assistant.voice.ports import RATE, Samples, VoiceFault, Written

NO_WRITER = (
    "The extra for notes is not installed, so notes and unsure words are heard less well; install it "
    "(pip install 'step-assistant[notes]')."
)
MOST_S = 12.0
"""The model was made for short pieces: longer sound [s] is cut where it is quietest, in the second half of this."""
_MODEL = Path("assets", "tiny-en")
ENCODER = "encoder_model"
"""What makes of a sound what the decoder writes; the keywords are heard in it too."""
_PIECES_A_SECOND, _LEAST_PIECES = 6.5, 8
"""Nobody says more in a second; a text that is longer goes round and round."""
_QUIET_S = 0.2
_LEAST_S = 0.1
_HEADS, _WIDTH = 8, 36
_STRIDE = 384
"""Samples for each step of what the encoder makes of a sound."""
_Floats = npt.NDArray[np.float32]
_Past = dict[str, _Floats]


class _Known(NamedTuple):
    """What was made of a sound: of each piece what the encoder makes of it, the text and its log chance."""

    sound: Samples
    found: list[tuple[_Floats, str, float]]
    keywords: tuple[Mapping[str, float], Mapping[str, float]]


class MoonshineWriter:
    """Writes down what was said; one instance serves one thread."""

    def __init__(self) -> None:
        """Load the model inside the package.

        Raises:
            VoiceFault: the extra is not installed, does not load, or is not the one that the keywords belong to.
        """
        if not writer_is_installed():
            raise VoiceFault(NO_WRITER)
        try:
            import onnxruntime  # noqa: PLC0415 - it may be missing

            options = onnxruntime.SessionOptions()
            options.intra_op_num_threads = options.inter_op_num_threads = 1
            files = [model_file(f"{name}.ort") for name in (ENCODER, "decoder_model_merged")]
            self._encoder, self._decoder = (
                onnxruntime.InferenceSession(str(file), options, providers=["CPUExecutionProvider"]) for file in files
            )
            self._pieces = WordPieces(model_file("tokenizer.bin").read_bytes())
            self._kept = [one.name for one in self._decoder.get_inputs() if one.name.startswith("past")]
            self._keywords = KeywordClassifier(KEYWORDS, files[0])
            self._known: _Known | None = None
        except VoiceFault:
            raise
        except Exception as fault:  # its own class, or whatever a broken installation raises
            raise VoiceFault(
                f"The extra for notes does not load ({type(fault).__name__}), so notes and unsure words are heard "
                "less well; install it again (pip install --force-reinstall 'step-assistant[notes]')."
            ) from fault

    def write(self, samples: Samples) -> str:
        """Return the words of ``samples``, shape (n,), as they would be written; "" where there are none."""
        return self.weigh(samples, ()).text

    def weigh(self, samples: Samples, said: Sequence[str]) -> Written:
        """Return the words of ``samples``, shape (n,), and how much likelier they are than each of ``said``.

        Each is weighed in all the ways it may be written, with a small or capital first letter and with marks. Of sound
        that is cut into pieces the first is weighed, and no keywords are listened for; they are in the same sound
        without its noise as well, where that lies below it, shape (2, n). Asked about the same sound again, it does not
        write it again.
        """
        if self._known is None or not np.array_equal(samples, self._known.sound):
            self._known = self._listened(samples)
        found, keywords = self._known.found, self._known.keywords
        text = " ".join(filter(None, (text for _, text, _ in found)))
        total = sum(chance for _, _, chance in found)
        if not found or not said:
            return Written(text, (0.0,) * len(said), total, *keywords)
        first, _, chance = found[0]
        ways = [[self._pieces.numbers(way) for way in _ways(one)] for one in said]
        chances = iter(self._chances(first, [way for every in ways for way in every]))
        doubts = (chance - np.logaddexp.reduce([next(chances) for _ in every]) for every in ways)
        return Written(text, tuple(map(float, doubts)), total, *keywords)

    def close(self) -> None:
        """Free the model."""
        del self._encoder, self._decoder

    def _listened(self, samples: Samples) -> _Known:
        sound, *without = ((row / 32768).astype(np.float32) for row in np.atleast_2d(samples))
        heard = [self.encoded(piece) for piece in pieces(sound)]
        found = [(one, *self._written(one)) for one in heard]
        if len(heard) != 1:
            return _Known(samples.copy(), found, ({}, {}))
        ways = [heard[0], *map(self.encoded, without)]
        return _Known(samples.copy(), found, self._keywords.chances(*(way[0] for way in ways)))

    def encoded(self, sound: _Floats) -> _Floats:
        """Return what the encoder makes of ``sound``, shape (n,): shape (1, steps, width)."""
        least = round(_LEAST_S * RATE)
        whole = np.pad(sound, (0, max(0, least - sound.size)))[np.newaxis]
        given = {"input_values": whole, "attention_mask": np.ones(whole.shape, np.int64)}
        heard: _Floats = self._encoder.run(None, given)[0]
        return heard

    def _written(self, heard: _Floats) -> tuple[str, float]:
        """Return the likeliest text, piece by piece, and its log chance."""
        most = max(_LEAST_PIECES, round(heard.shape[1] * _STRIDE / RATE * _PIECES_A_SECOND))
        numbers, chance, past = [TEXT_BEGINS], 0.0, None
        for _ in range(most):
            scores, past = self._decoded(heard, np.array([numbers[-1:]]), past)
            likely = _log_chances(scores[:, -1])[0]
            best = int(likely.argmax())
            chance += float(likely[best])
            if best == TEXT_ENDS:
                break
            numbers.append(best)
        return self._pieces.text(numbers), chance

    def _chances(self, heard: _Floats, texts: Sequence[Sequence[int]]) -> npt.NDArray[np.float64]:
        """Return the log chance of each of ``texts``, given in pieces."""
        longest = max(map(len, texts)) + 1
        wanted = np.array([[*text, *[TEXT_ENDS] * (longest - len(text))] for text in texts])
        given = np.hstack([np.full((len(texts), 1), TEXT_BEGINS), wanted[:, :-1]])
        scores, _ = self._decoded(np.repeat(heard, len(texts), axis=0), given, None)
        each = np.take_along_axis(_log_chances(scores), wanted[..., np.newaxis], axis=-1)[..., 0]
        return np.array([line[: len(text) + 1].sum() for line, text in zip(each, texts, strict=True)])

    def _decoded(self, heard: _Floats, given: npt.NDArray[np.int64], past: _Past | None) -> tuple[_Floats, _Past]:
        """Return the scores of what follows each of ``given``, shape (texts, pieces, all), and what to go on with."""
        texts = given.shape[0]
        fed: dict[str, Any] = {
            "input_ids": given.astype(np.int64),
            "encoder_hidden_states": heard,
            "encoder_attention_mask": np.ones((texts, heard.shape[1] * _STRIDE), np.int64),
            "use_cache_branch": np.array([past is not None]),
        }
        nothing = np.zeros((texts, _HEADS, 0, _WIDTH), np.float32)
        scores, *now = self._decoder.run(None, fed | (past or dict.fromkeys(self._kept, nothing)))
        told = dict(zip(self._kept, now, strict=True))
        if past is None:
            return scores, told
        return scores, {name: past[name] if ".encoder." in name else told[name] for name in self._kept}


def writer_is_installed() -> bool:
    """Return whether the extra is there."""
    return all(importlib.util.find_spec(name) is not None for name in ("moonshine_voice", "onnxruntime"))


def model_file(name: str) -> Path:
    """Return where a file of the model lies; the package itself is not loaded, it would load its own library.

    Raises:
        VoiceFault: the extra is not installed.
    """
    found = importlib.util.find_spec("moonshine_voice")
    if found is None or found.origin is None:
        raise VoiceFault(NO_WRITER)
    return Path(found.origin).parent / _MODEL / name


def _ways(said: str) -> tuple[str, ...]:
    """Return how ``said`` may be written."""
    first = said[:1].upper() + said[1:]
    return (f"{first}.", f"{first}?", f"{first},", f"{first}!", first, f"{said}.", said)


def _log_chances(scores: _Floats) -> _Floats:
    """Return the log of the chances that ``scores`` give to all that is on the last axis."""
    less = scores - scores.max(axis=-1, keepdims=True)
    chances: _Floats = less - np.log(np.exp(less).sum(axis=-1, keepdims=True))
    return chances


def pieces(sound: npt.NDArray[np.float32], most_s: float = MOST_S) -> list[npt.NDArray[np.float32]]:
    """Cut ``sound``, shape (n,), into pieces of at most ``most_s`` seconds, where it is quietest."""
    most, window = round(most_s * RATE), round(_QUIET_S * RATE)
    cut = []
    while sound.size > most:
        so_far = np.cumsum(sound[most // 2 : most].astype(np.float64) ** 2)
        end = most // 2 + int(np.argmin(so_far[window:] - so_far[:-window])) + window // 2
        cut.append(sound[:end])
        sound = sound[end:]
    return [*cut, sound] if sound.size else cut
