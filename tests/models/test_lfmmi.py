"""The objective of training against automatic differentiation of the same sums in the log domain."""

import numpy as np
import pytest

torch = pytest.importorskip("torch", reason="the training packages (group train) are not installed")

from models.recipe import lfmmi, phone_pairs  # noqa: E402
from models.recipe.phones import ARPABET, STATES  # noqa: E402

FRAMES = 14


def test_gradient_is_that_of_automatic_differentiation() -> None:
    rng = np.random.default_rng(0)
    torch.manual_seed(0)
    words = [[list(rng.choice(ARPABET, rng.integers(1, 4))) for _ in range(rng.integers(1, 3))] for _ in range(3)]
    paths = [phone_pairs.utterance_path(utterance) for utterance in words]
    pairs = phone_pairs.estimate_pairs((path, 1.0) for path in paths)
    tables = phone_pairs.numerator_tables(paths, pairs, max(len(path.states) for path in paths))
    scores = (torch.randn(3, FRAMES, 2, len(STATES)) * 2).requires_grad_()
    numerator, denominator = lfmmi.Numerator.of(tables, "cpu"), lfmmi.Denominator.of(pairs, "cpu")
    ours = lfmmi.objective(scores.detach(), numerator, denominator)

    y = scores.double()
    log = lambda table: torch.log(torch.as_tensor(table).double() + 1e-300)  # noqa: E731
    x = log(pairs.start) + y[:, 0, 0]
    for t in range(1, FRAMES):
        x = torch.logaddexp(torch.logsumexp(x[:, :, None] + log(pairs.follow), 1) + y[:, t, 0], x + y[:, t, 1])
    everything = torch.logsumexp(x + log(pairs.end), 1)
    states, never = numerator.states, torch.full((3, 2), -690.0)
    x = log(numerator.first) + y[:, 0, 0].gather(1, states)
    for t in range(1, FRAMES):
        p = torch.cat([never, x], 1)
        arrived = torch.logaddexp(
            p[:, 1:-1] + log(numerator.from_previous), p[:, :-2] + log(numerator.from_before_previous)
        )
        x = torch.logaddexp(arrived + y[:, t, 0].gather(1, states), x + y[:, t, 1].gather(1, states))
    transcript = torch.logsumexp(x + log(numerator.last), 1)
    (transcript - everything).sum().backward()

    assert ours.fits.all()
    assert ours.numerator.numpy() == pytest.approx(transcript.detach().numpy(), abs=1e-3)
    assert ours.denominator.numpy() == pytest.approx(everything.detach().numpy(), abs=1e-3)
    assert scores.grad is not None
    assert (ours.gradient - scores.grad).abs().max() < 1e-5


def test_pair_model_is_a_distribution() -> None:
    path = phone_pairs.utterance_path([["N", "EH", "K", "S", "T"], ["Y", "EH", "S"]])
    pairs = phone_pairs.estimate_pairs([(path, 1.0), (phone_pairs.NOISE_ONLY, 0.1)])
    assert pairs.start.sum() == pytest.approx(1)
    assert (pairs.follow.sum(1) + pairs.end) == pytest.approx(np.ones(len(STATES)))
