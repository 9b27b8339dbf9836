"""Golden journals: jobs that an earlier program stored are opened, checked, gone on with and recorded by this one."""

from __future__ import annotations

import hashlib
import json
import sqlite3
from collections.abc import Iterator
from contextlib import closing
from decimal import Decimal
from pathlib import Path
from typing import Any

import msgspec
import pytest

from assistant import facts
from assistant.bay.job_opening import resume_job
from assistant.events import Clarity, Heard, Say, Thresholds
from assistant.facts import Bounds, Quantity
from assistant.facts.asking import Asked, Deviated, DeviationWhat, Skipped, SkippedWhat
from assistant.facts.going import BoltAt
from assistant.facts.inputs import Resumed, Start, ToolFile, Utterance
from assistant.facts.kinds.tighten import BoltsTightened, Reached, ToolLead, ToolsOfRun, ToolTrouble, Undone
from assistant.facts.store import fact_classes, questions
from assistant.journal.opening import journal_path, open_journal
from assistant.journal.port import Entry
from assistant.kept.rebuilding import rebuild_session
from assistant.language.en import ENGLISH
from assistant.session.evolving.table import evolve
from assistant.session.session import Session
from assistant.session.state import State
from assistant.terminal.exits import Refusal
from tests.journal.golden import FOLDER, NAMES, RECORDS, digest, dumped, load, record, summary, written
from tests.journal.independent import check

