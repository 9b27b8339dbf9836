"""The group ``work-out``: sheets for the desk, each in a module of its own."""

from __future__ import annotations

import typer

from assistant.cli.working_out.bolts import bolt_lengths
from assistant.cli.working_out.clamp import clamp
from assistant.cli.working_out.judge import judge_bolts
from assistant.cli.working_out.order import order
from assistant.cli.working_out.pack import pack
from assistant.cli.working_out.plan import plan_sheet
from assistant.cli.working_out.shims import shims

_SHEETS = (clamp, shims, pack, judge_bolts, bolt_lengths, order, plan_sheet)
_CALLED = {plan_sheet: "plan", judge_bolts: "judge", bolt_lengths: "bolts"}
"""How a sheet is called whose function has another name, because another room has that."""


def add_work_out(app: typer.Typer) -> None:
    """Add the group to the command line."""
    group = typer.Typer(
        help="Work out at the desk what the head cannot hold: each answer says how it was reached, and is advice.",
        no_args_is_help=True,
    )
    for sheet in _SHEETS:
        # A value below zero is a value to refuse with a sentence, not an option.
        group.command(_CALLED.get(sheet), context_settings={"ignore_unknown_options": True})(sheet)
    app.add_typer(group, name="work-out")
