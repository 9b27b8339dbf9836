"""Personal data goes for good, out of the raw files, and the chain stays as it was."""

import pytest

from assistant.cli.printing.forget import forget_job
from assistant.cli.printing.options import RecordOptions
from assistant.cli.printing.record.check import verify_record
from assistant.cli.printing.record.write import write_record
from assistant.journal.opening import open_journal
from assistant.report.record.made import make
from assistant.terminal.exits import Exit
from tests.jobs import SHORT, work
from tests.journal import independent

SECRETS = (
    "Frieda Secretname", "white van of the baker", "customer four eleven", "the foreman agreed to it",
    "/home/frieda/own/pump.yaml",
)  # fmt: skip


@pytest.fixture
def job(journal):
    seen = []

    def say(session, now):
        view = session.view(now)
        if view["phase"] == "doing" and len(seen) < 2:
            seen.append(1)
            return ("take a note", "skip this step")[len(seen) - 1]
        return "confirmed" if view["phase"] == "confirming" else None

    operator, asset, customer, _, path = SECRETS
    names = {"operator": operator, "asset": asset, "customer": customer, "procedure_path": path}
    return work(journal, SHORT, say=say, most=400, **names)


def raw(home):
    return b"".join(file.read_bytes() for file in home.rglob("*") if file.is_file())


def test_the_words_are_in_no_file_afterwards_and_the_chain_holds(journal, home, job, tmp_path, capsys):
    before = journal.read(job).entries
    for secret in SECRETS:
        assert secret.encode() in raw(home)
    file = tmp_path / "old.html"
    write_record(job, RecordOptions(html=file))
    (home / "audio" / job).mkdir(parents=True)
    (home / "audio" / job / "1.wav").write_bytes(b"sound")
    assert forget_job(job, sure=False) is Exit.USAGE
    assert len(journal.read(job).entries) == len(before)
    assert forget_job(job, sure=True) is Exit.OK
    for secret in SECRETS:
        assert secret.encode() not in raw(home)
    assert not (home / "audio" / job).exists()
    with open_journal(home, read_only=True) as after_journal:
        after = after_journal.read(job).entries
        assert after_journal.verify(job).good
    assert [entry.hash for entry in after[:-1]] == [entry.hash for entry in before]
    assert len(independent.check(home, job)) == len(after)
    assert (after[0].data["operator"], after[-1].kind) == ("[removed]", "forgotten")
    kept = [(entry.kind, entry.data.get("step"), entry.data.get("count")) for entry in before]
    assert [(entry.kind, entry.data.get("step"), entry.data.get("count")) for entry in after[:-1]] == kept
    html = make(job, after, paper="a4", clock=0).form("html").decode()
    assert not [secret for secret in SECRETS if secret in html]
    capsys.readouterr()
    assert verify_record(str(file)) is Exit.OK
    assert "Personal data of the job was removed since then" in " ".join(capsys.readouterr().out.split())


def test_what_is_forgotten_already_leaves_no_entry_that_says_so_again(journal, job, capsys):
    assert forget_job(job, sure=True) is Exit.OK
    entries = journal.read(job).entries
    capsys.readouterr()
    assert forget_job(job, sure=True) is Exit.OK
    assert "Nothing personal is left" in capsys.readouterr().out
    assert journal.read(job).entries == entries


def test_other_jobs_keep_their_words(journal, job):
    other = work(journal, SHORT, asset="another machine")
    assert forget_job(job, sure=True) is Exit.OK
    assert journal.read(other).entries[0].data["asset"] == "another machine"
    assert journal.verify(other).good


def test_an_open_job_is_refused(journal, capsys):
    work(journal, SHORT, most=10, asset="x")
    assert forget_job("last", sure=True) is Exit.JOURNAL
    assert "is not closed" in capsys.readouterr().err
    assert journal.read("last").entries[0].data["asset"] == "x"
