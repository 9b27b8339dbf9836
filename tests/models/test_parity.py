"""The engine must give an utterance the very score that training gave it, left biphones included.

A small net with random weights is exported and read by vosk. Its total score of a phrase (the "confidence" of an
alternative in vosk is minus the sum of graph and acoustic cost) is compared with a plain Viterbi search over the scores
of the training code. What vosk's own phrase model adds is the same for every utterance of one phrase.
"""

import json
import math
import shutil
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest

torch = pytest.importorskip("torch", reason="the training packages (group train) are not installed")
if not shutil.which("fstconvert"):
    pytest.skip("OpenFst (Debian: libfst-tools) is not installed", allow_module_level=True)

import vosk  # noqa: E402

from models.recipe.export import Search, export  # noqa: E402
from models.recipe.features import Mfcc  # noqa: E402
from models.recipe.graph import Costs, build_graph  # noqa: E402
from models.recipe.net import Net, Size  # noqa: E402
from models.recipe.phone_pairs import utterance_path  # noqa: E402
from models.recipe.phones import NOISE_STATE, SILENCE_STATE  # noqa: E402
from tests.models.nets import random_net  # noqa: E402

LEXICON = {"next": [("N", "EH", "K", "S", "T")], "step": [("S", "T", "EH", "P")], "a": [("AH",)]}
PHRASES = ("next", "next step", "a step")
UTTERANCES = 10
WITHIN = 0.01
"""Nats for a whole utterance."""
NEVER = 1e4
WORD = 20.0
"""So high that words are not said twice."""
ONE_OF_TWO = math.log(2)


@pytest.fixture(scope="module")
def net() -> Net:
    net = random_net(Size(32, 48, 24, 2, 32), 3)
    # Silence and noise must lose, or a random net hears nothing at all.
    net.state_bias.data[:, [SILENCE_STATE, NOISE_STATE]] = -8.0
    return net


@pytest.fixture(scope="module")
def model(net: Net, tmp_path_factory: pytest.TempPathFactory) -> vosk.Model:
    folder = tmp_path_factory.mktemp("model")
    export(net, folder, bits=32, search=Search(beam=2000.0, lattice_beam=1.0, max_active=100_000))
    conf = folder / "conf/mfcc.conf"
    conf.write_text(conf.read_text().replace("--dither=1.0", "--dither=0"))
    costs = Costs(word=WORD, unknown=NEVER, unknown_phone=NEVER, noise=NEVER)
    build_graph(LEXICON, np.zeros((40, 40)), folder, costs)
    vosk.SetLogLevel(-1)
    return vosk.Model(str(folder))


def viterbi(scores: np.ndarray, words: list[str]) -> float:
    """Return the best total of a path of ``words`` through scores, shape (frames, 2, states), graph costs included."""
    path = utterance_path(LEXICON[word][0] for word in words)
    states, optional = np.array(path.states), np.array(path.optional)
    enter, stay = scores[:, 0][:, states], scores[:, 1][:, states]
    best = np.full(len(states), -np.inf)
    best[0], best[1] = enter[0, 0] - ONE_OF_TWO, enter[0, 1] - ONE_OF_TWO
    for t in range(1, len(scores)):
        previous = np.concatenate([[-np.inf], best[:-1]])
        leaped = np.concatenate([[-np.inf, -np.inf], best[:-2]])
        # A silence is entered from the word before it, or leaped over: one chance in two each.
        arrive = np.where(optional, previous - ONE_OF_TWO, previous)
        over = np.concatenate([[False, False], optional[1:-1]])
        arrive = np.where(over, np.maximum(arrive, leaped - ONE_OF_TWO), arrive)
        best = np.maximum(arrive + enter[t], best + stay[t])
    return max(best[-1], best[-2] - ONE_OF_TWO) - WORD * len(words)


def heard(model: vosk.Model, samples: np.ndarray) -> tuple[str, float]:
    """Return the words that the engine heard and its total score."""
    recogniser = vosk.KaldiRecognizer(model, 16_000, json.dumps(list(PHRASES)))
    recogniser.SetMaxAlternatives(1)
    recogniser.AcceptWaveform(samples.astype("<i2").tobytes())
    best = json.loads(recogniser.FinalResult())["alternatives"][0]
    return best["text"], best["confidence"]


def test_engine_and_training_give_the_same_score(net: Net, model: vosk.Model) -> None:
    rng = np.random.default_rng(7)
    differences: dict[str, list[float]] = {}
    totals = []
    for number in range(UTTERANCES):
        envelope = np.repeat(rng.uniform(100, 4000, 40), 300 + 37 * number)
        samples = np.rint(rng.normal(size=len(envelope)) * envelope).clip(-32_768, 32_767)
        with torch.no_grad():
            scores = net(Mfcc("cpu")(torch.tensor(samples, dtype=torch.float32)[None]))[0].numpy()
        text, score = heard(model, samples)
        totals.append(viterbi(scores.astype(np.float64), text.split()))
        differences.setdefault(text, []).append(score - totals[-1])
    repeated = {text: found for text, found in differences.items() if text and len(found) > 1}
    assert sum(map(len, repeated.values())) >= UTTERANCES // 2, differences
    # The totals themselves are far apart, so that agreement says something.
    assert min(abs(a - b) for a, b in pairwise(totals)) > 1
    for text, found in repeated.items():
        assert max(found) - min(found) < WITHIN, text


def test_folder_is_what_a_vosk_model_needs(tmp_path: Path, net: Net) -> None:
    export(net, tmp_path, bits=16)
    assert (tmp_path / "am/final.mdl").read_bytes().startswith(b"\0B<TransitionModel> ")
