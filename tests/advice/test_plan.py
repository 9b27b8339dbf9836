"""Plans of work against published examples, against brute force, and against what a plan must never break."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from itertools import pairwise, permutations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from assistant.advice.plan import plan_of, windows_of
from assistant.advice.plan_search import preemptive
from assistant.advice.tasks import MECHANIC, Lag, Means, Task, WorkPlan
from assistant.faults import Fault


def broken(tasks: list[Task], plan: WorkPlan, means: Means) -> str:
    """Return what a plan breaks, or "": looked for moment by moment, without anything of the planner."""
    at = {span.task: span for span in plan.spans}
    if sorted(at) != sorted(task.id for task in tasks):
        return "not every task once"
    for task in tasks:
        mine = at[task.id]
        if mine.end - mine.start != task.seconds or mine.start < task.earliest:
            return f"length or earliest start of {task.id}"
        if any(at[name].end > mine.start for name in task.needs):
            return f"needs of {task.id}"
        if any(at[gap.task].end + gap.seconds > mine.start for gap in task.after):
            return f"wait before {task.id}"
        if any(at[gap.task].end + gap.seconds < mine.end for gap in task.within):
            return f"open time of {task.id}"
        if task.latest is not None and mine.end > task.latest:
            return f"open time that runs, of {task.id}"
    given = set(plan.given)
    if not given <= {task.id for task in tasks if task.instead}:
        return "given to somebody who may not do it"
    for moment in {span.start for span in plan.spans}:
        taken: Counter[str] = Counter()
        for task in tasks:
            if at[task.id].start <= moment < at[task.id].end:
                taken += task.takes_instead if task.id in given else task.takes
        for name, number in taken.items():
            if number > means.of(name):
                return f"{name} taken {number} times at {moment}"
    return ""


def shortest(tasks: list[Task]) -> int | None:
    """Return the shortest time of all orders of what one mechanic does; None when every order breaks something."""
    work = [task for task in tasks if task.people]
    best = None
    for order in permutations(work):
        starts = {task.id: task.earliest for task in tasks}
        by_id = {task.id: task for task in tasks}
        for _ in range(3 * len(tasks) + 3):
            for task in tasks:
                firsts = [starts[name] + by_id[name].seconds for name in task.needs]
                firsts += [starts[gap.task] + by_id[gap.task].seconds + gap.seconds for gap in task.after]
                firsts += [starts[one.id] + one.seconds for one, two in pairwise(order) if two is task]
                starts[task.id] = max([starts[task.id], *firsts])
            for task in tasks:
                for gap in task.within:  # what begins the open time can begin later
                    least = starts[task.id] + task.seconds - gap.seconds - by_id[gap.task].seconds
                    starts[gap.task] = max(starts[gap.task], least)
        ends = {task.id: starts[task.id] + task.seconds for task in tasks}
        kept = all(starts[name] + by_id[name].seconds <= starts[task.id] for task in tasks for name in task.needs)
        kept &= all(ends[gap.task] + gap.seconds <= starts[task.id] for task in tasks for gap in task.after)
        kept &= all(ends[one.id] <= starts[two.id] for one, two in pairwise(order))
        kept &= all(ends[task.id] <= ends[gap.task] + gap.seconds for task in tasks for gap in task.within)
        kept &= all(task.latest is None or ends[task.id] <= task.latest for task in tasks)
        if kept and (best is None or max(ends.values()) < best):
            best = max(ends.values())
    return best


@st.composite
def jobs(draw: st.DrawFn, most: int = 5) -> list[Task]:
    tasks: list[Task] = []
    for number in range(draw(st.integers(1, most))):
        names = [task.id for task in tasks]
        needs = tuple(draw(st.sets(st.sampled_from(names), max_size=2))) if names else ()
        waits = bool(names) and draw(st.integers(0, 3)) == 0
        gap = (Lag(draw(st.sampled_from(names)), draw(st.integers(0, 9))),) if waits else ()
        opens = needs and not waits and draw(st.integers(0, 2)) == 0
        within = (Lag(needs[0], draw(st.integers(0, 12))),) if opens else ()
        tasks.append(
            Task(
                f"t{number}",
                0 if waits else draw(st.integers(1, 9)),
                needs=needs,
                after=gap,
                within=within,
                tools=() if waits else tuple(draw(st.sets(st.sampled_from("ab"), max_size=1))),
                people=() if waits else (MECHANIC,),
                earliest=draw(st.integers(0, 4)) if not needs else 0,
                latest=draw(st.integers(8, 30)) if draw(st.integers(0, 7)) == 0 else None,
            )
        )
    return tasks


@settings(max_examples=300, deadline=None)
@given(jobs())
def test_no_order_of_one_mechanic_is_shorter_and_none_is_missed(tasks):
    made, best = plan_of(tasks), shortest(tasks)
    if isinstance(made, Fault):
        assert best is None, made
        return
    assert made.proven
    assert made.seconds == made.bound == best
    assert broken(tasks, made, Means()) == ""


@settings(max_examples=200, deadline=None)
@given(jobs(most=12), st.integers(1, 3))
def test_a_plan_never_breaks_a_need_a_wait_an_open_time_a_tool_or_a_person(tasks, hands):
    means = Means(tools={"a": 2}, people={MECHANIC: hands})
    made = plan_of(tasks, means)
    if isinstance(made, WorkPlan):
        assert broken(tasks, made, means) == ""
        assert made.bound <= made.seconds


@settings(max_examples=100, deadline=None)
@given(jobs(most=9))
def test_the_bottleneck_is_what_makes_the_job_longer(tasks):
    made = plan_of(tasks)
    if isinstance(made, Fault):
        return
    at = {span.task: span for span in made.spans}
    assert at[made.bottleneck[-1]].end == made.seconds
    assert [at[name].start for name in made.bottleneck] == sorted(at[name].start for name in made.bottleneck)


@settings(max_examples=100, deadline=None)
@given(jobs(most=8))
def test_what_nobody_knows_the_length_of_comes_into_no_open_time_unless_it_must(tasks):
    stranger = Task("stranger", known=False)
    made = plan_of([*tasks, stranger])
    if isinstance(made, Fault):
        return
    at = {span.task: span for span in made.spans}
    for window in windows_of(tasks):
        began = at[window.began].end if window.began else 0
        if at[window.joins].end > began:
            assert not began < at["stranger"].start < at[window.joins].end


# Published examples

RELIABLE = {
    "A": (2, ""), "B": (4, "A"), "C": (10, "B"), "D": (6, "C"), "E": (4, "C"), "F": (5, "E"), "G": (7, "D"),
    "H": (9, "EG"), "I": (7, "C"), "J": (8, "FI"), "K": (4, "J"), "L": (5, "J"), "M": (2, "H"), "N": (6, "KL"),
}  # fmt: skip
"""Hillier and Lieberman, Introduction to Operations Research, the Reliable Construction Co. project (from memory)."""
PERT = {
    "A": (400, ""),
    "B": (533, ""),
    "C": (517, "A"),
    "D": (633, "A"),
    "E": (517, "BC"),
    "F": (450, "D"),
    "G": (517, "E"),
}
"""The seven tasks with which the encyclopedia Wikipedia explains PERT, times a hundred (from memory)."""


def of(printed: dict[str, tuple[int, str]]) -> list[Task]:
    return [Task(name, length, tuple(needs), people=()) for name, (length, needs) in printed.items()]


@pytest.mark.parametrize(("printed", "path", "length"), [(RELIABLE, "ABCEFJLN", 44), (PERT, "ACEG", 1951)])
def test_the_critical_path_is_the_one_that_the_book_prints(printed, path, length):
    made = plan_of(of(printed))
    assert (made.seconds, "".join(made.bottleneck), made.proven) == (length, path, True)


def test_one_machine_with_heads_and_tails_takes_as_long_as_the_paper_says():
    # Carlier, The one-machine sequencing problem, 1982: seven jobs (head, length, tail), 50 at best (from memory).
    printed = [(10, 5, 7), (13, 6, 26), (11, 7, 24), (20, 4, 21), (30, 3, 8), (0, 6, 17), (30, 2, 0)]
    tasks = []
    for number, (head, length, tail) in enumerate(printed, 1):
        tasks.append(Task(f"{number}", length, earliest=head))
        tasks.append(Task(f"tail {number}", after=(Lag(f"{number}", tail),), people=()))
    made = plan_of(tasks)
    assert (made.seconds, made.proven, made.solved) == (50, True, True)
    assert broken(tasks, made, Means()) == ""
    assert preemptive(printed) == 49  # the bound lies below it, so the solver had to prove it


# PSPLIB, Kolisch and Sprecher 1996, single-mode instance j301_1: length, needs of R1 to R4, and successors of 32 jobs.
J301_1 = """0:0000:2,3,4 8:4000:6,11,15 4:a000:7,8,13 6:0003:5,9,10 3:3000:20 8:0008:30 5:4000:27 9:0100:12,19,27
2:6000:14 7:0001:16,25 9:0500:20,26 2:0700:14 6:4000:17,18 3:0800:17 9:3000:25 10:0005:21,22 6:0008:22 5:0007:20,22
3:0100:24,29 7:0a00:23,25 2:0006:28 7:2000:23 2:3000:24 3:0900:30 3:4000:30 7:0040:31 8:0007:28 3:0800:31 7:0700:32
2:0700:32 2:0020:32 0:0000:"""


def test_a_project_of_the_library_of_such_problems_takes_as_long_as_is_published():
    rows = [row.split(":") for row in J301_1.split()]
    needs: dict[int, list[str]] = {}
    for number, row in enumerate(rows, 1):
        for later in filter(None, row[2].split(",")):
            needs.setdefault(int(later), []).append(str(number))
    tasks = [
        Task(
            str(number),
            int(length),
            tuple(needs.get(number, ())),
            tools=tuple(f"R{at}" for at, many in enumerate(takes, 1) for _ in range(int(many, 16))),
            people=(),
        )
        for number, (length, takes, _) in enumerate(rows, 1)
    ]
    means = Means(tools={"R1": 12, "R2": 13, "R3": 4, "R4": 12})
    made = plan_of(tasks, means)
    assert broken(tasks, made, means) == ""
    assert (made.seconds, made.proven) == (43, True)  # its published optimum
    with_enough = [replace(task, tools=()) for task in tasks]
    assert plan_of(with_enough).seconds == 38  # its published MPM time


# What cannot be


@pytest.mark.parametrize(
    ("tasks", "says"),
    [
        ([Task("a", -1)], 'A time of "a" is below zero: write how long it takes'),
        ([Task("a"), Task("a")], 'The id "a" is given to two tasks'),
        ([Task("a", needs=("b",))], '"a" needs "b", and there is no such task'),
        ([Task("a", needs=("a",))], '"a" needs itself'),
        (
            [Task("a", needs=("c",)), Task("b", needs=("a",)), Task("c", needs=("b",))],
            '"a" and "b" and "c" need each other in a loop',
        ),
        (
            [Task("bead", 60), Task("lid", 400, ("bead",)), Task("on", 300, ("lid",), within=(Lag("bead", 600),))],
            'The open time behind "bead" is 10 min, and the work up to the end of "on" takes at least 700 s',
        ),
        ([Task("a", 60), Task("on", 300, ("a",), latest=300)], "The open time that runs is 5 min"),
        ([Task("a", people=(MECHANIC, MECHANIC))], '"a" takes 2 of "mechanic", and there are 1'),
        (
            # Each could be in time alone, both cannot.
            [Task("one", 300, latest=400), Task("two", 300, latest=400)],
            "There is no order in which every open time is kept",
        ),
    ],
)
def test_what_cannot_be_is_one_sentence(tasks, says):
    fault = plan_of(tasks)
    assert isinstance(fault, Fault)
    assert says in fault.sentence
    assert "\n" not in fault.sentence


def test_nothing_to_do_is_a_plan_that_is_over():
    assert plan_of([]) == WorkPlan((), 0, 0, proven=True, bottleneck=())


def test_the_same_tasks_always_get_the_same_plan():
    tasks = [Task(f"t{n}", 60 + n, tuple({f"t{n // 2}"} if n else ()), tools=("a",)) for n in range(1, 40)]
    tasks = [Task("t0", 5), *tasks, *(Task(f"w{n}", after=(Lag(f"t{n}", 700),), people=()) for n in range(5, 20, 3))]
    assert plan_of(tasks) == plan_of(tasks)


# A second person

HELPER = "helper"


@st.composite
def shared_jobs(draw: st.DrawFn, most: int = 6) -> list[Task]:
    """Jobs in which a helper may do some tasks alone, and some take both people."""
    tasks = []
    for task in draw(jobs(most)):
        way = draw(st.integers(0, 3)) if task.people else 3
        if way == 0:
            tasks.append(replace(task, instead=(HELPER,)))
        elif way == 1 and not draw(st.booleans()):
            tasks.append(replace(task, people=(MECHANIC, HELPER)))
        else:
            tasks.append(task)
    return tasks


def ways_to_share(tasks: list[Task]) -> list[list[Task]]:
    """Return every way to say beforehand who does what."""
    found: list[list[Task]] = [[]]
    for task in tasks:
        mine = [replace(task, instead=())]
        if task.instead:
            mine.append(replace(task, people=task.instead, instead=()))
        found = [[*before, one] for before in found for one in mine]
    return found


@settings(max_examples=100, deadline=None)
@given(shared_jobs())
def test_no_way_to_share_the_work_is_shorter(tasks):
    made = plan_of(tasks)
    each = [one for one in map(plan_of, ways_to_share(tasks)) if isinstance(one, WorkPlan)]
    if isinstance(made, Fault):
        assert not each, made
        return
    assert broken(tasks, made, Means()) == ""
    assert made.proven
    assert made.seconds == min(one.seconds for one in each)


@settings(max_examples=150, deadline=None)
@given(shared_jobs(most=12), st.integers(1, 3))
def test_a_shared_plan_never_gives_a_person_two_things_at_once(tasks, helpers):
    means = Means(people={HELPER: helpers})
    made = plan_of(tasks, means)
    if isinstance(made, WorkPlan):
        assert broken(tasks, made, means) == ""


def test_work_that_a_helper_may_do_is_given_while_the_mechanic_has_his_own():
    # By hand: the mechanic has ten minutes of his own, the helper cleans beside it, and both lift at the end.
    tasks = [
        Task("set", 600),
        Task("clean", 420, instead=(HELPER,)),
        Task("label", 120),
        Task("lift", 60, ("set", "clean", "label"), people=(MECHANIC, HELPER)),
    ]
    made = plan_of(tasks)
    assert (made.seconds, made.given, made.proven) == (780, ("clean",), True)
    alone = plan_of([replace(task, instead=()) for task in tasks])
    assert (alone.seconds, alone.given) == (1200, ())
