"""Every kind of file that a person gives: good ones to begin with, and how the program reads one.

``read`` returns the sentences that the program says about the file; it raises nothing.
"""

from __future__ import annotations

import contextlib
import io
import json
import re
import zipfile
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import openpyxl
import soundfile
from PIL import Image

from assistant.advice.shims import work_out_shims
from assistant.advice.thickness import parse_thicknesses
from assistant.authoring.cover_table import read_cover
from assistant.authoring.grids.file import read_grids
from assistant.authoring.importing import run_import
from assistant.authoring.options import ImportOptions
from assistant.cli.working_out.shims import read_clearances
from assistant.fastening.cover_places import cover_of
from assistant.fastening.quantities import LengthUnit
from assistant.faults import Fault
from assistant.hearing.manifest import read_manifest
from assistant.pictures.drawing import clean_photo
from assistant.procedure.format.box_file import read_box
from assistant.procedure.format.price_file import read_price_file
from assistant.procedure.format.reader import read_procedure
from assistant.procedure.format.tool_file import read_tool_file
from assistant.procedure.format.wordings_file import read_wordings_file
from assistant.procedure.pictures import read_picture
from assistant.rehearsal.talk import BadTalk, read_talk
from assistant.report.pdf_text import page_texts
from assistant.report.record.forms import read_mark
from assistant.scan.order_list import read_orders
from assistant.service.backup import check_whole, write_backup
from assistant.settings import Settings, SettingsFault, load_settings
from assistant.terminal.exits import Exit, Refusal
from assistant.voice.adapters.wav import read_recording
from assistant.voice.listening.limits import read_limits
from assistant.voice.listening.model_files import read_near_words
from assistant.voice.ports import VoiceFault

_CLEARANCES = "valve,clearance,shim,band\n1 intake,0.30,2.60,\n1 exhaust,0.31,2.50,0.28 to 0.34 mm\n2 intake,0.1,2.65\n"

ROOT = Path(__file__).parents[2]


@dataclass(frozen=True)
class Kind:
    """``name`` is what the file is called on disk; ``good`` makes files that the program takes."""

    name: str
    good: Callable[[Path], list[bytes]]
    read: Callable[[Path], list[str]]


def _clearances(path: Path) -> list[str]:
    sizes = parse_thicknesses("2.00 to 3.20 by 0.05 mm")
    assert not isinstance(sizes, Fault)
    valves = read_clearances(path, "0.18 to 0.24 mm", LengthUnit.MILLIMETRE, sizes)
    plan = valves if isinstance(valves, Fault) else work_out_shims(valves, (), sizes.sizes)
    return [plan.sentence] if isinstance(plan, Fault) else []


def _procedure(path: Path) -> list[str]:
    reading = read_procedure(path)
    assert (reading.procedure is None) == bool(reading.errors)
    return [str(finding) for finding in reading.findings]


def _tools(path: Path) -> list[str]:
    reading = read_tool_file(path)
    assert (reading.box is None) == bool(reading.findings)
    return [str(finding) for finding in reading.findings]


def _prices(path: Path) -> list[str]:
    reading = read_price_file(path)
    assert (reading.prices is None) == bool(reading.findings)
    return [str(finding) for finding in reading.findings]


def _wordings(path: Path) -> list[str]:
    reading = read_wordings_file(path)
    assert (reading.wordings is None) == bool(reading.findings)
    return [str(finding) for finding in reading.findings]


def _box(path: Path) -> list[str]:
    found = read_box(path.read_bytes(), path.name)
    return [found.sentence] if isinstance(found, Fault) else []


def _orders(path: Path) -> list[str]:
    found = read_orders(path.read_bytes(), path.name)
    return [found.sentence] if isinstance(found, Fault) else []


def _order_lists(_: Path) -> list[bytes]:
    return [b'order;machine;customer;procedure\nWO-4711;Pump stand 4;"Row; of Alders";pump.yaml\nWO-4712;;;\n']


def _picture(path: Path) -> list[str]:
    found = read_picture(path.parent, path.name)
    return [found.sentence] if isinstance(found, Fault) else []


def _photos(_: Path) -> list[bytes]:
    """A small photo of each kind, one of them with what a camera writes beside it."""
    image, found = Image.linear_gradient("L").resize((24, 16)), []
    exif = Image.Exif()
    exif[0x0112], exif[0x010F] = 6, "Camera"
    for form, more in (("JPEG", {"exif": exif}), ("PNG", {})):
        out = io.BytesIO()
        image.save(out, form, **more)
        found.append(out.getvalue())
    return found


def _photo(path: Path) -> list[str]:
    found = clean_photo(path.read_bytes(), path.name)
    return [found.sentence] if isinstance(found, Fault) else []