UNCHANGED = {
    "broken-bolts.json": "8123908a0582831a94be077ec54bf385abddb4cfd25d628ed72fe66e7078c7c1",
    "broken-bolts.sql": "aade0b491df306cd0d85a4b98c2e1a2553f25c9e1a94516fd1c63684a329624c",
    "cap.json": "994cdd3df1edc377d1944ba4952ce2646100fe1ceafd737cd2a70b791a6e953a",
    "cap.sql": "402790249c1c0d79ae0f2413ed9806fb85c91ae0a079b445370ea8126157d94f",
    "customer-page.json": "417f7b0059399d682694f9acf837084ec9766bdb638a911430fd95c2deebf443",
    "customer-page.sql": "e9d109c5c33ec6ae8c88b886216691e90d09f003c0b73232911cfc4e6ae6f6f7",
    "feed-pump.json": "c58c0b70e0d2d4a5224a94c5366a8210a9e3460691ca5725d557fc6311c64c06",
    "feed-pump.sql": "d818ca11e8fdf5fd0512f87b73927ccd18689b11e3eb0f996e4b7f6868f2c1b0",
    "few-words.json": "d762cedcef376e92a1185b6ca057b875b3313a94602c73401c0333b57f53fc0f",
    "few-words.sql": "21df9f784ffb59c3935bb7bfbb1692cab3ffe900f656dcc97ab1af9384b84fe4",
    "found-pack.json": "b19cf18dd5f828a177c6a1465fb773c7f59b6e76440decc937364cf89f73a7b3",
    "found-pack.sql": "af97a7c94f4a011fd0aac27dba3b13b424dc27293111b8675749125f3b96046a",
    "helpers-taken-back.json": "14e8a33f2e9db29efb723e6122d80ff3b44b7be51667f1f94326ae18ed92f8b5",
    "helpers-taken-back.sql": "e59755927b8b4b29c3709d65dd35168cf315318b66be3573e790e76dc15fb6c5",
    "helping-hands.json": "63f2755116fe59903523d345c885b615fc7e67ea5332316fb1e323fbf51f96d8",
    "helping-hands.sql": "c683137cd630bb5eab02358b36a6e6dd9d08c01477008032c37407e51e6258ea",
    "hub-drive.json": "ddf4cfc45f9c68be448d94241f041a5c63cdaa1899f42d6015e519b40ea1b116",
    "hub-drive.sql": "de9365c9b4d5046b300f529a31b818c8ee67be82fef7ac77d91d76bd1d5fa50f",
    "hub-nut.json": "9dd8bfdd46968b135634f779d2f588165a267a175f20337e72de695574df6dbb",
    "hub-nut.sql": "f7beea2910dc65f4b84bb90d9513e86c23b0a7c0a4285d6a49518ad38783e721",
    "lid-around.json": "ce982a45e7bef9bba91c68685d79ab481627d9ff5e14bbc19c419b1742037ddb",
    "lid-around.sql": "cb4d578cdf6a6788aaa43044e46a5cbfbeae62c89e53cc61cba20fcf282810b6",
    "lid-and-rail.json": "26112ebd8de78b7781e48f0d17c61a79b3d4043112574727a2597fe05f8de365",
    "lid-and-rail.sql": "d707cbab0d7ef5c9cdb47cc0d1bf6f83607f967f9e730f91e50e511b03512595",
    "pump-cover.json": "c92e9a265226bf8db53a0896c79cf6492d7d6133f91baecc5d533327e3b6998f",
    "pump-cover.sql": "25e9765705f7e8e31981e6ef80436596ee291aa66e9da52540b9ef86c16ebcce",
    "side-cover.json": "a3aeff6b477aee57d5b64e9da8f0eb6853ff3dda8f44211d4231ac8181dad576",
    "side-cover.sql": "14eec859a7e074c29bbc6c6fba56133b5bc6a3ee0dc0a74be973860be7c55624",
    "table.json": "f400cac4fbd4706fdf776f1a786925723bb1246a1051c4ae98bafdbe1c9b486a",
    "table.sql": "02a7305ec2bd9d710bf679e6e8f4fd239724051131f646887689d9e8c3a92d4f",
    "taken-back-table.json": "d9a5a6f88b9c1583da5c9a9e56f378baca751b8ec226b24146de4abe66be89a7",
    "taken-back-table.sql": "7e2a5d52817ca88fcecbf1edbb37d86a5c03fee27034c0a8a6d12ba149c93c15",
    "taken-back-timers.json": "28cbca8a43e76130fe730e2fb8af3d794f453407173649d13e9603af269e0287",
    "taken-back-timers.sql": "8e661de8cacae339e99184f2cc639aef97dbc6ab88e11afcf46fca9f17b9c6a2",
    "taken-back-trouble.json": "e254b8082e98a9ba1c2bfb9edc0dd2f67ddc2315c8426aa95682cf87ed0d8030",
    "taken-back-trouble.sql": "b73f84281f6759169861df4beecc240346cc99a43c937c6aae97146fd961797f",
    "taken-back.json": "289a7ea580fd05fb7e7e46963ff8693815a7f5a5fb5503317a71968f9bf5c919",
    "taken-back.sql": "3609fef7cb90a790cad20281ebe41a84956bcb1b7ac99585e83834c0bc86811a",
    "gated-tank.json": "32d4bfd9fc12128d6beeeea6e09ffc793dbcb6942a7e22407ebc928e9bdffe2e",
    "gated-tank.sql": "a59208f81c41aa5f3691ce553badde879a9a69fad3e715ef1c6faa6b82d72e0e",
    "shims.json": "854787cf782ea70c839a1f88686a45df45d2eb866a0bf8f632d2c97b57f8fe8b",
    "shims.sql": "2565770a228f46b84627054da2a694e4f17cca21d4fb0929be53975567d24ad7",
    "free-lengths.json": "c4bb9ffbb366678e699d18013506f4bcf2cf6bb702f176641cedd63187fbbc1d",
    "free-lengths.sql": "d8d81d26d57b64b8efc547005cff0fb11b800b1290c8f7ea28172df179c77285",
    "read-bolts.json": "d85152b30a560a7a85041c0546562984f54c02708fbf7b7d4259bb7b1304ba4e",
    "read-bolts.sql": "9bd7b4474e92c7eab74c6dd459c718574bdba4f1ea326ee45c2daaace2a00ce3",
    "read-joint.json": "6954a16b09dff44acc51172f4614cf1fe344765d41ef6dee8e6677269cbfae05",
    "read-joint.sql": "bd1d6235242bdb0afe23fb5f34ff3b1a1b05e2cda8ed6b59eb7f563ec1a7acb3",
    "retighten.json": "9efc12b88361920740d4e60a6cd4c74e3f7ffff9dcdb48332c7b8243856cd697",
    "retighten.sql": "dbbe170cacc9369bccd2d53d79ef56dc628764005f9f3789db45d88a8242657a",
    "packs.json": "50fa0c69eef9b17a950213a87b3cc92ce5d7e241b6759f59e63f6799fa5d2d17",
    "packs.sql": "837ee2519975696a5691824b9144f3bbd93bad98b68c366575ff6c2abb4a9e04",
    "shims-in-hand.json": "92555046a9f8d60337b14f91269b685a81ff8aaf857673a88c7bf165ff5ec16b",
    "shims-in-hand.sql": "cf5a8affc8f2717b7d8e8f83ca0499819eaaa430d8fe3f4bce7b9f266b5b2e1a",
    "said-again.json": "ffd2cf6cb813d61e3661b8e87d952fda40422deb89ed6fd9b6fa5088fc102639",
    "said-again.sql": "717ec2ab9c73662f52890b5bdf7b069969bb95314649aa54598979678152bd84",
    "asked-back.json": "5096ca79a5d6e1034ef5b9f1b3ab42ae3393187e466be15e0f13dc110a77b41c",
    "asked-back.sql": "63f50d089b4cb728bb762677b26a303e6e5ba3b0e24482e5e007af81a91d36e7",
    "like-numbers.json": "d0399613fbe0043b24aa5adf9bd662c716e65ad26461bcaa48b5fc698bb1942d",
    "like-numbers.sql": "4ed8e42f066f452d1fb8e19789723aef67235094cdfa92d90c40e978ccc38ffa",
    "scanned-card.json": "5c3f9d822a1b28738d3d80b903715834d08d8b56008e51c77242ba0adc8898d8",
    "scanned-card.sql": "a186ba7cf4a7cd4788db577bd9245cc933482c81c8a58dd4e7c196137da757be",
    "scanned.json": "4b8b37dc35bc1ed16de8fe561399fce12ea11dc77cd063d98d9a72a2ff9ffeed",
    "scanned.sql": "d9c0da4e1f4746318de1c83c85c64e6f8d001be1f39c7b579d119da2381351fb",
    "unsure-reading.json": "49a87acf3b74eece74d336fa4e6968ced3cfffa7a36454f9586015f62c082d01",
    "unsure-reading.sql": "a59430138e44fd36806c4c719ba70e2c86a7af3045b2af5a49f99d9facdbe4b0",
    "photographed.json": "28ac4d63eded6f582e5af4ff34cff4088ee4421306a1b39b1c40b7054ee3a685",
    "photographed.sql": "32845df84aca5f8dc4f5298fe29fbefba7ed41bb13468b258e9f87ea1df2f031",
    "phone-headset.json": "681bcee68ca5650a8d87f435ea982012fdd46980077ce09663eab95cff8e233d",
    "phone-headset.sql": "22297582decdffe4c2330f8bb9dedf93b794618afb826a44fb1d044c80fb7c10",
    "withdrawn.json": "d06f9832bcc592c48309fe60bf0bc5136a0e98ea6d4548d696658ab89d02fc06",
    "withdrawn.sql": "9b2f7878e059b3413c3b98d59fb62e7cf3c6b616ad349cda7da5ede2476054f2",
    "finding-said-again.json": "da705e1efadf123d26a286709731890a0b78556565c868c3d22a9ddad3060a1e",
    "finding-said-again.sql": "edc143dc6bd8331b95b1ce0810fe20a479e855b0f1d65bd5d7af389b1ad1ba41",
}
"""SHA-256 of each golden journal, and of what must come of it. Lines are added with a new one; none is ever changed."""

