"""Answers where nobody works on the job, where another process does, and when all is over; photos and prices."""

from __future__ import annotations

import io
import os
import signal
import subprocess
import sys
import time
from decimal import Decimal
from pathlib import Path

import pytest
from PIL import Image
from typer.testing import CliRunner

from assistant.__main__ import app
from assistant.bay.customer_post import Post, came_too_late
from assistant.customer.customers import MOST_ANSWERS, CustomerPages
from assistant.customer.links import customer_folder, make_token
from assistant.customer.photos import MOST_PHOTOS
from assistant.customer.waiting import keep_answer, waiting_answers
from assistant.desk.display import Display
from assistant.desk.options import DisplayOptions
from assistant.display.customer import NotShown
from assistant.facts.bay import AnswerCollected
from assistant.facts.customer import CustomerAnswered
from assistant.faults import Fault
from assistant.journal.opening import open_journal
from assistant.pictures.drawing import LARGEST_SIDE, MOST_PHOTO_BYTES, clean_photo
from tests.bay.live import LiveBay
from tests.display.customers import Customer
from tests.typed.play import Played, play, procedure_named
from tests.whole_jobs.talks import ROOT

LID = procedure_named("lid-and-rail")
BEGIN = "2026-11-16T08:00"
OFFERED = """
next
next
next
next
ask later
i found something
"the seal weeps on the left"
end note
before it runs
confirmed
"""
PRICES = """kind,id,name,unit,price,to,currency,lies on
labour,mechanic,,h,60,75,EUR,
part,hose,breather hose,,12.50,,EUR,
tax,vat,,%,10,,EUR,all
"""


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("ASSISTANT_HOME", str(tmp_path))
    return tmp_path


def rehearsed(home: Path, talk: str = OFFERED, *more: str) -> Played:
    return play(LID, talk, *more, home=home, begin=BEGIN)


def job_in(home: Path) -> str:
    with open_journal(home, read_only=True) as journal:
        return journal.resolve("last")


def token_in(home: Path) -> str:
    return make_token(job_in(home), round(time.time() * 1000) + 60_000)


def answers_in(home: Path) -> list[CustomerAnswered]:
    with open_journal(home, read_only=True) as journal:
        return [entry.fact for entry in journal.read("last").entries if isinstance(entry.fact, CustomerAnswered)]


def answer(pages: CustomerPages, token: str, number: int, *, granted: bool) -> None:
    offer = pages.page(token).offer(number)
    assert offer is not None
    pages.answer(token, number, offer.shown, granted=granted)


def command(home: Path, *words: str) -> str:
    result = CliRunner().invoke(app, list(words), env={"ASSISTANT_HOME": str(home)})
    assert result.exit_code == 0, result.output
    return result.output


def test_an_answer_while_nobody_works_is_kept_and_told_when_the_job_goes_on(home: Path) -> None:
    rehearsed(home)
    token = token_in(home)
    answer(CustomerPages(), token, 2, granted=True)
    again = CustomerPages()  # as after a new start of the server: the link is good, and the answer is there
    offer = again.page(token).offer(2)
    assert offer is not None
    assert (offer.answer, offer.by) == ("granted", "waits")
    with open_journal(home) as journal:
        assert journal.verify("last").good
        assert journal.lease("last") is None
    resumed = rehearsed(home, "+1 min\nwhat extra work", "--job", "last")
    assert any("Extra work two is granted by the customer." in said for said in resumed.said)
    offer = again.page(token).offer(2)
    assert offer is not None
    assert (offer.answer, offer.by) == ("granted", "you")


def test_a_form_of_before_counts_when_another_program_serves_the_page(home: Path) -> None:
    """The bay has ended, and the desk serves: link, cookie and form are as good as before."""
    rehearsed(home)
    token = token_in(home)
    served = [Display(DisplayOptions("", 0), procedures=LID.parent, job=False, customers=CustomerPages())]
    try:
        customer = Customer(served[0].link, token)
        form = customer.sure(2, "granted")
        served[0].close()
        served.append(Display(DisplayOptions("", 0), procedures=LID.parent, job=False, customers=CustomerPages()))
        customer.link = served[1].link
        assert customer.post(form).status == 303
        assert b"You granted this" in customer.get().body
    finally:
        served[-1].close()
    assert [one.granted for one in answers_in(home)] == [True]