def _talk(path: Path) -> list[str]:
    try:
        read_talk(path.read_bytes(), path.name)
    except BadTalk as bad:
        return [bad.sentence]
    return []


def _settings(path: Path) -> list[str]:
    try:
        load_settings(path)
    except SettingsFault as fault:
        return [fault.sentence]
    return []


def _manifest(path: Path) -> list[str]:
    try:
        read_manifest(path)
    except Refusal as refusal:
        assert refusal.code is Exit.PROCEDURE
        return [refusal.sentence]
    return []


def _table(path: Path) -> list[str]:
    told = io.StringIO()
    with contextlib.redirect_stdout(io.StringIO()), contextlib.redirect_stderr(told):
        code = run_import(path, None, ImportOptions())
    lines = told.getvalue().split("\n")[:-1]
    assert code in (Exit.OK, Exit.PROCEDURE, Exit.WARNINGS)
    assert lines
    return lines


def _workbook(path: Path) -> list[str]:
    try:
        read_grids(path)
    except Refusal as refusal:
        assert refusal.code is Exit.PROCEDURE
        return [refusal.sentence]
    return []


_PLACES = "bolt,x,y\n1,0,6 in\n2,-38.5 mm,4 in\n3,120 mm,0\n"


def _cover(path: Path) -> list[str]:
    try:
        cover_of(read_cover(path))
    except Refusal as refusal:
        assert refusal.code is Exit.PROCEDURE
        return [refusal.sentence]
    return []


def _model(read: Callable[[Path], object]) -> Callable[[Path], list[str]]:
    def reading(path: Path) -> list[str]:
        try:
            read(path.parent.parent)
        except VoiceFault as fault:
            return [fault.sentence]
        return []

    return reading


def _recording(path: Path) -> list[str]:
    try:
        read_recording(path)
    except VoiceFault as fault:
        return [fault.sentence]
    return []


def _record(path: Path) -> list[str]:
    data = path.read_bytes()
    mark = read_mark(data)
    assert mark is None or (mark.entries > 0 and abs(mark.clock) < 24 * 60)
    if data.startswith(b"%PDF"):
        page_texts(data)
    return []


def _repacked(name: str) -> Callable[[Path], list[str]]:
    """Return how the part ``name`` of a workbook is read, packed again into an archive that is whole."""

    def reading(path: Path) -> list[str]:
        made = io.BytesIO()
        with zipfile.ZipFile(io.BytesIO(_book())) as old, zipfile.ZipFile(made, "w", zipfile.ZIP_STORED) as new:
            for part in old.namelist():
                new.writestr(part, path.read_bytes() if part == name else old.read(part))
        whole = path.with_suffix(".xlsx")
        whole.write_bytes(made.getvalue())
        return _table(whole)

    return reading


_CSV = "Group;Size;Bolts;Stage 1 (Nm);Stage 2 (Nm);Angle (°)\nLong;M10x60;1-6;4,0;12,5;90\nShort;M8x40;7-10;4;9;\n"
_MADE: dict[str, bytes] = {}


def _book() -> bytes:
    if "book" not in _MADE:
        book = openpyxl.Workbook()
        for row in _CSV.strip().split("\n"):
            book.active.append([float(cell) if cell.isdecimal() else cell for cell in row.split(";")])
        saved, made = io.BytesIO(), io.BytesIO()
        book.save(saved)
        with zipfile.ZipFile(saved) as old, zipfile.ZipFile(made, "w") as new:  # the same bytes on every day
            for part in old.namelist():
                text = re.sub(rb"20\d\d-\d\d-\d\dT[\d:]+Z", b"2026-01-05T08:00:00Z", old.read(part))
                new.writestr(zipfile.ZipInfo(part), text, zipfile.ZIP_DEFLATED)
        _MADE["book"] = made.getvalue()
    return _MADE["book"]


def _sounds(_: Path) -> list[bytes]:
    made = []
    sound = np.sin(np.arange(1600) / 5) * 0.2
    for form, kind in (("WAV", "PCM_16"), ("WAV", "FLOAT"), ("FLAC", "PCM_16"), ("OGG", "VORBIS")):
        out = io.BytesIO()
        soundfile.write(out, sound, 16_000, kind, format=form)
        made.append(out.getvalue())
    return made


def _lists(folder: Path) -> list[bytes]:
    for name in ("a.wav", "b.wav"):
        (folder / name).touch()
    named = "path\tlabel\tspeaker\tseconds\na.wav\tgo back\tone\t1.5\nb.wav\treading 35.5\ttwo\t2.0\n"
    return [named.encode(), named.split("\n", 1)[1].encode(), b"\xef\xbb\xbf" + named.encode()]


