"""A net between two nets: what is half of the way, and what cannot be mixed."""

from __future__ import annotations

import shutil
import struct

import numpy as np
import pytest

from assistant.voice.listening.model_files import check_model
from models.recipe.mixing import mix
from tests.display.play import ROOT

SHIPPED = ROOT / "models/bay-en"
MARK = b"<ComponentName> scores <FixedAffineComponent> "


def net(low: float, high: float, bias: float, rows: int = 1) -> bytes:
    """Write one layer as Kaldi writes it: CM2, uint16 steps between two values (compressed-matrix.h), and a bias."""
    steps = np.array([0, 65_535, 32_768] * rows, "<u2").tobytes()
    weights = b"<LinearParams> CM2 " + struct.pack("<ffii", low, high - low, rows, 3) + steps
    return MARK + weights + b"<BiasParams> FV \x04" + struct.pack("<if", 1, bias) + b" </FixedAffineComponent>"


@pytest.fixture
def folders(tmp_path):
    def made(name: str, record: bytes):
        (tmp_path / name / "am").mkdir(parents=True)
        (tmp_path / name / "am/final.mdl").write_bytes(record)
        return tmp_path / name

    return made


def test_each_weight_goes_its_share_of_the_way(folders):
    old, new = folders("old", net(-1.0, 3.0, 2.0)), folders("new", net(1.0, 1.0, 4.0))
    mix(old, new, 0.25)
    mixed = (old / "am/final.mdl").read_bytes()
    # By hand: least -1 + 0.25 * 2, greatest 3 - 0.25 * 2, bias 2 + 0.25 * 2.
    low, span = struct.unpack_from("<ff", mixed, len(MARK) + 19)
    assert (low, low + span) == (pytest.approx(-0.5), pytest.approx(2.5))
    assert mixed.endswith(struct.pack("<f", 2.5) + b" </FixedAffineComponent>")


def test_nets_of_different_form_and_a_strange_share_are_refused(folders):
    old, new = folders("old", net(0, 1, 0)), folders("new", net(0, 1, 0, rows=2))
    with pytest.raises(ValueError, match="different form"):
        mix(old, new, 0.5)
    with pytest.raises(ValueError, match="from 0 to 1"):
        mix(old, old, 1.5)


def test_the_shipped_net_mixed_with_itself_stays_itself(tmp_path):
    folder = tmp_path / "model"
    shutil.copytree(SHIPPED, folder)
    mix(folder, SHIPPED, 0.5)
    one, two = ((place / "am/final.mdl").read_bytes() for place in (folder, SHIPPED))
    assert one == two
    check_model(folder)
