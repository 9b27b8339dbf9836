"""``assistant doctor`` and ``settings``, JSON for every listing, completion, and hints that work as printed."""

import ast
import json
import os
import re
import subprocess
import sys
from pathlib import Path

import pytest
import typer
from typer.testing import CliRunner

from assistant.__main__ import app
from assistant.cli import completing
from assistant.journal.opening import journal_path, open_journal
from assistant.settings import Settings, load_settings
from tests.jobs import SHORT, work

pytestmark = pytest.mark.slow

ROOT = Path(__file__).parents[2]
GOOD = str(ROOT / "tests/procedure/good/bench-check.yaml")
TOOLS = str(ROOT / "procedures/tools/practice-bay.yaml")
PRICES = ROOT / "procedures/prices-alder-row.csv"
MAIN = typer.main.get_command(app)


def run(home, *words):
    done = CliRunner().invoke(app, [*map(str, words)], env={"ASSISTANT_HOME": str(home)})
    assert done.exception is None or isinstance(done.exception, SystemExit), done.exception
    return done


def doctor(home):
    """Ask for the table where there is no sound at all, in a process that has not looked for devices before."""
    silent = {"ALSA_CONFIG_PATH": "/usr/share/alsa/alsa.conf", "PULSE_SERVER": "unix:/nowhere"}
    env = os.environ | silent | {"ASSISTANT_HOME": str(home)}
    words = [sys.executable, "-m", "assistant", "doctor", "--json"]
    return subprocess.run(words, env=env, capture_output=True, text=True, check=False, timeout=100)


@pytest.fixture
def worked(tmp_path):
    """A data folder with one closed job in it."""
    with open_journal(tmp_path) as journal:
        work(journal, SHORT)
    return tmp_path


def test_the_doctor_tells_every_part_and_ends_with_the_first_fault(tmp_path):
    done = doctor(tmp_path)
    parts = {row["part"]: row for row in json.loads(done.stdout)}
    assert set(parts) == {
        "program", "Python", "command", "libraries", "docs", "data folder", "settings", "journal", "tool file",
        "price list", "box of shims", "model", "voice profiles", "notes", "echo", "voice", "microphone", "loudspeaker",
        "printer", "camera", "backup", "clock", "service", "page", "procedures", "orders", "central store",
        "library", "wordings",
    }  # fmt: skip
    assert (done.returncode, parts["microphone"]["state"], parts["model"]["state"]) == (5, "fault", "good")
    (tmp_path / "settings.toml").write_text("rate = 9000\n")
    journal_path(tmp_path).write_text("no journal\n" * 500)
    done = run(tmp_path, "doctor")
    assert done.exit_code == 2
    assert re.search(r"^settings +fault .*80 to 400", done.stdout, re.MULTILINE)
    assert re.search(r"^journal +fault ", done.stdout, re.MULTILINE)
    (tmp_path / "settings.toml").write_text('prices = "mine.csv"\n')
    assert re.search(r"^price list +fault .*mine.csv", run(tmp_path, "doctor").stdout, re.MULTILINE)
    (tmp_path / "mine.csv").write_bytes(PRICES.read_bytes())
    assert re.search(
        r"^price list +good .*mine.csv, 1?[0-9]+ lines in EUR", run(tmp_path, "doctor").stdout, re.MULTILINE
    )


@pytest.mark.parametrize(
    ("text", "row"),
    [("", r"box of shims +fault .*box\.csv"),
     ("size,count\n2.45,1\n", r'box of shims +fault +Line 2 of box\.csv: "2\.45" is no thickness'),
     ("size,count\n2.45 mm,3\n2.50 mm,1\n", r"box of shims +good .*box\.csv, 4 shims of 2 sizes")],
)  # fmt: skip
def test_the_doctor_looks_at_the_box_of_shims(tmp_path, text, row):
    (tmp_path / "settings.toml").write_text('box = "box.csv"\n')
    if text:
        (tmp_path / "box.csv").write_text(text)
    assert re.search(rf"^{row}", run(tmp_path, "doctor").stdout, re.MULTILINE)