def test_an_answer_that_is_there_before_the_job_goes_on_is_never_told_into_a_read_back(home: Path) -> None:
    rehearsed(home, OFFERED + "extra work one is granted\nthe manager\nby telephone\n")
    answer(CustomerPages(), token_in(home), 1, granted=False)
    resumed = rehearsed(home, "+1 min\nwhat extra work", "--job", "last")
    assert "extra_granted" not in [kind for kind, _ in resumed.records]
    assert any("Extra work one is declined by the customer." in said for said in resumed.said)


def test_where_another_process_holds_the_job_the_answer_waits_on_disk_and_is_shown_as_given(home: Path) -> None:
    rehearsed(home)
    token, pages = token_in(home), CustomerPages()
    with open_journal(home) as journal:
        held = journal.hold("last", round(time.time() * 1000))
        answer(pages, token, 2, granted=True)
        answer(pages, token, 2, granted=True)  # the same one twice is one
        shown = CustomerPages().page(token).offer(2)
        assert shown is not None
        assert (shown.answer, shown.by) == ("granted", "waits")
        assert answers_in(home) == []
        (one,) = waiting_answers(job_in(home))
        (path,) = customer_folder(job_in(home)).glob("answer-*")
        assert path.stat().st_mode & 0o777 == 0o600
        with pytest.raises(NotShown, match="came after another one"):
            pages.answer(token, 2, shown.shown, granted=False)
        for _ in range(MOST_ANSWERS - 2):
            with pytest.raises(NotShown):
                pages.answer(token, 2, shown.shown, granted=False)
        with pytest.raises(NotShown, match="answered several times"):
            pages.answer(token, 2, shown.shown, granted=False)
        held.close()
    pages.collect_all()  # as the desk does, behind the one that held it
    assert [(one.granted, one.number) for one in answers_in(home)] == [(True, 2), *[(False, 2)] * (MOST_ANSWERS - 1)]
    assert waiting_answers(job_in(home)) == []
    with open_journal(home, read_only=True) as journal:
        assert journal.verify("last").good
    resumed = rehearsed(home, "+1 min\nwhat extra work", "--job", "last")
    assert any("Extra work two is granted by the customer." in said for said in resumed.said)
    assert one.answer.at_ms in [entry.at_ms for entry in answers_in(home)]


def test_what_is_no_answer_in_the_folder_of_a_page_disturbs_nothing(home: Path) -> None:
    rehearsed(home)
    token, pages = token_in(home), CustomerPages()
    folder = customer_folder(job_in(home))
    for number, text in enumerate(("", "{}", "[]", '{"kind":"closed","version":1,"data":{}}', "[" * 3000, "\0" * 90)):
        (folder / f"answer-{number}-{number:016x}.json").write_text(text)
    (folder / "answer-9-link.json").symlink_to("/etc/passwd")
    assert pages.page(token).offer(2) is not None
    answer(pages, token, 2, granted=True)
    assert len(answers_in(home)) == 1


KILLED = """
import os, signal, sys, time
from assistant.customer import customers, waiting
from assistant.facts.bay import AnswerCollected

def dies(*_):
    os.kill(os.getpid(), signal.SIGKILL)

where, job = sys.argv[1:]
if where == "kept":  # at the desk, behind the file and before the customer is told
    keep = waiting.keep_answer
    customers.keep_answer = lambda *given: (keep(*given), dies())
else:  # where it is taken in, behind the entry and before the file is gone
    waiting.drop_answer = dies
pages = customers.CustomerPages()
if where == "kept":
    offer = pages.page(sys.stdin.readline().strip()).offer(2)
    pages.answer(open(os.environ["TOKEN"]).read(), 2, offer.shown, granted=True)
else:
    pages.collect(job)
"""


def test_an_answer_is_neither_lost_nor_doubled_by_a_kill_between_the_steps(home: Path, tmp_path: Path) -> None:
    rehearsed(home)
    token, job = token_in(home), job_in(home)
    (tmp_path / "token").write_text(token)

    def killed(where: str) -> None:
        done = subprocess.run(
            [sys.executable, "-c", KILLED, where, job], input=token, text=True, capture_output=True, cwd=ROOT,
            env=os.environ | {"TOKEN": str(tmp_path / "token")}, check=False, timeout=60,
        )  # fmt: skip
        assert done.returncode == -signal.SIGKILL, done.stderr

    with open_journal(home) as journal:
        held = journal.hold("last", round(time.time() * 1000))
        killed("kept")
        assert len(waiting_answers(job)) == 1
        held.close()
    killed("taken in")
    assert (len(answers_in(home)), len(waiting_answers(job))) == (1, 1)
    CustomerPages().collect_all()
    assert (len(answers_in(home)), len(waiting_answers(job))) == (1, 0)


