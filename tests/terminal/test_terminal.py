"""What a command prints: it goes on when nobody reads, says when it could not print, and steers no terminal."""

import csv
import io
import json
import os
import re
import select
import signal
import stat
import subprocess
import sys
from decimal import Decimal
from pathlib import Path

import numpy as np
import pytest

from assistant.events import Clarity, Source
from assistant.facts import Quantity
from assistant.facts.bay import Corrected, SupplyUsed
from assistant.facts.going import ItemMissing
from assistant.facts.inputs import NotUnderstood, UnclearWhy
from assistant.files import private_file, private_folder
from assistant.journal.opening import journal_path, open_journal
from assistant.terminal.exits import Exit
from assistant.voice.adapters.wav import WavLoudspeaker
from assistant.voice.listening.keeping import KeepingRecogniser
from tests.fakes.recogniser import TellRecogniser
from tests.jobs import SHORT, note, work
from tests.pressing import as_from_a_terminal, press_control_c
from tests.whole_jobs.talks import ROOT

pytestmark = pytest.mark.slow

GEARBOX = ROOT / "procedures" / "gearbox-side-cover.yaml"
HOSTILE = "van\x1b]0;owned\x07 \x1b[31mred\x1b[0m \u202egnp.exe\u202c \u2066x \x9b2J\r=1+1\n2026-01-01-9  closed"
"""A title set by OSC (ECMA-48, 8.3.89), colours by SGR (8.3.117), C1, bidirectional marks (Unicode TR9), a new line."""
STEERING = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u061c\u200e\u200f\u202a-\u202e\u2066-\u2069]|\r(?!\n)")
FULL = "/dev/full"  # Linux gives every write to it the error of a full disk (man 4 full)


@pytest.fixture(scope="module")
def home(tmp_path_factory):
    """A home with one closed job in which every name is hostile."""
    home = tmp_path_factory.mktemp("home")
    with open_journal(home) as journal:
        names = dict.fromkeys(("asset", "operator", "customer"), HOSTILE)
        name = work(journal, SHORT, **names, procedure_path=HOSTILE, meter=Quantity(Decimal(42_000), "km"))
        last = journal.read(name).entries[-1].at_ms
        job = journal.hold(name, last)
        said = {"confidence": Decimal(1), "started_ms": 0, "ended_ms": 1, "source": Source.VOICE}
        unclear = NotUnderstood(text=HOSTILE, why=UnclearWhy.UNSURE, clarity=Clarity.UNCLEAR, **said)
        corrected = Corrected(entry=2, text=HOSTILE, operator=HOSTILE)
        supply = SupplyUsed(supply=HOSTILE, batch=HOSTILE)
        job.append([unclear, note(HOSTILE), corrected, supply, ItemMissing(place="supplies:1", number=1)], last)
        job.close()
    return home


def run(home, *words, unbuffered=False, **more):
    environment = {key: value for key, value in os.environ.items() if key != "PYTHONUNBUFFERED"}
    environment |= {"ASSISTANT_HOME": str(home), **({"PYTHONUNBUFFERED": "1"} if unbuffered else {})}
    return subprocess.run(
        [sys.executable, "-m", "assistant", *map(str, words)],
        **{"stdout": subprocess.PIPE, "stderr": subprocess.PIPE, "stdin": subprocess.DEVNULL, "cwd": ROOT, **more},
        env=environment, check=False, timeout=100,
    )  # fmt: skip


@pytest.mark.skipif(not Path(FULL).exists(), reason="this system has no /dev/full")
@pytest.mark.parametrize("words", [["phrases"], ["--help"], ["record", "--html", "-"]])
def test_an_output_that_is_full_is_one_sentence_and_an_exit_code(home, words):
    with Path(FULL).open("wb") as full:
        done = run(home, *words, stdout=full)
    assert done.returncode == Exit.OUTPUT
    assert len(done.stderr.decode().splitlines()) == 1
    assert "No space left on device" in done.stderr.decode()


