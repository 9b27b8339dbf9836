"""What a torque makes of a bolt: its clamp force by the friction, and the nut factor that this is."""

from __future__ import annotations

from dataclasses import dataclass, field
from decimal import Decimal
from typing import TYPE_CHECKING, Annotated

import typer

from assistant.advice.worked import Worked
from assistant.cli.options import AsJson
from assistant.cli.working_out.printing import put_sheet
from assistant.terminal.exits import Exit, Refusal, or_refuse

if TYPE_CHECKING:
    from assistant.fastening.quantities import Torque


def clamp(
    torque: Annotated[str, typer.Argument(help="The torque at the bolt, for example 45Nm.")],
    thread: Annotated[str, typer.Option(help="Its thread: M10, M10x1.25, 3/8-24, 10-32.")],
    strength: Annotated[str, typer.Option(help="Its property class or grade: 8.8, 10.9, grade 5.")],
    friction: Annotated[str, typer.Option(help="Coefficient of friction in the thread and under the head.")] = "0.14",
    length: Annotated[
        str, typer.Option(help="Clamp length under the head, for the force of an angle: 60mm, 2.4in.")
    ] = "",
    stretch: Annotated[str, typer.Option(help="What the bolt got longer by at this torque: 0.15mm, 0.006in.")] = "",
    as_json: AsJson = False,
) -> None:
    """Work out the clamp force of a torque, its nut factor, and its part of the proof load."""
    raise typer.Exit(put_sheet(lambda: _clamp(torque, thread, strength, friction, length, stretch), as_json=as_json))


def _clamp(torque: str, thread: str, strength: str, friction: str, length: str, stretch: str) -> Worked:
    from assistant.advice.clamp import clamp_of, parse_friction
    from assistant.fastening.units import parse_torque

    wanted, rubbing = or_refuse(parse_torque(torque)), or_refuse(parse_friction(friction))
    found = or_refuse(clamp_of(wanted, thread, strength, rubbing))
    more = _joint(wanted, thread, length, stretch) if length or stretch else _More()
    part = round(100 * found.force / found.proof)
    return Worked(
        title="Clamp force of a torque",
        given={"torque": str(wanted), "thread": str(found.thread), "strength": found.strength, "friction": friction}
        | more.given,
        answer=(
            f"{wanted} makes about {found.force / 1000:.1f} kN, which is {part} % of the proof load.",
            f"The nut factor is {found.factor:.3f}.",
            *more.answer,
        ),
        how=(
            "Force F = M / (0.16 P + 0.58 d2 mu + mu D / 2): VDI 2230-1:2015, section 5.4.3 (from memory).",
            "Nut factor K = M / (d F): Shigley's Mechanical Engineering Design, equation 8-27 (from memory).",
            "At one torque the force scatters by about 35 % dry and 25 % oiled: NASA-STD-5020, table 3.",
            *more.how,
        ),
        doubts=(*found.doubts, *more.doubts),
        values={
            "force_N": str(Decimal(round(found.force))),
            "proof_load_N": str(Decimal(round(found.proof))),
            "nut_factor": f"{found.factor:.3f}",
            **more.values,
        },
    )


@dataclass(frozen=True, slots=True)
class _More:
    """What the clamp length adds to the sheet."""

    given: dict[str, str] = field(default_factory=dict)
    answer: tuple[str, ...] = ()
    how: tuple[str, ...] = ()
    doubts: tuple[str, ...] = ()
    values: dict[str, str] = field(default_factory=dict)


def _joint(torque: Torque, thread: str, length: str, stretch: str) -> _More:
    """Work out what an angle adds, and the nut factor that a measured stretch stands for."""
    from assistant.advice.clamp import LEAST_FACTOR, MOST_FACTOR
    from assistant.advice.stiffness import factor_of_stretch, force_of_angle
    from assistant.cli.working_out.jointed import read_joint
    from assistant.fastening.units import parse_length

    if not length:
        raise Refusal("A stretch tells nothing without the clamp length: give --length too.", Exit.USAGE)
    joint = read_joint(thread, length).stiff
    per = force_of_angle(joint, 1)
    given, answer = {"length": length}, [f"Each further degree adds at most {per:.0f} N."]
    values = {
        "force_of_degree_N": f"{per:.0f}",
        "bolt_mm_per_N": f"{joint.bolt:.4g}",
        "parts_mm_per_N": f"{joint.parts:.4g}",
    }
    doubts: tuple[str, ...] = ()
    if stretch:
        longer = or_refuse(parse_length(stretch))
        factor = factor_of_stretch(joint, float(torque.newton_metres), float(longer.millimetres))
        given["stretch"] = str(longer)
        answer.append(f"By its stretch of {longer}, the nut factor is {factor:.2f}.")
        values["nut_factor_by_stretch"] = f"{factor:.3f}"
        if not LEAST_FACTOR <= factor <= MOST_FACTOR:
            doubts = (
                f"By its stretch, the nut factor is not between {LEAST_FACTOR} and {MOST_FACTOR}: look at thread, "
                "length, and at what was measured.",
            )
    how = (
        "Force of an angle P / 360 / (bolt + parts), the bolt all thread, the parts as two cones of 30 degrees: "
        "VDI 2230-1:2015, sections 5.1 and 5.4.3; Shigley, equation 8-20 (from memory).",
    )
    return _More(given, tuple(answer), how, doubts, values)
