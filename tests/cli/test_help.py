"""What the help of the commands lists first: what a command alone has, and then what it shares."""

import pytest
import typer

from assistant.__main__ import app


@pytest.mark.parametrize(
    ("command", "first"),
    [
        ("run", ["--asset", "--customer", "--meter"]),
        ("rehearse", ["--audio-in", "--typed", "--audio-out", "--job"]),
        ("record", ["--html", "--pdf", "--json", "--csv", "--out"]),
        ("new", ["--title", "--machine", "--source"]),
        ("preview", ["--chapter", "--audio", "--aloud"]),
        ("desk", ["--display-host", "--display-port"]),
    ],
)
def test_the_help_begins_with_the_options_that_the_command_is_for(command, first):
    options = [p for p in typer.main.get_command(app).commands[command].params if p.param_type_name == "option"]
    assert [max(option.opts, key=len) for option in options][: len(first)] == first


def test_the_switch_of_the_page_stands_before_what_it_takes():
    options = [max(p.opts, key=len) for p in typer.main.get_command(app).commands["run"].params]
    assert [flag for flag in options if "display" in flag] == [
        "--display",
        "--display-host",
        "--display-port",
        "--display-touch",
    ]