def closed_pipe():
    """Return the end of a pipe that nobody reads any more, as behind ``| head -1``."""
    ours, theirs = os.pipe()
    os.close(ours)
    return os.fdopen(theirs, "wb")


@pytest.mark.parametrize("unbuffered", [False, True])
@pytest.mark.parametrize("full", [False, True])
def test_what_was_asked_for_is_written_although_nobody_reads_the_lines(home, tmp_path, full, unbuffered):
    svg = tmp_path / "f.svg"
    with Path(FULL).open("wb") if full else closed_pipe() as stdout:
        done = run(home, "programme", GEARBOX, "--svg", svg, stdout=stdout, unbuffered=unbuffered)
    assert svg.read_text("utf-8").startswith("<svg")
    assert (done.returncode, len(done.stderr.splitlines())) == ((Exit.OUTPUT, 1) if full else (Exit.OK, 0))


def test_an_error_output_that_takes_nothing_changes_no_exit_code(home):
    with closed_pipe() as stderr:
        assert run(home, "show", "no such job", stderr=stderr).returncode == Exit.JOURNAL


def test_outputs_that_are_closed_from_the_start_take_no_file_for_theirs(home, tmp_path):
    """``>&- 2>&-``: without them, the next file that is opened would get their numbers, and what is printed."""
    code = f"exec {sys.executable} -m assistant record last --json {tmp_path}/r.json <&- >&- 2>&-"
    done = subprocess.run(
        ["sh", "-c", code], env=os.environ | {"ASSISTANT_HOME": str(home)}, cwd=ROOT, check=False, timeout=100
    )
    assert done.returncode == Exit.OK
    assert json.loads((tmp_path / "r.json").read_text("utf-8"))["card"]["asset"] == HOSTILE
    with open_journal(home, read_only=True) as journal:
        assert journal.verify("last").good


@pytest.mark.parametrize(
    ("words", "code"),
    [
        ("jobs", Exit.OK),
        ("convert 33Nm", Exit.OK),
        ("show no-such-job", Exit.JOURNAL),
        ("rehearse gearbox-side-cover --trial --typed -", Exit.OPEN),
    ],
)
def test_a_command_whose_outputs_and_input_are_closed_does_its_work_all_the_same(home, words, code):
    """What it prints goes nowhere; the closed input of a typed talk is one without a line."""
    done = subprocess.run(
        ["sh", "-c", f"exec {sys.executable} -m assistant {words} <&- >&-"],
        env=os.environ | {"ASSISTANT_HOME": str(home)}, cwd=ROOT, check=False, timeout=100, stderr=subprocess.PIPE,
    )  # fmt: skip
    assert done.returncode == code
    assert b"Traceback" not in done.stderr


def test_control_c_is_one_sentence(home):
    asking = subprocess.Popen(
        [sys.executable, "-m", "assistant", "new"], stdin=subprocess.PIPE, stdout=subprocess.PIPE,
        stderr=subprocess.PIPE, env=os.environ | {"ASSISTANT_HOME": str(home)}, cwd=ROOT, preexec_fn=as_from_a_terminal,  # noqa: PLW1509
    )  # fmt: skip
    first = asking.stderr.read(12)
    assert first.startswith(b"What is done")
    press_control_c(asking)  # its input stays open: the end of that is another answer
    out, told = asking.communicate()
    assert asking.returncode == Exit.INTERRUPTED
    assert b"Traceback" not in told
    assert out == b""


def test_control_c_while_the_program_loads_ends_it_without_a_word(home):
    begun = subprocess.Popen(
        [sys.executable, "-X", "importtime", "-c", "from assistant.start import main; main()", "phrases"],
        stdout=subprocess.PIPE, stderr=subprocess.PIPE, env=os.environ | {"ASSISTANT_HOME": str(home)}, cwd=ROOT,
    )  # fmt: skip
    for line in begun.stderr:
        if b" typer." in line:  # one of the first modules that the command line needs; many follow
            begun.send_signal(signal.SIGINT)
            break
    out, told = begun.communicate(timeout=60)
    assert begun.returncode == -signal.SIGINT
    assert (out, b"Traceback" in told) == (b"", False)