def test_the_bay_takes_in_what_waits_tells_it_and_what_comes_too_late_is_told_at_the_end(tmp_path: Path) -> None:
    answered = CustomerAnswered(
        work="hold:seal", number=1, granted=True, shown_sha256="0" * 64, price=None, at_ms=9_000_000_000_000
    )
    live = LiveBay(tmp_path)
    job = live.open().job
    try:
        with pytest.MonkeyPatch.context() as environment:
            environment.setenv("ASSISTANT_HOME", str(tmp_path))
            keep_answer(job.id, answered)
            post = Post(job, live.inbox)
            post.start()
            live.run(lambda _runner, _now: None if not waiting_answers(job.id) else False)
            post.close()
            kept = [entry.fact for entry in job.entries()]
            (found,) = [one for one in kept if isinstance(one, CustomerAnswered)]
            assert 0 < found.at_ms < answered.at_ms  # the desk's clock was ahead: it was never answered from the future
            (collected,) = [one for one in kept if isinstance(one, AnswerCollected)]
            assert collected.kept_ms == answered.at_ms
            keep_answer(job.id, answered)
            assert "please call whoever answered" in came_too_late(job.id)[0]
    finally:
        live.close()


def test_a_closed_job_answers_nothing_and_shows_nothing(home: Path) -> None:
    rehearsed(home)
    token, pages = token_in(home), CustomerPages()
    offer = pages.page(token).offer(2)
    assert offer is not None
    rehearsed(home, 'finish job\n"it ends here"\nend note\nconfirmed', "--job", "last")
    for ask in (
        lambda: pages.page(token), lambda: pages.answer(token, 2, offer.shown, granted=True),
        lambda: pages.picture(token, "x"),
    ):  # fmt: skip
        with pytest.raises(NotShown, match="This job has ended"):
            ask()
    assert answers_in(home) == []


def test_a_text_or_a_price_that_changed_since_it_was_shown_is_not_answered(home: Path, tmp_path: Path) -> None:
    rehearsed(home)
    token, pages = token_in(home), CustomerPages()
    with pytest.raises(NotShown, match="has changed since you opened this page"):
        pages.answer(token, 2, "0" * 64, granted=True)
    before = pages.page(token).offer(1)
    assert before is not None
    assert before.price == "price on request"
    (tmp_path / "prices.csv").write_text(PRICES)
    printed = command(home, "customer", "last", "--prices", str(tmp_path / "prices.csv"))
    token = printed.split("/customer/")[1].split()[0]
    with pytest.raises(NotShown, match="has changed"):
        pages.answer(token, 1, before.shown, granted=True)
    after = pages.page(token).offer(1)
    assert after is not None
    # Twenty minutes are printed as 0.33 h: 19.80 to 24.75, the hose 12.50, and a tenth of both; by hand.
    assert after.price == "35.53 to 40.98 EUR"
    seal = pages.page(token).offer(2)
    assert seal is not None
    assert seal.price == "price on request"  # the list has no line for it, and nothing is guessed
    pages.answer(token, 1, after.shown, granted=True)
    (kept,) = answers_in(home)
    assert kept.price is not None
    assert (kept.price.low, kept.price.high, kept.price.currency) == (Decimal("35.53"), Decimal("40.98"), "EUR")


def test_a_finding_is_priced_by_its_words_in_the_list_once_its_minutes_are_said(home: Path, tmp_path: Path) -> None:
    lines = PRICES.replace("lies on", "lies on,findings").replace("EUR,\n", "EUR,,\n").replace(",all", ",all,")
    (tmp_path / "prices.csv").write_text(lines + "part,seal,shaft seal,,12.50,,EUR,,seal weeps\n")
    rehearsed(home)
    printed = command(home, "customer", "last", "--prices", str(tmp_path / "prices.csv"))
    assert "the seal weeps on the left: price on request (mechanic: how much of it is not known)" in printed
    rehearsed(home, "+1 min\nit takes twenty minutes\npause", "--job", "last")
    printed = command(home, "customer", "last", "--prices", str(tmp_path / "prices.csv"))
    assert "the seal weeps on the left: 35.53 to 40.98 EUR by 1 shaft seal, 0.33 h mechanic" in printed  # as above
    offer = CustomerPages().page(printed.split("/customer/")[1].split()[0]).offer(2)
    assert offer is not None
    assert offer.price == "35.53 to 40.98 EUR"