@pytest.mark.parametrize(
    ("text", "row"),
    [("[letterhead]\nUs\n[record]\nKeep it.\n", r"good .*words\.txt, with letterhead, record"),
     ("[record]\nKeep\u202e it.\n", r"fault +.*words\.txt, line 2: The character U\+202E cannot be seen here: del")],
)  # fmt: skip
def test_the_doctor_looks_at_the_wordings(tmp_path, text, row):
    assert re.search(r"^wordings +good +none, and no paper needs them", run(tmp_path, "doctor").stdout, re.MULTILINE)
    (tmp_path / "settings.toml").write_text('wordings = "words.txt"\n')
    (tmp_path / "words.txt").write_text(text, "utf-8")
    assert re.search(rf"^wordings +{row}", run(tmp_path, "doctor").stdout, re.MULTILINE)


@pytest.mark.parametrize(
    ("camera", "says"),
    [
        ("test", "good +test, which gives a picture"),
        ("/dev/video-none", "look +the camera /dev/video-none is not there: put its cable in, or name another"),
        ("/dev/null", r"look .*does not answer \(Inappropriate ioctl"),
        ("", "good +none"),
    ],
)
def test_the_doctor_looks_through_the_camera(tmp_path, camera, says):
    (tmp_path / "settings.toml").write_text(f'camera = "{camera}"\n')
    assert re.search(rf"^camera +{says}", run(tmp_path, "doctor").stdout, re.MULTILINE)


def test_sums_are_made_by_the_price_list_of_the_settings(tmp_path):
    done = run(tmp_path, "quote", "gearbox-side-cover", "--json")
    assert (done.exit_code, "give --prices FILE, or set prices in" in done.output) == (2, True), done.output
    given = json.loads(run(tmp_path, "quote", "gearbox-side-cover", "--prices", PRICES, "--json").stdout)
    (tmp_path / "prices.csv").write_bytes(PRICES.read_bytes())
    assert json.loads(run(tmp_path, "quote", "gearbox-side-cover", "--json").stdout)["total"] == given["total"]
    assert run(tmp_path, "settings", "set", "prices", "other.csv").exit_code == 0
    done = run(tmp_path, "quote", "gearbox-side-cover")
    assert (done.exit_code, "other.csv" in done.output) == (4, True), done.output


def test_a_home_folder_of_nobody_is_a_file_that_is_not_there(tmp_path):
    names = ("tools", "prices", "orders", "wordings", "box", "procedures", "model")
    for name in names:
        (tmp_path / "settings.toml").write_text(f'{name} = "~nobody-of-that-name/file"\n')
        assert re.search(r"fault .*~nobody-of-that-name/file", run(tmp_path, "doctor").stdout), name


def test_settings_are_shown_set_and_found(tmp_path):
    for name, value, becomes in [("rate", "150", 150), ("headset", "yes", True), ("volume", "-12", -12),
                                 ("microphone", "usb two", "usb two"), ("headset", "off", False)]:  # fmt: skip
        done = run(tmp_path, "settings", "set", name, value)
        assert done.exit_code == 0, done.output
        assert getattr(load_settings(tmp_path / "settings.toml"), name) == becomes
    shown = json.loads(run(tmp_path, "settings", "show", "--json").stdout)
    assert shown["settings"]["rate"] == 150
    assert set(shown["settings"]) == set(Settings.__slots__)
    assert run(tmp_path, "settings", "path").stdout.strip() == str(tmp_path / "settings.toml") == shown["path"]
    assert re.search(r"^rate +150 +165$", run(tmp_path, "settings", "show").stdout, re.MULTILINE)


@pytest.mark.parametrize(
    ("name", "value", "says"),
    [("rate", "fast", "whole number"), ("rate", "9" * 5000, "whole number"), ("headset", "maybe", "yes or no"),
     ("rte", "150", 'did you mean "rate"'), ("volume", "3", "-40 to 0"), ("operator", "a\nb", "cannot be seen")],
)  # fmt: skip
def test_a_setting_that_cannot_be_is_refused_and_nothing_is_written(tmp_path, name, value, says):
    done = run(tmp_path, "settings", "set", name, value)
    assert (done.exit_code, says in done.output) == (2, True), done.output
    assert not (tmp_path / "settings.toml").exists()