OPEN = "hub-drive"
"""The job that is open, in the middle of a stage."""


@pytest.fixture(scope="module", params=NAMES)
def name(request: pytest.FixtureRequest) -> str:
    return str(request.param)


@pytest.fixture(scope="module")
def home(name: str, tmp_path_factory: pytest.TempPathFactory) -> Path:
    return load(name, tmp_path_factory.mktemp(name) / "home")


@pytest.fixture
def own(tmp_path: Path) -> Path:
    """A data folder with the open job, to be written in."""
    return load(OPEN, tmp_path / "home")


def entries_in(home: Path) -> list[Entry]:
    with open_journal(home, read_only=True) as journal:
        return journal.read("last").entries


@pytest.fixture(scope="module")
def every(tmp_path_factory: pytest.TempPathFactory) -> dict[str, list[Entry]]:
    """The entries of all golden journals."""
    return {name: entries_in(load(name, tmp_path_factory.mktemp(name))) for name in NAMES}


def kept_facts(every: dict[str, list[Entry]]) -> Iterator[facts.Fact]:
    for entries in every.values():
        yield from (entry.fact for entry in entries)


# They are what they were


def test_each_golden_journal_is_the_one_that_was_stored() -> None:
    files = [FOLDER / f"{name}{ending}" for name in NAMES for ending in (".json", ".sql")]
    found = {file.name: hashlib.sha256(file.read_bytes()).hexdigest() for file in files}
    assert found == UNCHANGED, "a golden journal is kept as it is: make a new one, and add its lines"