def test_the_link_is_made_ended_and_says_where_it_can_be_reached(home: Path) -> None:
    rehearsed(home)
    first = command(home, "customer", "last")
    assert "It can be reached on this computer alone." in first
    assert "prices" in first
    second = command(home, "customer", "last", "--days", "2")
    old, new = (said.split("/customer/")[1].split()[0] for said in (first, second))
    pages = CustomerPages()
    with pytest.raises(NotShown, match="not known here"):
        pages.page(old)
    assert pages.page(new).offer(1) is not None
    assert "is ended" in command(home, "customer", "last", "--revoke")
    with pytest.raises(NotShown, match="not known here"):
        pages.page(new)


def photo(path: Path) -> Path:
    """A photo with place, device and a note of the camera in it, lying on its side."""
    image = Image.new("RGB", (3000, 2000), (90, 110, 130))
    exif = Image.Exif()
    exif[0x010F], exif[0x0112], exif[0x9286] = "Secret Camera Works", 6, "taken at home"
    exif.get_ifd(0x8825)[1] = "N"
    image.save(path, "JPEG", exif=exif, comment=b"Secret comment", icc_profile=b"Secret profile", dpi=(301, 301))
    return path


def test_a_photo_is_drawn_anew_and_nothing_of_the_camera_is_left(home: Path, tmp_path: Path) -> None:
    rehearsed(home)
    token, pages = token_in(home), CustomerPages()
    path = photo(tmp_path / "IMG 0001.JPG")
    assert b"Secret Camera" in path.read_bytes()
    assert "with extra work 2" in command(home, "customer", "last", "--picture", str(path), "--work", "2")
    offer = pages.page(token).offer(2)
    assert offer is not None
    (name,) = offer.pictures
    hung = pages.picture(token, name)
    assert b"Secret" not in hung.data
    with Image.open(io.BytesIO(hung.data)) as shown:
        assert (shown.size, dict(shown.getexif())) == ((1067, LARGEST_SIDE), {})  # upright
    with pytest.raises(NotShown, match="no such picture"):
        pages.picture(token, "0" * 64)
    command(home, "customer", "last", "--no-pictures")
    with pytest.raises(NotShown, match="no such picture"):
        pages.picture(token, name)


def test_what_is_no_photo_or_too_much_of_one_is_one_sentence(home: Path, tmp_path: Path) -> None:
    rehearsed(home)
    good = photo(tmp_path / "good.jpg").read_bytes()
    for name, data in (("a.jpg", b""), ("b.png", b"\x89PNG\r\n\x1a\n"), ("c.jpg", good[:90]), ("d.gif", b"GIF89a")):
        found = clean_photo(data, name)
        assert isinstance(found, Fault)
        assert found.reason == f"{name} is no photo that can be read"
    wide = io.BytesIO()
    Image.new("1", (60_000, 1_200)).save(wide, "PNG")
    huge = clean_photo(wide.getvalue(), "e.png")
    assert isinstance(huge, Fault)
    assert "60000 by 1200 points" in huge.reason
    (tmp_path / "long.jpg").write_bytes(b"\xff" * (MOST_PHOTO_BYTES + 1))
    result = CliRunner().invoke(app, ["customer", "last", "--picture", str(tmp_path / "long.jpg")])
    assert (result.exit_code, "is longer than" in result.output) != (0, False)
    for number in range(MOST_PHOTOS):
        Image.new("RGB", (4, 4), (number * 9, 0, 0)).save(tmp_path / "one.png")
        command(home, "customer", "last", "--picture", str(tmp_path / "one.png"))
    Image.new("RGB", (4, 4), (0, 9, 0)).save(tmp_path / "one.png")
    result = CliRunner().invoke(app, ["customer", "last", "--picture", str(tmp_path / "one.png")])
    assert result.exit_code != 0


def test_forgetting_a_job_takes_its_page_along(home: Path, tmp_path: Path) -> None:
    rehearsed(home)
    token = token_in(home)
    command(home, "customer", "last", "--picture", str(photo(tmp_path / "p.jpg")))
    answer(CustomerPages(), token, 2, granted=True)
    rehearsed(home, '+1 min\nfinish job\n"it ends here"\nend note\nconfirmed', "--job", "last")
    folder = customer_folder(job_in(home))
    assert any(folder.iterdir())
    assert "what was shown to the customer is removed" in command(home, "forget", "last", "--yes")
    assert not folder.exists()
    (kept,) = answers_in(home)
    assert kept.shown_sha256 == "[removed]"  # made from words of a person
    assert kept.granted
    with pytest.raises(NotShown, match="not known here"):
        CustomerPages().page(token)
