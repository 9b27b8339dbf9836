"""What the doctor says of the central store, with a real one."""

from __future__ import annotations

import contextlib
from collections.abc import Iterator
from pathlib import Path

import pytest

from assistant.central.link import CentralLink
from assistant.journal.opening import open_journal
from assistant.service.central import look_at_central
from assistant.settings import Settings
from assistant.workshop.line import TOKEN
from assistant.workshop.members import add_member, add_workshop
from assistant.workshop.sending import Sender
from tests.central.server import Shop
from tests.jobs import bare

NOON = 1_790_000_000_000


@pytest.fixture
def settings(shop: Shop, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Settings]:
    """Those of a bay that has sent nothing of its one job."""
    monkeypatch.setenv("ASSISTANT_HOME", str(tmp_path))
    with contextlib.closing(CentralLink(shop.admin)) as link:
        add_workshop(link, "alder")
        login, token = add_member(link, "alder", "bay1")
    (tmp_path / TOKEN).touch(0o600)
    (tmp_path / TOKEN).write_text(token, "ascii")
    with open_journal(tmp_path) as journal:
        journal.create([bare("Practice")], NOON)
        yield Settings(central=f"host=127.0.0.1 port={shop.server.port} dbname={shop.name} user={login}")


def test_what_waits_is_counted_and_then_all_is_there(settings: Settings, shop: Shop, tmp_path: Path) -> None:
    found = look_at_central(settings)
    assert (found.state, found.found) == (
        "look",
        "1 entry was not sent yet; a bay at work does so, and so does: assistant send",
    )
    with contextlib.closing(
        Sender(tmp_path, shop.as_login("alder.bay1", (tmp_path / TOKEN).read_text("ascii")))
    ) as one:
        one.round(0)
    found = look_at_central(settings)
    assert (found.state, found.found) == (
        "good",
        f"alder.bay1 at 127.0.0.1:{shop.server.port}/{shop.name} has all of the journal and its photos",
    )


def test_a_store_that_is_gone_is_to_be_looked_at_and_a_wrong_token_is_a_fault(
    settings: Settings, tmp_path: Path
) -> None:
    gone = Settings(central=settings.central.replace(f"port={settings.central.split('port=')[1].split()[0]}", "port=1"))
    assert look_at_central(gone).state == "look"
    (tmp_path / TOKEN).write_text("another", "ascii")
    found = look_at_central(settings)
    assert found.state == "fault"
    assert "refuses the login alder.bay1" in found.found


@pytest.mark.parametrize(
    ("central", "sentence"),
    [
        ("host=store user=alder.bay1 password=word", "never with a password: the token stands in"),
        ("store.example", "write it as host=HOST port=5432 dbname=shop user=LOGIN"),
        ("host=store user=alder.bay1 port=99999", "must be a number up to 65535"),
    ],
)
def test_an_address_that_cannot_be_used_is_one_sentence(
    central: str, sentence: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("ASSISTANT_HOME", str(tmp_path))
    found = look_at_central(Settings(central=central))
    assert found.state == "fault"
    assert sentence in found.found


def test_a_token_that_others_may_read_is_refused(settings: Settings, tmp_path: Path) -> None:
    (tmp_path / TOKEN).chmod(0o644)
    assert "Others may read the token for the central store; say: chmod 600" in look_at_central(settings).found


def test_a_bay_that_stands_alone_needs_none() -> None:
    assert look_at_central(Settings()).found == "none is set; the bay stands alone"