def test_the_file_holds_the_database_exactly(name: str, home: Path) -> None:
    assert dumped(home) == (FOLDER / f"{name}.sql").read_text("utf-8")


def test_the_store_opens_it_to_write_and_finds_nothing_amiss(name: str, tmp_path: Path) -> None:
    """Opening to write looks at all pages, trees and references."""
    with open_journal(load(name, tmp_path)) as journal:
        assert [job.id for job in journal.scan()] == [journal.resolve("last")]
        assert journal.verify("last").good
        assert journal.lease("last") is None


def test_another_reading_of_the_page_finds_the_same_chain(home: Path) -> None:
    """With sqlite3, json and hashlib alone; where people were forgotten, what is sealed stays sealed there."""
    entries = entries_in(home)
    with open_journal(home, read_only=True) as journal:
        read = check(home, journal.resolve("last"))
    assert [(seq, kind) for seq, kind, _ in read] == [(entry.seq, entry.kind) for entry in entries]


def test_a_changed_letter_of_it_is_found(tmp_path: Path) -> None:
    home = load("side-cover", tmp_path)
    with closing(sqlite3.connect(journal_path(home))) as db:
        db.execute("DROP TRIGGER entry_no_update")
        db.execute("UPDATE entry SET data = replace(data, '\"24.1\"', '\"24.2\"') WHERE kind = 'tightened'")
        db.commit()
    with open_journal(home, read_only=True) as journal:
        verdict = journal.verify("last")
    assert not verdict.good
    assert "does not fit the chain" in verdict.sentence


# They hold everything


def test_they_hold_every_kind_of_fact(every: dict[str, list[Entry]]) -> None:
    """Who adds a class of facts adds a golden journal in which it happens."""
    assert set(fact_classes()) == {entry.kind for entries in every.values() for entry in entries}


def test_they_hold_every_question_and_everything_that_is_accepted_or_left_out(every: dict[str, list[Entry]]) -> None:
    kept = list(kept_facts(every))
    assert {type(fact.question) for fact in kept if isinstance(fact, Asked)} == set(questions().values())
    assert {fact.what for fact in kept if isinstance(fact, Deviated)} == set(DeviationWhat)
    assert {fact.what for fact in kept if isinstance(fact, Skipped)} == set(SkippedWhat)


