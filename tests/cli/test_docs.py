"""What the program can do and what the docs say about it are the same."""

import dataclasses
import re
import shlex
from pathlib import Path

import pytest
import typer

from assistant.__main__ import app
from assistant.language.en.phrases import phrases
from assistant.settings import Settings
from assistant.terminal.exits import MEANINGS, Exit
from assistant.terminal.keys import HELD, KEYS

ROOT = Path(__file__).parents[2]
DOCS = {path: path.read_text("utf-8") for path in [*ROOT.glob("*.md"), *(ROOT / "docs").glob("*.md")]}
USING = DOCS[ROOT / "docs" / "using.md"]


PROGRAM = typer.main.get_command(app)
"""Made once: it takes longer than all that is asked of it."""


def commands():
    return PROGRAM.commands


def everything_that_can_be_called(group, before=""):
    for name, command in group.items():
        if hasattr(command, "commands"):
            yield from everything_that_can_be_called(command.commands, f"{before}{name} ")
        else:
            yield before + name, command


def test_every_command_and_option_is_in_the_docs_and_has_help():
    everything = "\n".join(DOCS.values())
    for name, command in everything_that_can_be_called(commands()):
        assert f"assistant {name}" in everything, name
        assert command.help.strip(), name
        for option in command.params:
            flag = max(option.opts, key=len)
            assert option.help, (name, flag)
            if flag.startswith("--") and flag.lstrip("-") not in ("help", "lever", "extension", "angle"):
                key = flag.lstrip("-").replace("-", "_")
                assert flag in everything or f"`{key}`" in everything, (name, flag)


_BLOCK = re.compile(r"^```[a-z]*\n(.*?)^```", re.MULTILINE | re.DOTALL)
_SPAN = re.compile(r"`([^`]+)`")


def command_lines():
    """Every command line in the docs, as words without the program's name, and whether it stands in a block."""
    for path, text in [*DOCS.items(), (ROOT / "models/README.md", (ROOT / "models/README.md").read_text("utf-8"))]:
        lines = [(line, True) for block in _BLOCK.findall(text) for line in block.splitlines()]
        lines += [(" ".join(span.split()), False) for span in _SPAN.findall(_BLOCK.sub("", text))]
        for line, is_whole in lines:
            if found := re.match(r"(?:\$ )?(?:\.venv/bin/)?assistant (.+)", line):
                plain = re.split(r" [|>] ", found[1])[0].replace("[", "").replace("]", "").replace("...", "")
                words = shlex.split(plain, comments=True)
                if words:
                    yield pytest.param(words, is_whole, id=f"{path.name}: {' '.join(words)}")


@pytest.mark.parametrize(("words", "is_whole"), list(command_lines()))
def test_every_command_line_of_the_docs_is_one_that_the_program_takes(words, is_whole):
    group, name = PROGRAM, "assistant"
    while hasattr(group, "commands") and words and not words[0].startswith("-"):
        assert words[0] in group.commands, words
        name, group, words = words[0], group.commands[words[0]], words[1:]
    if not is_whole:  # a mention may leave out what the option or the command takes
        known = {flag for option in group.params for flag in (*option.opts, *option.secondary_opts)} | {"--help", "-h"}
        below_zero = re.compile(r"-\d")
        assert {word for word in words if word.startswith("-") and word != "-" and not below_zero.match(word)} <= known
        return
    assert not hasattr(group, "commands"), (name, "what of it?")
    group.make_context(name, list(words))


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
    for name, (_, intent) in KEYS.items():
        assert name in table
        assert phrases(intent)[0] in table
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
