"""What one bay prefers: where its data lies, its devices, its voice. Read from a TOML file; options may override it."""

from __future__ import annotations

import difflib
import os
import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, fields, replace
from pathlib import Path
from typing import Any

import platformdirs

from assistant.files import FileFault, private_folder, read_file, replace_private
from assistant.journal.names import BAY, bay_fault

RATES = (80, 400)
"""Words per minute that can be asked for, least and most."""
_MOST_BYTES = 64_000
_MOST_TEXT = 1000
_MOST_NUMBER = 10**6
_SHOWN = 40
_ADDRESS = re.compile(r"https://[a-z0-9]([a-z0-9.-]{0,250}[a-z0-9])?(:[1-9][0-9]{0,4})?", re.ASCII)


class SettingsFault(Exception):
    """The settings cannot be used; ``sentence`` says what is wrong, where, and what to do next."""

    def __init__(self, sentence: str) -> None:
        super().__init__(sentence)
        self.sentence = sentence


@dataclass(frozen=True, slots=True)
class Settings:
    """The preferences of one bay.

    ``microphone`` and ``loudspeaker`` are device numbers or parts of device names (empty: the system's default);
    ``model`` is the path of a Vosk model directory (empty: the built-in recogniser); ``synthesiser`` is ``pyttsx3`` or
    ``natural``; ``voice`` is a voice of the synthesiser (empty: its default); ``rate`` is in words per minute;
    ``volume`` is in decibels relative to full scale, 0 or less; ``tail_ms`` is how long, in milliseconds, the
    microphone stays closed after the assistant has spoken; ``over_echo`` is whether it listens through its own voice,
    which takes ``echo_delay_ms`` to the microphone, between the devices that ``echo_devices`` names (``mic-check``
    writes all three); ``pedal_key`` is the key that the foot pedal sends; ``tools`` is the path of the bay's tool file,
    from the data folder when it is relative (empty: ``tools.yaml`` there, if there is one); ``box`` is the path of the
    list of its box of shims, from the data folder as well; ``prices`` is the path of the workshop's price list,
    likewise (empty: ``prices.csv`` there); ``orders`` is that of its list of orders, likewise (empty: ``orders.csv``);
    ``wordings`` is that of its own texts for papers, likewise (empty: ``wordings.txt``, else the library's newest);
    ``customer_address`` is the address from outside of a TLS proxy that leads to the pages for customers (empty: none);
    ``https`` is whether the page in the shop's network is served over TLS: ``beside`` plain HTTP, or ``only`` so
    (empty: not at all); ``bay`` is what the bay is called in the names of its jobs;
    ``operators`` are the names of those who may work, with commas between them, each with the words by which it is
    heard where it is spelled otherwise (``Kim, Aoife = ee fa``); ``wake`` is the phrase that wakes a bay which waits
    (empty: it is listened to all idle phrases); ``procedures`` is the folder of the procedures that can be started
    there, from the data folder when it is relative (empty: ``procedures`` there, or the program's own); ``printer`` is
    the name by which ``lp`` prints the label of a job that was closed (empty: none is printed), ``label_size`` that of
    the label [mm]; ``camera`` is the device of the bay's camera, such as ``/dev/video0``, a file with pictures, or
    ``test`` for one that is drawn (empty: none); ``central`` is where the workshop's central store is, as
    ``host=HOST port=5432 dbname=shop user=LOGIN`` (empty: the bay stands alone).
    """

    microphone: str = ""
    loudspeaker: str = ""
    headset: bool = False
    model: str = ""
    synthesiser: str = "pyttsx3"
    voice: str = ""
    rate: int = 165
    volume: int = -9
    tail_ms: int = 250
    over_echo: bool = False
    echo_delay_ms: int = 0
    echo_devices: str = ""
    pedal_key: str = "page down"
    keep_audio: bool = False
    operator: str = ""
    tools: str = ""
    box: str = ""
    prices: str = ""
    orders: str = ""
    wordings: str = ""
    customer_address: str = ""
    camera: str = ""
    central: str = ""
    https: str = ""
    bay: str = BAY
    operators: str = ""
    wake: str = ""
    procedures: str = ""
    printer: str = ""
    label_size: str = "63.5x38.1"


def home() -> Path:
    """Return the folder of all that is kept: ``ASSISTANT_HOME`` if that is set, else the user's data folder."""
    given = os.environ.get("ASSISTANT_HOME", "")
    return Path(given) if given else Path(platformdirs.user_data_dir("step-assistant"))


def settings_path() -> Path:
    """Return where the settings file lies, whether it exists or not."""
    return home() / "settings.toml"


def load_settings(path: Path) -> Settings:
    """Read the settings at ``path``; a missing file gives the defaults.

    Raises:
        SettingsFault: the file cannot be read, is not TOML, or holds a key or value that is not known.
    """
    data = read_file(path, _MOST_BYTES, "the settings, a TOML file")
    if isinstance(data, FileFault):
        if data.missing:
            return Settings()
        raise SettingsFault(f"{data.sentence}.")
    return _checked(_parsed(data, str(path)), str(path), Settings())


def read_tables(path: Path) -> dict[str, Any] | None:
    """Return what another TOML file at ``path`` says; None when there is none.

    Raises:
        SettingsFault: it cannot be read, or is not TOML.
    """
    data = read_file(path, _MOST_BYTES, "settings, a TOML file")
    if isinstance(data, FileFault):
        if data.missing:
            return None
        raise SettingsFault(f"{data.sentence}.")
    return _parsed(data, str(path))


