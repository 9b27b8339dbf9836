"""The settings of this bay at the command line: shown, set, and where they lie."""

from __future__ import annotations

from dataclasses import asdict

from assistant.bay.refusing import guarded
from assistant.idle.wake import check_wake
from assistant.settings import Settings, load_settings, override, settings_path, store_settings
from assistant.terminal.exits import Exit, Refusal
from assistant.terminal.tables import print_json, table

_YES, _NO = {"true", "yes", "on"}, {"false", "no", "off"}


def show_settings(*, as_json: bool) -> Exit:
    """Print every setting with its value and what it is without the file."""

    def work() -> Exit:
        settings, usual = asdict(load_settings(settings_path())), asdict(Settings())
        if as_json:
            print_json({"path": str(settings_path()), "settings": settings})
        else:
            rows = [(name, _shown(value), "" if value == usual[name] else _shown(usual[name]))
                    for name, value in settings.items()]  # fmt: skip
            print(table(("setting", "value", "usually"), rows))
        return Exit.OK

    return guarded(work)


def set_setting(name: str, text: str) -> Exit:
    """Write one setting into the file; ``text`` is its value as a person types it."""

    def work() -> Exit:
        value = _value(name, text)
        if name == "wake":
            check_wake(override(load_settings(settings_path()), {name: value}))
        store_settings(settings_path(), {name: value})
        print(f"{name} is {_shown(getattr(load_settings(settings_path()), name))} in {settings_path()}")
        return Exit.OK

    return guarded(work)


def print_settings_path() -> Exit:
    """Print where the settings lie, whether there is such a file or not."""
    print(settings_path())
    return Exit.OK


def _value(name: str, text: str) -> str | int | bool:
    """Return ``text`` as the kind of value that ``name`` takes; what is not known is refused where it is stored."""
    usual = asdict(Settings()).get(name, "")
    if isinstance(usual, bool):
        word = text.strip().lower()
        if word not in _YES | _NO:
            raise Refusal(f'"{name}" is yes or no: say for example: assistant settings set {name} yes', Exit.USAGE)
        return word in _YES
    if isinstance(usual, int):
        digits = text.strip().removeprefix("-")
        if not (digits.isascii() and digits.isdecimal() and len(digits) < 7):
            raise Refusal(f'"{name}" is a whole number: say for example: assistant settings set {name} 100', Exit.USAGE)
        return int(text)
    return text


def _shown(value: object) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    return str(value) if value != "" else "-"