@pytest.mark.parametrize(
    ("loading", "without"),
    [
        ("assistant.__main__", "numpy jinja2 weasyprint vosk ortools networkx livekit moneyed babel num2words"),
        (
            "assistant.cli.printing.lists",
            "numpy yaml num2words assistant.language assistant.session assistant.procedure",
        ),
        (
            "assistant.cli.printing.sums",
            "numpy num2words assistant.session",
        ),
    ],
)
def test_no_command_waits_for_what_only_another_one_needs(loading, without):
    code = f"import sys, {loading}; print(*sys.modules)"
    loaded = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, cwd=ROOT, check=True).stdout
    assert loading in loaded.split()
    assert not set(without.split()) & set(loaded.split())


def test_a_dash_is_the_standard_output_and_nothing_else_is_in_it(home, tmp_path):
    out = run(home, "record", "last", "--html", "-", "--csv", "job.csv", cwd=tmp_path)
    assert out.stderr == b"Wrote job.csv\n"
    (tmp_path / "copy.html").write_bytes(out.stdout)
    assert run(home, "verify", tmp_path / "copy.html").returncode == Exit.OK
    table = run(home, "programme", GEARBOX, "--svg", "-")
    assert table.stdout.startswith(b"<svg")
    assert b"bolt" in table.stderr
    assert not (tmp_path / "-").exists()
    twice = run(home, "record", "last", "--html", "-", "--json", "-")
    assert (twice.returncode, twice.stdout) == (Exit.USAGE, b"")
    assert b"Only one file" in twice.stderr


@pytest.mark.parametrize(
    ("words", "ending"),
    [
        (["programme", GEARBOX, "--svg", "q.png"], ".svg"),
        (["record", "last", "--html", "q.pdf"], ".html"),
        (["record", "last", "--csv", "q.json"], ".csv"),
        (["label", "last", "--png", "q.pdf"], ".png"),
        (["due", "--ics", "q.csv"], ".ics"),
        (["sheet", GEARBOX, "--pdf", "q.html"], ".pdf"),
        (["rehearse", GEARBOX, "--audio-in", "none.wav", "--audio-out", "q.pdf"], ".wav"),
    ],
    ids=lambda value: value if isinstance(value, str) else value[0],
)
def test_a_name_that_says_another_form_is_refused(home, tmp_path, words, ending):
    done = run(home, *words, cwd=tmp_path)
    assert done.returncode == Exit.USAGE
    assert f"let it end in {ending}." in done.stderr.decode()
    assert list(tmp_path.iterdir()) == []


def test_no_name_and_no_note_reaches_a_terminal_or_a_table_as_anything_but_text(home, tmp_path):
    commands = [
        ["jobs"], ["show"], ["due"], ["history"], ["missing"], ["missing", "--format", "csv"],
        ["missing", "--format", "json"], ["record", "last", "--csv", "-"], ["record", "last", "--json", "-"],
        ["record", "last", "--html", "-"], ["due", "--ics", "-"], ["history", "--csv", "-"], ["forget", "last"],
        ["show", HOSTILE], ["diff", HOSTILE, "last"], ["label", "last", "--png", str(tmp_path / "l.png")],
        ["label", "last", "--part", HOSTILE * 9, "--png", str(tmp_path / "m.png")],
    ]  # fmt: skip
    code = (
        "import json, sys\nfrom assistant.__main__ import command_line\n"
        "for words in json.loads(sys.stdin.read()):\n    sys.argv = ['assistant', *words]\n"
        "    try:\n        command_line()\n    except SystemExit:\n        print('ENDED', file=sys.stderr)\n"
    )
    told = subprocess.run(
        [sys.executable, "-c", code], input=json.dumps(commands).encode(), capture_output=True, check=False,
        env=os.environ | {"ASSISTANT_HOME": str(home)}, cwd=ROOT, timeout=100,
    )  # fmt: skip
    assert told.stderr.count(b"ENDED") == len(commands)
    for stream in (told.stdout, told.stderr):
        assert not STEERING.search(stream.decode())
    shown = run(home, "due").stdout.decode()
    assert "van‹U+001B›]0;owned‹U+0007›" in shown
    assert "\n2026-01-01-9  closed" not in shown  # no name makes a line of its own
    rows = list(csv.reader(io.StringIO(run(home, "record", "last", "--csv", "-").stdout.decode())))
    data = next(json.loads(row[8]) for row in rows if row[2] == "note")
    assert data["text"] == HOSTILE  # as JSON, escaped: nothing is lost


