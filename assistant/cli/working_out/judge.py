"""What strikes among bolts by their final torque, the angle they were turned, and what moved them on afterwards."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from assistant.advice.worked import Worked
from assistant.cli.options import AsJson
from assistant.cli.working_out.printing import put_sheet
from assistant.terminal.exits import Exit, Refusal, or_refuse

if TYPE_CHECKING:
    from assistant.advice.judge import Scatter
    from assistant.fastening.quantities import Angle, Torque

_WHY = {
    ("torque", "below"): "well below its neighbours: stretched thread, or missed",
    ("torque", "above"): "well above its neighbours: thread seized or cross-threaded, or turned twice",
    ("angle", "below"): "torque came well before its neighbours: thread seized or cross-threaded, or tight before",
    ("angle", "above"): "turned well beyond its neighbours: stretched thread, or something soft beneath",
}


def judge_bolts(
    file: Annotated[
        Path, typer.Argument(help="A table (CSV or XLSX): bolt, torque [N·m], angle [°], and again [N·m] if checked.")
    ],
    accuracy: Annotated[str, typer.Option(help="What the class of the tool allows, in percent.")] = "4",
    step: Annotated[
        str, typer.Option(help="One step of the torque that is read off; empty: the finest in the table.")
    ] = "",
    again: Annotated[str, typer.Option(help="Least part of its torque at which a bolt may move on, in percent.")] = "",
    thread: Annotated[str, typer.Option(help="Thread, for what the joint allows: M10, 3/8-24, 10-32.")] = "",
    strength: Annotated[str, typer.Option(help="Its property class or grade: 10.9, grade 8.")] = "",
    length: Annotated[str, typer.Option(help="The clamp length under the head: 60mm, 2.4in.")] = "",
    snug: Annotated[str, typer.Option(help="The torque before the angle: 30Nm.")] = "",
    angle: Annotated[str, typer.Option(help="The angle that was asked for after it: 90deg.")] = "",
    friction: Annotated[str, typer.Option(help="Coefficient of friction, where it is known.")] = "",
    parts: Annotated[str, typer.Option(help="What is clamped: steel, iron, aluminium; empty: not known.")] = "steel",
    as_json: AsJson = False,
) -> None:
    """Work out which bolts strike among their neighbours: doubts only, never a pass."""
    joint = {"thread": thread, "strength": strength, "length": length, "snug": snug, "angle": angle}
    raise typer.Exit(
        put_sheet(lambda: _judge(file, accuracy, step, again, joint, friction, parts), as_json=as_json),
    )


def _judge(
    file: Path, accuracy: str, step: str, again: str, joint: Mapping[str, str], friction: str, parts: str
) -> Worked:
    from assistant.cli.working_out.columns import BoltColumn, read_bolts
    from assistant.cli.working_out.jointed import joint_doubts
    from assistant.fastening.units import parse_angle, parse_torque

    tool = _percent(accuracy, "an accuracy", 1, 25)
    columns: dict[str, BoltColumn[Any]] = {
        "torque": BoltColumn(("torque", "final torque"), parse_torque, needed=False),
        "angle": BoltColumn(("angle",), parse_angle, needed=False),
        "again": BoltColumn(("again", "moved on"), parse_torque, needed=False),
    }
    found = {key: values for key, values in read_bolts(file, columns).items() if values}
    if not found.keys() & {"torque", "angle"}:
        raise Refusal(f"{file} has neither torques nor angles: write torque [N·m] or angle [°] above them.", Exit.USAGE)
    given = {"file": str(file), "accuracy": f"{accuracy} %"}
    answer: list[str] = []
    doubts: list[str] = []
    rows: list[tuple[str, ...]] = []
    values: dict[str, Any] = {}
    for key in [one for one in ("torque", "angle") if one in found]:
        unit = next(iter(found[key].values())).unit
        finest = or_refuse(parse_torque(step)).to(unit).value if step and key == "torque" else None
        scatter = _scatter(found[key], finest, tool)
        answer += _scatter_words(key, scatter, unit.value if unit.value == "°" else f" {unit.value}")
        doubts += [f"Bolt {one.bolt} is {_WHY[key, one.side.value]}." for one in scatter.strikes]
        values[key] = _values_of(scatter, unit.value)
        rows += _rows(key, found[key], scatter)
    if again:
        doubts += _moved(found, again, file)
        given["again"] = f"at least {again} %"
    if any(joint.values()):
        said, more = joint_doubts(joint, (friction, parts), found, float(tool))
        answer += said
        doubts += more
        given |= {key: text for key, text in (*joint.items(), ("parts", parts)) if text}
    if not doubts:
        answer.append("Nothing strikes. That says nothing of what all of them have in common.")
    return Worked(
        title="Bolts among their neighbours",
        given=given,
        answer=answer,
        how=(
            "Modified z-score 0.6745 (x - median) / MAD, striking beyond 3.5: Iglewicz and Hoaglin, 1993 (from "
            "memory), with the MAD of few values corrected by Croux and Rousseeuw, 1992 (from memory).",
            "A bolt is doubted from six bolts on, and only when it is off by more than the class of the tool and 6 %.",
            *(
                ("What the joint allows: VDI 2230-1:2015, 5.1 and 5.4.3; scatter by NASA-STD-5020 (from memory).",)
                if any(joint.values())
                else ()
            ),
        ),
        head=("bolt", "read", "value", "from the median", "z"),
        rows=rows,
        doubts=doubts,
        values=values,
    )


def _percent(text: str, what: str, least: int, most: int) -> Fraction:
    try:
        value = Decimal(text.strip().rstrip("%"))
    except ArithmeticError:
        value = Decimal(-1)
    if not value.is_finite() or not least <= value <= most:
        raise Refusal(f"{text!r} is not {what}: write a number of percent, {least} to {most}.", Exit.USAGE)
    return Fraction(value)


def _scatter(read: Mapping[int, Torque | Angle], finest: Decimal | None, tool: Fraction) -> Scatter:
    from assistant.advice.judge import scatter_of
    from assistant.fastening.readings import MARGIN

    unit = next(iter(read.values())).unit
    numbers = {bolt: one.to(unit).value for bolt, one in read.items()}  # type: ignore[arg-type]
    if finest is None:  # a value that was converted has many digits, and tells nothing of the step
        written = [one.value for one in read.values() if one.unit is unit]
        finest = min(Decimal(1).scaleb(int(one.as_tuple().exponent)) for one in written)
    sizes = {bolt: Fraction(number) for bolt, number in numbers.items()}
    return scatter_of(sizes, Fraction(finest), tool + Fraction(MARGIN), tool)


def _scatter_words(key: str, scatter: Scatter, unit: str) -> list[str]:
    said = [
        f"{key.capitalize()} of {scatter.number} bolts: median {_short(scatter.median)}{unit}, from "
        f"{_short(scatter.least)} to {_short(scatter.most)}, robust standard deviation {_short(scatter.sigma)}."
    ]
    if scatter.wide:
        said.append(
            f"That is up to {_short(scatter.percent)} % from the median; the tool explains {_short(scatter.tool)} %."
        )
    if not scatter.enough:
        said.append("Too few to doubt one of them: that takes six.")
    return said


def _short(value: Fraction) -> str:
    return f"{float(value):.3g}" if abs(value) < 100 else f"{float(value):.0f}"


def _values_of(scatter: Scatter, unit: str) -> Mapping[str, Any]:
    return {
        "unit": unit,
        "median": str(float(scatter.median)),
        "mad": str(float(scatter.mad)),
        "robust_sigma": f"{float(scatter.sigma):.6g}",
        "least": str(float(scatter.least)),
        "most": str(float(scatter.most)),
        "most_off_percent": f"{float(scatter.percent):.4g}",
        "strikes": [
            {"bolt": one.bolt, "side": one.side.value, "score": f"{float(one.score):.4g}"} for one in scatter.strikes
        ],
    }


def _rows(key: str, read: Mapping[int, Any], scatter: Scatter) -> list[tuple[str, ...]]:
    unit = next(iter(read.values())).unit
    found: list[tuple[str, ...]] = []
    for bolt, one in sorted(read.items()):
        off = Fraction(one.to(unit).value) - scatter.median
        found.append((str(bolt), key, str(one), f"{float(off):+.3g}", f"{float(off / scatter.sigma):+.1f}"))
    return found


def _moved(found: Mapping[str, Mapping[int, Any]], again: str, file: Path) -> list[str]:
    from assistant.advice.judge import moved_late

    least = _percent(again, "a part of the torque", 1, 100)
    if "torque" not in found or "again" not in found:
        raise Refusal(f"{file} lacks a column: a check needs torque [N·m] and again [N·m].", Exit.USAGE)
    first = {bolt: one.size for bolt, one in found["torque"].items()}
    moved = moved_late(first, {bolt: one.size for bolt, one in found["again"].items()}, least)
    return [f"Bolt {bolt} moved on below {again} % of its torque: it settled, or it was not tight." for bolt in moved]
