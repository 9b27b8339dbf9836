"""What a torque makes of a bolt: its clamp force by the friction, and the nut factor that this is."""

from __future__ import annotations

from decimal import Decimal
from typing import Annotated

import typer

from assistant.advice.worked import Worked
from assistant.cli.options import AsJson
from assistant.cli.working_out.printing import put_sheet
from assistant.terminal.exits import or_refuse


def clamp(
    torque: Annotated[str, typer.Argument(help="The torque at the bolt, for example 45Nm.")],
    thread: Annotated[str, typer.Option(help="Its thread: M10, M10x1.25, 3/8-24.")],
    strength: Annotated[str, typer.Option(help="Its property class or grade: 8.8, 10.9, grade 5.")],
    friction: Annotated[str, typer.Option(help="Coefficient of friction in the thread and under the head.")] = "0.14",
    as_json: AsJson = False,
) -> None:
    """Work out the clamp force of a torque, its nut factor, and its part of the proof load."""
    raise typer.Exit(put_sheet(lambda: _clamp(torque, thread, strength, friction), as_json=as_json))


def _clamp(torque: str, thread: str, strength: str, friction: str) -> Worked:
    from assistant.advice.clamp import clamp_of, parse_friction
    from assistant.fastening.units import parse_torque

    wanted, rubbing = or_refuse(parse_torque(torque)), or_refuse(parse_friction(friction))
    found = or_refuse(clamp_of(wanted, thread, strength, rubbing))
    part = round(100 * found.force / found.proof)
    return Worked(
        title="Clamp force of a torque",
        given={"torque": str(wanted), "thread": str(found.thread), "strength": found.strength, "friction": friction},
        answer=(
            f"{wanted} makes about {found.force / 1000:.1f} kN, which is {part} % of the proof load.",
            f"The nut factor is {found.factor:.3f}.",
        ),
        how=(
            "Force F = M / (0.16 P + 0.58 d2 mu + mu D / 2): VDI 2230-1:2015, section 5.4.3 (from memory).",
            "Nut factor K = M / (d F): Shigley's Mechanical Engineering Design, equation 8-27 (from memory).",
            "At one torque the force scatters by about 35 % dry and 25 % oiled: NASA-STD-5020, table 3.",
        ),
        doubts=found.doubts,
        values={
            "force_N": str(Decimal(round(found.force))),
            "proof_load_N": str(Decimal(round(found.proof))),
            "nut_factor": f"{found.factor:.3f}",
        },
    )