def test_what_tells_of_people_is_for_its_owner_alone_whoever_makes_it_first(tmp_path, monkeypatch):
    before = os.umask(0o000)
    try:
        monkeypatch.setenv("ASSISTANT_HOME", str(tmp_path / "a" / "home"))
        from assistant.desk.display import log_to
        from assistant.settings import settings_path, store_settings

        store_settings(settings_path(), {"operator": "Kim"})
        log_to(tmp_path / "b" / "display.log")
        with open_journal(tmp_path / "c" / "d") as journal:
            work(journal, SHORT, most=2)
        (tmp_path / "e" / "audio").mkdir(parents=True)  # as an older version made it
        private_file(private_folder(tmp_path / "e" / "audio", ours=True) / "1.wav")
    finally:
        os.umask(before)
    for path in ("a", "a/home", "b", "c", "c/d", "e/audio"):
        assert stat.S_IMODE((tmp_path / path).stat().st_mode) == 0o700, path
    for file in [path for path in tmp_path.rglob("*") if path.is_file()]:
        assert stat.S_IMODE(file.stat().st_mode) == 0o600, file


def test_kept_sound_is_for_its_owner_alone(tmp_path):
    kept = []
    before = os.umask(0o000)
    try:
        recogniser = KeepingRecogniser(TellRecogniser(), tmp_path, kept.append)
        recogniser.start()
        recogniser.feed(np.zeros(320, dtype=np.int16))
        recogniser.finish(1.0, 2.0)
    finally:
        os.umask(before)
    assert kept == ["1000.wav"]
    assert stat.S_IMODE((tmp_path / kept[0]).stat().st_mode) == 0o600


def test_a_record_and_its_folder_are_for_their_owner_alone(home, tmp_path):
    done = run(home, "record", "last", "--out", tmp_path / "new" / "records", umask=0)
    assert done.returncode == Exit.OK, done.stderr
    made = sorted((tmp_path / "new" / "records").iterdir())
    assert [path.suffix for path in made] == [".csv", ".html", ".json", ".pdf"]
    assert {stat.S_IMODE(path.stat().st_mode) for path in made} == {0o600}
    assert {stat.S_IMODE(path.stat().st_mode) for path in (tmp_path / "new", tmp_path / "new" / "records")} == {0o700}


def test_the_spoken_side_of_a_rehearsal_is_for_its_owner_alone(tmp_path):
    """Names and notes are read back in it."""
    before = os.umask(0)
    try:
        WavLoudspeaker(tmp_path / "spoken.wav").close()
    finally:
        os.umask(before)
    assert stat.S_IMODE((tmp_path / "spoken.wav").stat().st_mode) == 0o600


@pytest.mark.skipif(not Path(FULL).exists(), reason="this system has no /dev/full")
def test_a_standard_output_that_is_full_is_called_that_and_no_folder_is_asked_for(home):
    with Path(FULL).open("wb") as full:
        done = run(home, "record", "last", "--html", "-", stdout=full)
    assert done.returncode == Exit.OUTPUT
    assert b"The standard output cannot be written" in done.stderr
    assert b"folder" not in done.stderr


def test_a_history_of_one_job_counts_it_as_one(home):
    assert run(home, "history").stdout.startswith(b"1 job, 1 of them closed.")


