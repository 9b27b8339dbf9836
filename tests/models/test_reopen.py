"""A finished model directory can be trained on: what was exported and read back gives the very scores of before."""

from pathlib import Path

import pytest

torch = pytest.importorskip("torch", reason="the training packages (group train) are not installed")

from models.recipe.export import export  # noqa: E402
from models.recipe.net import Net, Size, load_net  # noqa: E402
from models.recipe.reopen import read_layers, reopened  # noqa: E402
from tests.models.nets import random_net  # noqa: E402

SHIPPED = Path(__file__).parents[2] / "models/bay-en"


def trained() -> Net:
    """Return a small net whose norms, means and biases are none of those that a new net has."""
    return random_net(Size(32, 48, 24, 3, 32), 7)


@pytest.mark.parametrize(("bits", "within"), [(32, 1e-4), (16, 0.002), (8, 0.3)])
def test_the_net_of_a_model_directory_scores_as_the_net_that_was_exported(
    tmp_path: Path, bits: int, within: float
) -> None:
    net = trained()
    export(net, tmp_path, bits)
    features = torch.randn(4, 90, 40) * 12
    again = reopened(tmp_path, features)
    with torch.no_grad():
        assert (net(features) - again(features)).abs().max() < within
        # Other sound as well: what the norms took from the first is put back behind them.
        other = torch.randn(3, 61, 40) * 9 + 2
        assert (net(other) - again(other)).abs().max() < within


def test_a_channel_that_never_fires_takes_nothing_from_the_others(tmp_path: Path) -> None:
    net, features = trained(), torch.randn(4, 90, 40) * 12
    layer, norm = net.affine[1], net.norm[1]
    with torch.no_grad():
        layer.weight[5] *= 300
        layer.bias[5], norm.running_mean[5], norm.running_var[5] = -1e6, 0.0, 1e-11
        export(net, tmp_path)
        assert (net(features) - reopened(tmp_path, features)(features)).abs().max() < 0.002


def test_what_went_on_from_a_directory_can_be_saved_and_read(tmp_path: Path) -> None:
    export(trained(), tmp_path, 32)
    features = torch.randn(2, 90, 40) * 12
    net = reopened(tmp_path, features)
    torch.save(net.checkpoint(), tmp_path / "net.pt")
    with torch.no_grad():
        assert torch.equal(load_net(str(tmp_path / "net.pt"))(features), net(features))


def test_the_shipped_net_can_be_read_back() -> None:
    layers = read_layers((SHIPPED / "am/final.mdl").read_bytes())
    assert [layers[name][0].shape for name in ("input.affine", "block11.linear", "scores")] == [
        (256, 200), (160, 1536), (3124, 256)
    ]  # fmt: skip


def test_weights_written_in_another_way_are_refused(tmp_path: Path) -> None:
    export(trained(), tmp_path, 16)
    record = (tmp_path / "am/final.mdl").read_bytes().replace(b"CM2 ", b"CM9 ", 1)
    with pytest.raises(ValueError, match="input.affine are written as b'CM9'"):
        read_layers(record)
