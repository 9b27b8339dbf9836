"""The page looks as it did: pictures of it are compared with kept ones, on a machine that draws letters alike."""

import pytest
from PIL import Image, ImageDraw

from tests.display.kept import COMMAND, KEPT, MOST, README_PICTURE, probe, unlike, views

LARGEST_BYTES = 1_000_000
"""So much all of them take at most: they travel with the project."""


def test_the_page_looks_as_its_kept_pictures(browser, tmp_path, monkeypatch):
    letters, _ = unlike(probe(browser), Image.open(KEPT / "probe.png"))
    if letters > MOST:
        pytest.skip(f"Other fonts: this machine draws {letters:.1%} of {KEPT / 'probe.png'} otherwise.")
    monkeypatch.setenv("ASSISTANT_HOME", str(tmp_path))
    differ = []
    for name, drawn in views(browser, tmp_path):
        share, where = unlike(drawn, Image.open(KEPT / f"{name}.png"))
        if share > MOST:
            where.save(tmp_path / f"{name}-where.png")
            drawn.save(tmp_path / f"{name}-now.png")
            differ.append(f"{KEPT / name}.png: {share:.2%} differ, see {tmp_path / name}-where.png and -now.png")
    assert not differ, "\n".join([*differ, f"Where that is meant, look at them and make them anew: {COMMAND}"])


def test_a_word_that_is_another_one_is_more_than_the_limit_and_a_shade_is_not():
    kept = Image.open(KEPT / "tightening-wall.png").convert("RGB")
    changed = kept.copy()
    ImageDraw.Draw(changed).rectangle((25, 860, 465, 955), fill="white")  # "Say: next"
    assert unlike(kept, changed)[0] > MOST
    assert unlike(kept, kept.point(lambda colour: max(0, colour - 20)))[0] == 0.0
    assert unlike(kept, kept.resize((960, 540)))[0] == 1.0


def test_the_kept_pictures_are_small():
    assert sum(path.stat().st_size for path in [*KEPT.glob("*.png"), README_PICTURE]) < LARGEST_BYTES
