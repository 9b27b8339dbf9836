"""The label of a tool is read by another program's reader, and means that tool."""

import io
from pathlib import Path

import pytest
import zxingcpp
from PIL import Image
from typer.testing import CliRunner

from assistant.__main__ import app
from assistant.scan.meaning import Known, Named, ToolScanned, meaning_of
from assistant.terminal.exits import Exit

TOOLS = Path(__file__).parents[2] / "procedures/tools/practice-bay.yaml"


@pytest.fixture
def run(tmp_path, monkeypatch):
    monkeypatch.setenv("ASSISTANT_HOME", str(tmp_path))
    (tmp_path / "tools.yaml").write_bytes(TOOLS.read_bytes())
    return lambda *words: CliRunner().invoke(app, ["label-tool", *words])


def test_the_code_on_the_label_takes_the_tool(run, tmp_path):
    out = tmp_path / "label.png"
    done = run("small-wrench", "--png", str(out), "--size", "62x29", "--dpi", "203")
    assert done.exit_code == Exit.OK, done.output
    (code,) = zxingcpp.read_barcodes(Image.open(io.BytesIO(out.read_bytes())).convert("L"))
    tool = Named("small-wrench", "small wrench")
    assert code.text == "TOOL small-wrench"
    assert meaning_of(code.text, Known(tools=(tool,))) == ToolScanned(tool)


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["smal-wrench", "--png", "x.png"], 'did you mean "small-wrench"?'),
        (["zzz", "--png", "x.png"], "assistant tools lists them"),
        (["small-wrench"], "Say what to write"),
        (["small-wrench", "--png", "x.png", "--size", "12x10"], "too small for the QR code"),
    ],
)
def test_what_cannot_be_written_is_one_sentence(run, words, says):
    done = run(*words)
    assert done.exit_code == Exit.USAGE
    assert says in " ".join(done.stderr.split())