def _file(*names: str) -> Callable[[Path], list[bytes]]:
    return lambda _: [(ROOT / name).read_bytes() for name in names]


def _backups(folder: Path) -> list[bytes]:
    (folder / "bay").mkdir(exist_ok=True)
    (folder / "bay/prices.csv").write_text("part,price\nx,1\n")
    (folder / "good.zip").unlink(missing_ok=True)
    return [write_backup(folder / "bay", Settings(), folder / "good.zip", 0)[0].read_bytes()]


def _backup(path: Path) -> list[str]:
    try:
        return [check_whole(path).bay]
    except Refusal as fault:
        return [fault.sentence]


def _gold(_: Path) -> list[bytes]:
    mark = "step-assistant-record 1 job=bay1-2026-01-05-1 entries=12 head={} procedure={} clock=+0100 paper=a4"
    line = mark.format("ab" * 32, "cd" * 32)
    page = (
        "%PDF-1.4\n1 0 obj<</Type/Catalog/Pages 2 0 R>>endobj\n2 0 obj<</Type/Pages/Kids[3 0 R]/Count 1>>endobj\n"
        "3 0 obj<</Type/Page/Parent 2 0 R/MediaBox[0 0 99 99]/Contents 4 0 R/Resources<</Font<</F 5 0 R>>>>>>endobj\n"
        "4 0 obj<</Length 36>>stream\nBT /F 9 Tf 9 9 Td (Entry 1 to 12) Tj ET\nendstream endobj\n"
        "5 0 obj<</Type/Font/Subtype/Type1/BaseFont/Helvetica>>endobj\n"
        f"6 0 obj<</Subject({line})>>endobj\ntrailer<</Root 1 0 R/Info 6 0 R>>\n%%EOF\n"
    )
    return [f'{{"mark": "{line}"}}'.encode(), f"<!DOCTYPE html>\n<!-- {line} -->".encode(), page.encode()]


_LIMITS = json.dumps({"harmless": 0.6, "moving": 0.75, "critical": 0.9}).encode()
KINDS = {
    "procedure": Kind("one.yaml", _file("tests/procedure/good/bench-check.yaml"), _procedure),
    "tools": Kind("tools.yaml", _file("procedures/tools/practice-bay.yaml"), _tools),
    "prices": Kind(
        "prices.csv",
        lambda _: [(data := (ROOT / "procedures/prices-alder-row.csv").read_bytes()), data.replace(b",", b";")],
        _prices,
    ),
    "wordings": Kind("wordings.txt", _file("procedures/wordings-alder-row.txt"), _wordings),
    "list of orders": Kind("orders.csv", _order_lists, _orders),
    "box of shims": Kind("box.csv", _file("tests/typed/procedures/box-of-shims.csv"), _box),
    "clearances": Kind(
        "readings.csv", lambda _: [(data := _CLEARANCES.encode()), data.replace(b",", b";")], _clearances
    ),
    "settings": Kind(
        "settings.toml",
        lambda _: [b'rate = 140\nheadset = true\nmicrophone = "usb"\nvolume = -9\noperator = "A"\ntail_ms = 250\n'],
        _settings,
    ),
    "picture": Kind("level-pin.png", _file("tests/typed/procedures/level-pin.png"), _picture),
    "photo for a customer": Kind("photo.jpg", _photos, _photo),
    "typed talk": Kind("talk.txt", _file("tests/typed/talks/a-whole-job.txt"), _talk),
    "manifest": Kind("list.tsv", _lists, _manifest),
    "table": Kind("table.csv", lambda _: [_CSV.encode(), _CSV.replace(",", ".").replace(";", ",").encode()], _table),
    "places": Kind("cover.csv", lambda _: [_PLACES.encode(), b"no;x;y\n1;0,5;6\n2;-3;1\n"], _cover),
    "workbook": Kind("table.xlsx", lambda _: [_book()], _workbook),
    "sheet of a workbook": Kind(
        "sheet1.xml",
        lambda _: [zipfile.ZipFile(io.BytesIO(_book())).read("xl/worksheets/sheet1.xml")],
        _repacked("xl/worksheets/sheet1.xml"),
    ),
    "limits of a model": Kind("model/conf/limits.json", lambda _: [_LIMITS], _model(read_limits)),
    "words of a model": Kind("model/conf/near-words.txt", lambda _: [b"knew\nnest\nnecks\n"], _model(read_near_words)),
    "recording": Kind("talk.wav", _sounds, _recording),
    "record": Kind("record.pdf", _gold, _record),
    "backup": Kind("backup.zip", _backups, _backup),
}  # fmt: skip