def test_they_hold_every_value_that_facts_are_made_of(every: dict[str, list[Entry]]) -> None:
    seen: set[type] = set()

    def look(value: Any) -> None:
        seen.add(type(value))
        if isinstance(value, msgspec.Struct):
            for field in value.__struct_fields__:
                look(getattr(value, field))
        elif isinstance(value, tuple):
            for inner in value:
                look(inner)

    for fact in kept_facts(every):
        look(fact)
    assert {Bounds, Quantity, Start, ToolFile, BoltAt, ToolLead, ToolTrouble, ToolsOfRun, Undone} - seen == set()


# They can be gone on with


def test_it_leads_to_the_place_and_the_work_that_were_stored(name: str, home: Path) -> None:
    kept = json.loads((FOLDER / f"{name}.json").read_text("utf-8"))
    found = json.loads(written(summary(home)))
    found["state"] = {key: found["state"][key] for key in kept["state"]}  # what is remembered later is in later ones
    assert found == kept, "a stored job means what it meant: mend evolve, or add an upcaster"


def test_the_session_that_folds_it_says_where_it_is_after_any_answer(name: str, home: Path) -> None:
    """A program may end behind any answer; the next one must take the job up from there."""
    entries = entries_in(home)
    procedure = rebuild_session(entries, Thresholds()).procedure
    state = State()
    for entry, following in zip(entries, [*entries[1:], None], strict=True):
        state = evolve(state, entry.fact)
        ends = following is None or following.fact.IS_INPUT
        if ends and not state.closed:
            now = entry.at_ms / 1000
            reply = Session(procedure, language=ENGLISH, state=state).resume(Resumed(), now)
            assert any(isinstance(effect, Say) for effect in reply.effects), entry


@pytest.mark.parametrize(
    "name",
    sorted({*NAMES} - {OPEN, "helping-hands", "helpers-taken-back", "found-pack", "scanned-card", "withdrawn"}),
    indirect=True,
)
def test_a_closed_job_stays_closed(name: str, tmp_path: Path) -> None:
    with open_journal(load(name, tmp_path)) as journal, pytest.raises(Refusal, match="is closed"):
        resume_job(journal, "last", Thresholds(), 1_800_000_000.0)


def test_the_open_job_says_where_it_is_and_goes_on(own: Path) -> None:
    """Stage two of step 49; bolts 8, 3, 7 and 2 of the cover are next, and bolt 6 is the last of the stage."""
    with open_journal(own) as journal:
        last = journal.read("last").entries[-1]
        now = last.at_ms / 1000 + 3600
        opened = resume_job(journal, "last", Thresholds(), now)
        view = opened.session.view(now)
        assert (view["step"]["number"], view["tighten"]["stage"], view["tighten"]["current"]) == (49, 2, [8, 3, 7, 2])
        assert any(isinstance(effect, Say) for effect in opened.first)
        reply = opened.session.hear(Heard("next", 1.0, now + 1, now + 2, Clarity.PHRASE), now + 2)
        opened.job.append(reply.facts, round((now + 2) * 1000))
        _, tightened, reached = reply.facts
        assert isinstance(tightened, BoltsTightened)
        assert (tightened.step, tightened.stage, tightened.bolts) == ("cover-tight", 2, (8, 3, 7, 2))
        assert tightened.target is not None
        assert (tightened.target.value, tightened.target.unit) == (Decimal(30), "N·m")
        assert isinstance(reached, Reached)
        assert reached.bolt is not None
        assert reached.bolt.bolt == 6
        assert journal.verify("last").good
        assert journal.follow("last", last.seq)[-3:] == opened.job.entries()[-3:]
        assert [entry.kind for entry in journal.follow("last", last.seq)][-3:] == ["heard", "tightened", "reached"]


# They can be read and recorded


