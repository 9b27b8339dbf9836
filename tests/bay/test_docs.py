"""What the program can do and what the docs say about it are the same."""

import dataclasses
import re
from pathlib import Path

import typer

from assistant.__main__ import app
from assistant.bay.exits import MEANINGS, Exit
from assistant.bay.keys import HELD, KEYS
from assistant.settings import Settings

ROOT = Path(__file__).parents[2]
DOCS = {path: path.read_text("utf-8") for path in [*ROOT.glob("*.md"), *(ROOT / "docs").glob("*.md")]}
USING = DOCS[ROOT / "docs" / "using.md"]


def commands():
    return typer.main.get_command(app).commands


def test_every_command_and_option_is_in_the_docs_and_has_help():
    everything = "\n".join(DOCS.values())
    for name, command in commands().items():
        assert f"assistant {name}" in everything, name
        assert command.help.strip(), name
        for option in command.params:
            flag = max(option.opts, key=len)
            assert option.help, (name, flag)
            if flag.startswith("--") and flag.lstrip("-") not in ("help", "lever", "extension", "angle"):
                key = flag.lstrip("-").replace("-", "_")
                assert flag in everything or f"`{key}`" in everything, (name, flag)


def test_every_exit_code_is_in_the_docs_with_its_meaning():
    assert set(MEANINGS) == set(Exit)
    for code, meaning in MEANINGS.items():
        assert f"| {code.value} | {meaning} |" in USING


def test_every_setting_is_in_the_docs_with_its_default():
    for field in dataclasses.fields(Settings):
        row = re.search(rf"^\| `{field.name}` \| (.*)$", USING, re.MULTILINE)
        assert row, field.name
        if isinstance(field.default, int) and not isinstance(field.default, bool):
            assert f"| {field.default} |" in row[1]


def test_every_key_is_in_the_docs():
    table = USING.split("## Keys and pedal")[1].split("## ")[0]
    for name, (_, phrase) in KEYS.items():
        assert name in table
        assert phrase in table
    assert f"{HELD} seconds" in " ".join(table.split())


def test_links_between_the_docs_lead_somewhere():
    for path, text in DOCS.items():
        for link in re.findall(r"\]\(([^)#]+)[^)]*\)", text):
            assert "://" in link or (path.parent / link).exists(), (path.name, link)


def test_commands_of_make_that_the_docs_name_exist():
    targets = set(re.findall(r"^([a-z]+):", (ROOT / "Makefile").read_text("utf-8"), re.MULTILINE))
    for path, text in DOCS.items():
        named = set(re.findall(r"`?make ([a-z]+)`", text)) | set(re.findall(r"^make ([a-z]+) ", text, re.MULTILINE))
        assert named <= targets, (path.name, named - targets)
