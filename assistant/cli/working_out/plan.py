"""The plan of a job at the desk: what comes when, what can go on while something waits, and when it ends."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from assistant.advice.worked import Worked
from assistant.cli import completing
from assistant.cli.options import AsJson, found_procedure
from assistant.cli.working_out.printing import put_sheet
from assistant.terminal.exits import Exit, Refusal

if TYPE_CHECKING:
    from assistant.facts.inputs import ToolFile
    from assistant.procedure.model import Procedure
    from assistant.session.here import Here
    from assistant.session.plan_means import Crew
    from assistant.session.planning import JobPlan, Stretch

_HEAD = ("begins", "ends", "step", "takes", "known from", "who", "what")
_FROM = {
    "minutes": "the procedure",
    "own": "your earlier jobs",
    "bay": "earlier jobs here",
    "estimate": "an estimate",
    "nothing": "nobody knows",
}


def plan_sheet(
    procedure: Annotated[
        Path,
        typer.Argument(
            metavar="[PROCEDURE]",
            readable=False,
            help="The procedure to plan; not needed with --job.",
            callback=found_procedure,
            autocompletion=completing.known_procedures,
        ),
    ] = Path(),
    job: Annotated[str, typer.Option(help='Plan the rest of this job: its name, its beginning, or "last".')] = "",
    hands: Annotated[int, typer.Option(min=1, max=9, help="How many mechanics work at it.")] = 1,
    people: Annotated[
        int | None,
        typer.Option(
            min=1,
            max=9,
            help="How many are at it in all: who is no mechanic helps. With --job, those who help now when left out.",
        ),
    ] = None,
    tools: Annotated[
        Path | None,
        typer.Option(metavar="FILE", readable=False, help="The bay's tool file, in place of that in the settings."),
    ] = None,
    history: Annotated[
        bool | None,
        typer.Option(
            "--history/--no-history",
            help="What steps took in earlier jobs before their minutes, or not at all; left out, where they have none.",
        ),
    ] = None,
    svg: Annotated[Path | None, typer.Option(metavar="OUT", help="Draw the bar chart to this SVG file.")] = None,
    force: Annotated[bool, typer.Option("--force", help="Replace the file that is there; it is kept as .bak.")] = False,
    as_json: AsJson = False,
) -> None:
    """Plan a procedure or the rest of a job: what comes when, what can go on while something waits, and the end."""
    if procedure == Path() and not job:
        raise typer.Exit(put_sheet(_nothing_to_plan, as_json=as_json))
    asked = _Asked(procedure, job, hands, people, tools, history)
    raise typer.Exit(put_sheet(lambda: _plan(asked, svg, force=force), as_json=as_json))


@dataclass(frozen=True, slots=True)
class _Asked:
    """What is to be planned, for whom, with which tools, and what becomes of the times of earlier jobs."""

    procedure: Path
    job: str
    hands: int
    people: int | None
    tools: Path | None
    history: bool | None


def _nothing_to_plan() -> Worked:
    raise Refusal("There is nothing to plan: give a procedure, or a job with --job.", Exit.USAGE)


def _plan(asked: _Asked, svg: Path | None, *, force: bool) -> Worked:
    from assistant.drawing.bar_chart import bar_chart_svg
    from assistant.session.planning import plan_job, stretches
    from assistant.terminal.exits import or_refuse
    from assistant.terminal.output import check_free, put

    if svg is not None:
        check_free(svg, force=force, form="svg")
    here = _job_here(asked) if asked.job else _new_here(asked)
    title = here.job.procedure.title
    found = plan_job(here, _crew(here, asked), history_first=asked.history is True)
    if found.fault is not None:
        or_refuse(found.fault)
    rows = stretches(here, found)
    if svg is not None:
        answer = " ".join(_answer(here, found))
        put(svg, bar_chart_svg(_bars(here, rows), title=title, told=answer).encode(), force=force)
    return _worked(here, found, rows, asked.job)


def _crew(here: Here, asked: _Asked) -> Crew:
    from assistant.session.plan_means import Crew, crew_of

    if asked.people is None:
        return Crew(asked.hands, crew_of(here).helpers)
    if asked.people < asked.hands:
        raise Refusal(f"{asked.hands} mechanics are more than {asked.people} people: correct --people.", Exit.USAGE)
    return Crew(asked.hands, asked.people - asked.hands)


def _new_here(asked: _Asked) -> Here:
    """Return the procedure before its first step, with how long its steps took in earlier jobs here."""
    from assistant.bay.job import read_or_refuse, settings_for
    from assistant.clock import SteadyClock
    from assistant.journal.opening import open_journal
    from assistant.journal.port import JournalFault
    from assistant.kept.earlier import times_before
    from assistant.kept.tool_facts import tools_path
    from assistant.language.chosen import LANGUAGE
    from assistant.session.evolving.supposed import supposed
    from assistant.session.evolving.table import fold
    from assistant.session.session import Session
    from assistant.settings import home

    procedure = read_or_refuse(asked.procedure).usable
    times = None
    if asked.history is not False:
        try:
            with open_journal(home(), read_only=True) as journal:
                times = times_before(journal, procedure.id, "")
        except JournalFault:
            times = None  # there is no journal yet, so nobody worked here before
    state = fold([times] if times else [])
    path = asked.tools or tools_path(settings_for({}).tools)
    state = supposed(state, tools=None if path is None else _tool_file(path), no_times=False)
    return Session(procedure, language=LANGUAGE, state=state).standing(SteadyClock().now())


def _tool_file(path: Path) -> ToolFile:
    """Return the tool file at ``path``, with the clicks that the journal knows of."""
    from assistant.bay.job import read_tools_or_refuse
    from assistant.facts.inputs import ToolFile
    from assistant.journal.opening import journal_is_there, open_journal
    from assistant.kept.tool_facts import tool_facts
    from assistant.settings import home

    box, reading = read_tools_or_refuse(path)
    if not journal_is_there(home()):
        return ToolFile(path.name, reading.data.decode("utf-8"), reading.sha256, {})
    with open_journal(home(), read_only=True) as journal:
        return tool_facts(path.name, box, reading, journal)


def _job_here(asked: _Asked) -> Here:
    """Return the job as it stands in the journal, at the time of its last entry."""
    from assistant.bay.job import read_or_refuse
    from assistant.journal.opening import open_journal
    from assistant.language.chosen import LANGUAGE
    from assistant.report.record.build import opening_of, procedure_of
    from assistant.session.evolving.supposed import supposed
    from assistant.session.evolving.table import fold
    from assistant.session.session import Session
    from assistant.settings import home

    name, path = asked.job, asked.procedure
    with open_journal(home(), read_only=True) as journal:
        entries = journal.read(name).entries
    procedure: Procedure | None = procedure_of(opening_of(entries))
    if procedure is None:
        raise Refusal(f"The procedure of job {name} cannot be read any more, so it cannot be planned.", Exit.JOURNAL)
    if path != Path() and (other := read_or_refuse(path).usable.id) != procedure.id:
        raise Refusal(f"Job {name} is one of {procedure.id}, not of {other}: leave the procedure out.", Exit.USAGE)
    state = fold(entry.fact for entry in entries)
    tools = None if asked.tools is None else _tool_file(asked.tools)
    state = supposed(state, tools=tools, no_times=asked.history is False)
    return Session(procedure, language=LANGUAGE, state=state).standing(entries[-1].at_ms / 1000)


def _worked(here: Here, found: JobPlan, rows: Sequence[Stretch], job: str) -> Worked:
    from assistant.drawing.bar_chart import clock_text

    plan, procedure = found.plan, here.job.procedure
    assert plan is not None
    done = len(here.state.done)
    given = {"procedure": f"{procedure.title}, revision {procedure.revision}"}
    given |= {"job": f"{job}, {done} steps done"} if job else {}
    given["people"] = _crew_words(found.crew)
    given |= {"tools": here.state.tools.name} if here.state.tools is not None else {}
    return Worked(
        title="Plan of the work",
        given=given,
        answer=_answer(here, found),
        head=_HEAD,
        rows=[
            (
                clock_text(row.start),
                clock_text(row.end),
                _title(row),
                _takes(row),
                "" if row.known is None else _FROM[row.known.value],
                "helper" if row.by_helper else f"{row.people} people" if row.people > 1 else "",
                ", ".join(
                    word for word in ("waits" if row.waits else "", "holds up the end" if row.holds_up else "") if word
                ),
            )
            for row in rows
        ],
        how=_how(found),
        doubts=_doubts(here, found),
        values=_values(here, found, rows),
    )


def _crew_words(crew: Crew) -> str:
    told = [f"{crew.mechanics} mechanic{'s' if crew.mechanics > 1 else ''}"]
    if crew.helpers:
        told.append(f"{crew.helpers} helper{'s' if crew.helpers > 1 else ''}, also where a step has a witness")
    else:
        told.append("a second person where a step has a witness")
    return ", and ".join(told)


def _title(row: Stretch) -> str:
    return f"{'closing ' if row.place.closing else ''}{row.place.number}. {row.place.step.text}"


def _takes(row: Stretch) -> str:
    if row.waits or row.known is None or row.known.value == "nothing":
        return ""
    about = "about " if row.known.value == "estimate" else ""
    return f"{about}{max(1, round((row.end - row.start) / 60))} min"


def _answer(here: Here, found: JobPlan) -> list[str]:
    from assistant.drawing.bar_chart import clock_text
    from assistant.session.lasting import From

    plan, book = found.plan, here.job.procedure.book_time
    assert plan is not None
    unknown = found.count(From.NOTHING)
    least = "at least " if unknown else ""
    said = [f"The rest takes {least}{clock_text(plan.seconds)} hours."]
    if book is not None and not here.state.done:
        over = plan.seconds - book
        if over > 0:
            said.append(f"That is {clock_text(over)} over the book time of {clock_text(book)}.")
        elif unknown:
            said.append(
                f"The book time is {clock_text(book)}; whether that holds, {unknown} steps without a time decide."
            )
        else:
            said.append(f"That leaves {clock_text(-over)} of the book time of {clock_text(book)}.")
    return said


def _how(found: JobPlan) -> list[str]:
    from assistant.session.lasting import From

    plan = found.plan
    assert plan is not None
    counts = [(found.count(From(name)), words) for name, words in _FROM.items()]
    told = ", ".join(f"{number} from {words}" for number, words in counts[:4] if number)
    way = "CP-SAT looked for the order" if plan.solved else "an order by a rule meets the lower bound"
    return [
        f"Times of the steps: {told or 'none is known'}.",
        f"No plan is shorter than {_minutes(plan.bound)} (critical path: Kelley and Walker 1959; one pair of hands: "
        "Jackson 1955, Carlier 1982; from memory).",
        f"{way[0].upper()}{way[1:]}: "
        + ("it is the shortest there is." if plan.proven else "a shorter one may exist."),
    ]


def _doubts(here: Here, found: JobPlan) -> list[str]:
    from assistant.session.lasting import From

    plan = found.plan
    assert plan is not None
    doubts = []
    if unknown := found.count(From.NOTHING):
        doubts.append(f"{unknown} steps have no time and count as none: write their minutes into the procedure.")
    if estimated := found.count(From.ESTIMATE):
        doubts.append(
            f"{estimated} steps have an estimate from the number of fasteners, the passes and the tool: own figures, "
            "common practice, no source. Write their minutes into the procedure, or do the job once."
        )
    if not plan.proven:
        doubts.append("The solver came to the end of its work before it knew whether this is the shortest plan.")
    doubts += _means_doubts(here, found)
    doubts += [f"The open time {here.job.timers[one].name!r} cannot be kept any more." for one in found.late]
    return doubts


def _means_doubts(here: Here, found: JobPlan) -> list[str]:
    from assistant.session.tools.named import name_of

    def listed(keys: Sequence[str]) -> str:
        return ", ".join(f'"{key}"' for key in keys)

    doubts = []
    if found.short:
        doubts.append(
            f"More people than the {found.crew.people} who are at it are needed at {listed(found.short)}: "
            "planned as if somebody came for that long."
        )
    if found.lacking:
        names = ", ".join(name_of(here, one) for one in found.lacking)
        doubts.append(f"Not to be had here: {names}. The steps that take them are planned as if they were.")
    if found.unfit:
        doubts.append(f"No tool of the tool file gives a value of {listed(found.unfit)}: add one, or borrow it.")
    return doubts


def _minutes(seconds: int) -> str:
    return f"{seconds / 60:g} min"


def _values(here: Here, found: JobPlan, rows: Sequence[Stretch]) -> dict[str, Any]:
    plan = found.plan
    assert plan is not None
    return {
        "seconds": plan.seconds,
        "bound_s": plan.bound,
        "proven": plan.proven,
        "book_time_s": here.job.procedure.book_time,
        "mechanics": found.crew.mechanics,
        "helpers": found.crew.helpers,
        "short": list(found.short),
        "lacking": list(found.lacking),
        "unfit": list(found.unfit),
        "steps": [
            {
                "step": row.place.key,
                "start_s": row.start,
                "end_s": row.end,
                "waits": row.waits,
                "holds_up": row.holds_up,
                "known_from": row.known.value if row.known else None,
                "people": row.people,
                "by_helper": row.by_helper,
            }
            for row in rows
        ],
    }


def _bars(here: Here, rows: Sequence[Stretch]) -> list[Any]:
    from assistant.drawing.bar_chart import Bar, BarKind

    bars = []
    if done := len(here.state.done):
        bars.append(Bar(f"{done} steps are done", BarKind.DONE, 0, 0))
    for row in rows:
        now = row.place.key == here.state.place and not row.waits
        kind = BarKind.WAIT if row.waits else BarKind.NOW if now else BarKind.OPEN
        who = " (helper)" if row.by_helper else f" ({row.people} people)" if row.people > 1 else ""
        bars.append(Bar(f"{_title(row)}{who}", kind, row.start, row.end, row.holds_up))
    return bars