def test_its_record_tells_what_was_done(every: dict[str, list[Entry]]) -> None:
    """Written by hand from what was said in the jobs, as tests/journal/golden/making.py has it."""
    pump, side, cap, drive = (
        json.loads(record(name, every[name])) for name in ("pump-cover", "side-cover", "cap", "hub-drive")
    )
    assert [card["card"]["state"] for card in (pump, side, cap, drive)] == ["closed", "closed", "closed", "open"]

    assert (pump["card"]["asset"], pump["card"]["customer"]) == ("Engine 4", "Order 1187")
    assert pump["card"]["operators"] == ["A. Reed", "B. Stone"]
    assert [(one["step"], one["reason"], one["accepted_by"]) for one in pump["deviations"]] == [
        ("conditions:1", "the stand was looked at yesterday", "A. Reed"),
        ("", "the scraper comes at noon", "A. Reed"),
        ("short-out", "one broke off", "A. Reed"),
        ("dry", "they are dry already", "A. Reed"),
        ("shaft-play", "the foreman agreed", "A. Reed"),
        ("new-gasket", "the old one goes in again", "B. Stone"),
        ("short-in", "their heads are round", "B. Stone"),
        ("tap-shut", "it drips on purpose", "B. Stone"),
    ]
    assert [(one["kind"], one["text"], one["complete"]) for one in pump["notes"]] == [
        ("problem", "a stud is broken off in the block", True),
        ("note", "the gasket was glued", False),
    ]
    assert pump["open"][-1]["reason"] == "the engine is scrap"

    readings = [(one["bolts"], one["reading"]) for one in side["tightenings"] if one["reading"]]
    assert readings == [
        ([1], "24.1 N·m"), ([7], "27 N·m"), ([7], "21 N·m"), ([7], "21 N·m"), ([4], "30 N·m"), ([13], "90°"),
    ]  # fmt: skip
    assert side["open"] == []
    assert side["deviations"][0]["reason"] == "the wrench slipped"

    assert cap["card"]["operators"] == ["[removed]"]
    assert "D. Moss" not in json.dumps(cap)
    supply, meter = (one["what"] for one in cap["corrections"][1:3])
    assert "B 77" in supply
    assert "2027-01-31" in supply
    assert "1203.5 h" in meter

    assert [one["reason"] for one in drive["deviations"]] == [
        "the hoist is in use", "the bead is soft all the same", "the wrench is with the other shift",
    ]  # fmt: skip
    done = [
        (one["stage"], one["bolts"]) for one in drive["tightenings"] if one["step"] == "cover-tight" and one["at_ms"]
    ]
    assert (2, [1, 5, 9, 4]) in done
    assert (2, [8, 3, 7, 2]) not in done


def test_its_record_is_the_one_that_was_looked_at(name: str, home: Path) -> None:
    entries = entries_in(home)
    with open_journal(home, read_only=True) as journal:
        text = record(journal.resolve("last"), entries)
    assert digest(text) == json.loads(RECORDS.read_text("utf-8"))[name], (
        f"The record of a golden journal is another one. Print it by python -m tests.journal.golden --record {name}, "
        "here and in a checkout of the version before, and compare the two. If that is meant, note the new ones with "
        "python -m tests.journal.golden --records; the journal itself stays as it is."
    )


def test_what_people_said_is_there_but_in_the_job_that_was_forgotten(every: dict[str, list[Entry]]) -> None:
    said = {
        name: {entry.data.get(field) for entry in entries for field in facts.personal_fields(entry.kind)} - {"", None}
        for name, entries in every.items()
    }
    assert said["cap"] == {"[removed]"}
    assert {"A. Reed, B. Stone", "Engine 4", "the gasket was glued", "one broke off"} <= said["pump-cover"]


def test_each_entry_is_caused_by_the_input_of_its_answer(every: dict[str, list[Entry]]) -> None:
    for entries in every.values():
        cause = 0
        for entry in entries:
            cause = entry.seq if entry.fact.IS_INPUT else cause
            wanted = 0 if entry.fact.IS_INPUT or entry.fact.STANDS_ALONE else cause
            assert entry.cause == wanted, entry
    assert any(isinstance(fact, Utterance) for fact in kept_facts(every))