def _parsed(data: bytes, where: str) -> dict[str, Any]:
    try:
        return tomllib.loads(data.decode("utf-8"))
    except RecursionError as fault:
        why = "its brackets are nested too deep"
        raise SettingsFault(f"The settings in {where} cannot be read ({why}); mend the file or remove it.") from fault
    except ValueError as fault:
        why = str(fault).splitlines()[0][:120]
        if isinstance(fault, UnicodeDecodeError):
            why = "it is not UTF-8"
        elif not isinstance(fault, tomllib.TOMLDecodeError):  # Python's own limit for int()
            why = "a number in it has too many digits"
        raise SettingsFault(f"The settings in {where} cannot be read ({why}); mend the file or remove it.") from fault


def store_settings(path: Path, changes: Mapping[str, Any]) -> None:
    """Write ``changes`` into the settings at ``path``; comments, order and all else in the file stay as they are.

    Raises:
        SettingsFault: the file cannot be read or written, or a value is not possible.
    """
    import tomlkit  # noqa: PLC0415 - a job only reads its settings, and Python itself can do that
    from tomlkit.exceptions import TOMLKitError  # noqa: PLC0415

    load_settings(path)
    _checked(changes, str(path), Settings())
    data = read_file(path, _MOST_BYTES, "the settings, a TOML file")
    try:
        kept = tomlkit.parse("" if isinstance(data, FileFault) else data.decode("utf-8"))
        kept.update(changes)
        private_folder(path.parent)
        replace_private(path, tomlkit.dumps(kept).encode("utf-8"))
    except TOMLKitError as fault:
        raise SettingsFault(f"The settings in {path} cannot be changed ({fault}); change the file by hand.") from fault
    except OSError as fault:
        raise SettingsFault(
            f"The settings cannot be written to {path} ({fault.strerror}), and stay as they were: "
            "free some space, or see to the rights of its folder."
        ) from fault


def override(settings: Settings, options: Mapping[str, Any]) -> Settings:
    """Return ``settings`` with every option that is not None put in its place.

    Raises:
        SettingsFault: an option holds a value that is not possible.
    """
    given = {name: value for name, value in options.items() if value is not None}
    return _checked(given, "the command line", settings)


def _checked(table: Mapping[str, Any], where: str, base: Settings) -> Settings:
    kinds = {field.name: type(getattr(base, field.name)) for field in fields(Settings)}
    for name, value in table.items():
        if name not in kinds:
            near = difflib.get_close_matches(name[:_SHOWN], kinds, n=1)
            hint = f'did you mean "{near[0]}"?' if near else "the known ones are " + ", ".join(kinds) + "."
            raise SettingsFault(f"{where}: {_short(name)} is not a setting; {hint}")
        if type(value) is not kinds[name]:
            wanted = {str: "a text in quotes", int: "a whole number", bool: "true or false"}[kinds[name]]
            raise SettingsFault(f'{where}: "{name}" must be {wanted}, not {_short(value)}.')
        if isinstance(value, str) and not value.isprintable():
            raise SettingsFault(f'{where}: "{name}" has a character that cannot be seen; take it out.')
        if isinstance(value, str) and len(value) > _MOST_TEXT:
            raise SettingsFault(f'{where}: "{name}" must be at most {_MOST_TEXT} letters.')
        if isinstance(value, int) and abs(value) > _MOST_NUMBER:
            raise SettingsFault(f'{where}: "{name}" is out of range; give a smaller number.')
    settings = replace(base, **table)
    least, most = RATES
    if not least <= settings.rate <= most:
        raise SettingsFault(f"{where}: rate {settings.rate} is out of range; give {least} to {most} words per minute.")
    if not -40 <= settings.volume <= 0:
        raise SettingsFault(f"{where}: volume {settings.volume} is out of range; give -40 to 0 decibels.")
    if not 0 <= settings.tail_ms <= 2000:
        raise SettingsFault(f"{where}: tail_ms {settings.tail_ms} is out of range; give 0 to 2000 milliseconds.")
    if not 0 <= settings.echo_delay_ms <= 2000:
        raise SettingsFault(
            f"{where}: echo_delay_ms {settings.echo_delay_ms} is out of range; "
            "run assistant mic-check, or give 0 to 2000 milliseconds."
        )
    if settings.synthesiser not in ("pyttsx3", "natural"):
        raise SettingsFault(
            f"{where}: synthesiser {_short(settings.synthesiser)} is not known; give pyttsx3 or natural."
        )
    if settings.customer_address and not _ADDRESS.fullmatch(settings.customer_address):
        raise SettingsFault(
            f"{where}: customer_address {_short(settings.customer_address)} is not the address of a proxy; "
            "give https:// and its name, without a path."
        )
    if settings.https not in ("", "beside", "only"):
        raise SettingsFault(f"{where}: https {_short(settings.https)} is not known; give beside, only, or nothing.")
    if fault := bay_fault(settings.bay):
        raise SettingsFault(f"{where}: bay {_short(settings.bay)} cannot be part of the name of a job; {fault}.")
    return settings


def _short(value: object) -> str:
    """Show a name or a value that may be anything on one short line."""
    if isinstance(value, list | dict):
        return "a list" if isinstance(value, list) else "a table"
    if isinstance(value, int) and abs(value) > _MOST_NUMBER:
        return "such a number"  # Python itself refuses to write out thousands of digits
    text = str(value)
    line = "".join(letter if letter.isprintable() else "?" for letter in text[:_SHOWN])
    return f'"{line}{"..." if len(text) > _SHOWN else ""}"'