LISTINGS = {
    "jobs": ["jobs"], "show": ["show"], "missing": ["missing"], "devices": ["devices"], "procedures": ["procedures"],
    "phrases": ["phrases"], "check": ["check", GOOD], "diff": ["diff", GOOD, GOOD], "tools": ["tools", TOOLS],
    "programme": ["programme", "gearbox-side-cover"], "due": ["due", "--rehearsals"],
    "history": ["history", "--rehearsals"],
    "doctor": ["doctor"], "settings": ["settings", "show"],
}  # fmt: skip


@pytest.mark.parametrize("words", LISTINGS.values(), ids=LISTINGS)
def test_every_listing_has_json(worked, words):
    done = run(worked, *words, "--json")
    assert json.loads(done.stdout) is not None
    assert done.exit_code in (0, 5)  # 5: a machine without sound


def test_jobs_procedures_devices_and_settings_are_completed(worked, tmp_path, monkeypatch):
    monkeypatch.setenv("ASSISTANT_HOME", str(worked))
    monkeypatch.chdir(tmp_path)
    (tmp_path / "own.yaml").touch()
    (tmp_path / "folder").mkdir()
    job = json.loads(run(worked, "jobs", "--json").stdout)[0]["job"]
    assert completing.known_jobs(job[:4]) == [job]
    assert completing.procedures_and_jobs(job[:4]) == [job]
    assert completing.known_procedures("o") == ["own.yaml"]
    assert "folder/" in completing.known_procedures("")
    assert completing.known_procedures("gear") == ["gearbox-side-cover"]
    assert completing.settings("ra") == ["rate"]
    journal_path(worked).write_text("broken")
    assert completing.known_jobs("") == []
    for name, command in MAIN.commands.items():
        for param in command.params:
            if param.name in ("job", "procedure", "microphone", "loudspeaker") and name != "rehearse":
                if name == "history":
                    continue  # the id of a procedure, not its file
                assert param._custom_shell_complete, (name, param.name)
    (old, new), (file,) = (MAIN.commands[name].params[:most] for name, most in (("diff", 2), ("approve", 1)))
    assert all(param._custom_shell_complete for param in (old, new, file))
    assert "own.yaml" in completing.procedures_and_jobs("own")


_HINT = re.compile(r"\bassistant ((?:[a-z-]+|[A-Z.]+|\{\}|--?[a-z-]+)(?: (?:[a-z-]+|[A-Z.]+|\{\}|--?[a-z-]+))*)")


def _texts():
    """Every text of the program, with what is put into it written as {}."""
    for path in (ROOT / "assistant").rglob("*.py"):
        tree = ast.parse(path.read_text("utf-8"))
        inside = {id(part) for node in ast.walk(tree) if isinstance(node, ast.JoinedStr) for part in node.values}
        for node in ast.walk(tree):
            if isinstance(node, ast.JoinedStr):
                yield path, "".join(part.value if isinstance(part, ast.Constant) else "{}" for part in node.values)
            elif isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in inside:
                yield path, node.value


def test_commands_that_the_program_names_exist_with_their_options():
    named = set()
    for path, text in _texts():
        for hint in _HINT.findall(text):
            words = hint.split()
            command = MAIN.commands.get(words[0])
            if command is None:
                assert not words[1:] or not words[1].startswith("-"), (path, hint)
                assert words[0] not in ("setting", "odometer", "hear-test", "glance"), (path, hint)
                continue
            if hasattr(command, "commands") and words[1:]:
                command = command.commands[words[1]]
            named.add(words[0])
            if words[0] in ("record", "label") and words[1:] and not words[1].islower():
                assert any(one.startswith("--") for one in words), (path, hint)  # a paper needs a file to go to
            known = {opt for param in command.params for opt in (*param.opts, *param.secondary_opts)}
            assert {word for word in words if word.startswith("--") and word != "--"} <= known, (path, hint)
    assert {"run", "resume", "jobs", "devices", "check", "record", "tools", "mic-check"} <= named