def test_a_draft_of_a_table_may_go_to_the_standard_output(home, tmp_path):
    (tmp_path / "table.csv").write_text("Bolts,Torque\n1-3,18 Nm\n")
    done = run(home, "import", tmp_path / "table.csv", "-")
    assert done.returncode == Exit.OK, done.stderr
    assert b"bolts: 1-3" in done.stdout


def test_four_files_cannot_be_the_standard_output(home, tmp_path):
    done = run(home, "record", "last", "--out", "-")
    assert done.returncode == Exit.USAGE
    assert b"name a folder" in done.stderr


def test_a_closed_job_is_said_to_be_closed_before_any_device_is_looked_for(home):
    done = run(home, "resume", "last")
    assert done.returncode == Exit.JOURNAL
    assert b"is closed; start a new one" in done.stderr


@pytest.mark.parametrize(
    "words",
    [
        ("diff", "last", "coolant-pump-cover"),
        ("meter", "last", "50h"),
        ("supply", "last", "gasket", "--batch", "L1"),
        ("correct", "last", "--entry", "1", "--text", "x"),
        ("rehearse", "coolant-pump-cover", "--typed", "talk.txt", "--job", "last"),
    ],
)
def test_a_job_whose_first_entry_cannot_be_read_is_one_sentence_everywhere(home, tmp_path, words):
    """One flipped bit in the first entry of a job; nothing of it can be told."""
    data = bytearray(journal_path(home).read_bytes())
    data[data.index(b'"procedure_path"') + 1] ^= 0x80  # no letter of UTF-8 any more
    journal_path(tmp_path).write_bytes(data)
    (tmp_path / "talk.txt").write_text("next\n")
    done = run(tmp_path, *(str(tmp_path / word) if word == "talk.txt" else word for word in words))
    assert done.returncode == Exit.JOURNAL, done.stderr
    assert len(done.stderr.splitlines()) == 1


def test_a_home_that_is_a_file_is_said_to_be_one(tmp_path):
    (tmp_path / "file").write_text("in the way")
    for words in (["jobs"], ["due"], ["verify"]):
        done = run(tmp_path / "file", *words)
        assert done.returncode == Exit.JOURNAL, words
        assert b"Not a directory" in done.stderr
        assert len(done.stderr.splitlines()) == 1


def test_a_history_of_nothing_is_no_success(home, tmp_path):
    done = run(home, "history", "--procedure", "no-such", "--csv", tmp_path / "h.csv")
    assert done.returncode == Exit.JOURNAL
    assert b'no job of the procedure "no-such"' in done.stderr
    assert list(tmp_path.iterdir()) == []


def test_a_record_file_that_is_not_there_is_called_a_file(home, tmp_path):
    done = run(home, "verify", tmp_path / "missing.pdf")
    assert done.returncode == Exit.JOURNAL
    assert b"missing.pdf is not there" in done.stderr


def test_the_help_of_jobs_names_the_columns_that_it_prints(home):
    head = re.split(r"  +", run(home, "jobs").stdout.decode().splitlines()[0])
    told = " ".join(run(home, "jobs", "--help").stdout.decode().split())
    assert head == ["job", "state", "opened", "last entry", "entries", "procedure"]
    for column in head[1:]:
        assert column in told.split("newest first:")[1]


@pytest.mark.timeout(60)
def test_without_buffering_a_line_is_out_before_the_program_goes_on():
    # python -u: the standard outputs are unbuffered (Python documentation, command line and environment).
    waits = (
        "import sys; from assistant.terminal.streams import take_outputs\n"
        "take_outputs(); print('say: next'); sys.stdin.readline()"
    )
    with subprocess.Popen(
        [sys.executable, "-u", "-c", waits], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True
    ) as process:
        ready, _, _ = select.select([process.stdout], [], [], 30)
        assert ready, "the line is kept back while the program waits for an answer to it"
        assert process.stdout.readline() == "say: next\n"
        process.communicate("\n")
