"""The tasks of a plan as numbers: blocks, the least times between their starts, and who is taken."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass, field, replace

from assistant.advice.tasks import OF_PEOPLE, Means, Task

Arc = tuple[int, int, int]
"""``(one, other, seconds)``: the other starts at least so many seconds behind the start of the one [s]."""


@dataclass(frozen=True, slots=True)
class Timetable:
    """Starts of the blocks [s], and which of them are ``given`` to others who may do them."""

    starts: list[int]
    given: frozenset[int] = frozenset()


@dataclass(slots=True)
class Net:
    """Blocks of tasks by number, in an order in which they can be done.

    ``members`` are the places of its tasks in each block, with the start of each behind that of the block [s].
    ``arcs`` are least times, ``limits`` most times: the other starts at most so many seconds after the one.
    """

    members: list[list[tuple[int, int]]]
    lengths: list[int]
    earliest: list[int]
    latest: list[int | None]
    """The last start [s]; None where nothing limits it."""
    known: list[bool]
    takes: list[Counter[str]]
    has: dict[str, int]
    instead: dict[int, Counter[str]] = field(default_factory=dict)
    """What a block takes where others do it, by block; none of those that nobody else may do."""
    arcs: list[Arc] = field(default_factory=list)
    limits: list[Arc] = field(default_factory=list)
    before: list[int] = field(default_factory=list)
    """By block, the blocks that must come before it, as the bits of a number."""

    @property
    def size(self) -> int:
        """Return how many blocks there are."""
        return len(self.members)

    def given(self, blocks: Collection[int]) -> Net:
        """Return the net in which these ``blocks`` are done by others, and nothing of that is left to choose."""
        takes = [self.instead[block] if block in blocks else taken for block, taken in enumerate(self.takes)]
        return replace(self, takes=takes, instead={})

    @property
    def surely(self) -> Net:
        """Return the net in which a block takes only what it takes whoever does it: no plan is longer for that."""
        takes = [taken & self.instead.get(block, taken) for block, taken in enumerate(self.takes)]
        return replace(self, takes=takes, instead={})

    @property
    def people_bound(self) -> int:
        """Return how long all people together are at work at least [s]."""
        people = sum(number for name, number in self.has.items() if name.startswith(OF_PEOPLE))
        work = sum(
            length * sum(number for name, number in taken.items() if name.startswith(OF_PEOPLE))
            for length, taken in zip(self.lengths, self.takes, strict=True)
        )
        return -(-work // people) if people else 0

    def forced(self, block: int) -> bool:
        """Return whether every other block must come before or behind this one."""
        mine = self.before[block]
        behind = sum(1 for one in self.before if one >> block & 1)
        return mine.bit_count() + behind == self.size - 1

    def windows(self) -> Iterator[Arc]:
        """Yield the open times: the block that begins it (-1: it runs already), the one that joins, and its last start.

        The last start [s] counts from the start of the block that begins it.
        """
        yield from self.limits
        for block, last in enumerate(self.latest):
            if last is not None:
                yield -1, block, last

    def inside(self, began: int, joins: int) -> list[int]:
        """Return the blocks that must be done in an open time, the one that joins among them."""
        found = []
        for block in range(self.size):
            early = block == joins or self.before[joins] >> block & 1
            if early and block != began and (began < 0 or self.before[block] >> began & 1):
                found.append(block)
        return found

    def tails(self) -> list[int]:
        """Return for each block the longest time from its start to the end of all [s]."""
        found = list(self.lengths)
        outs = defaultdict(list)
        for one, other, seconds in self.arcs:
            outs[one].append((other, seconds))
        for block in reversed(range(self.size)):
            found[block] = max([found[block], *(found[other] + seconds for other, seconds in outs[block])])
        return found

    def heads(self, more: Sequence[Arc] = ()) -> list[int] | None:
        """Return the earliest start of each block [s], with ``more`` arcs; None when a limit cannot be kept.

        Method: differences of times, relaxed until nothing moves (Bellman 1958, Ford 1956; from memory).
        """
        starts = list(self.earliest)
        every = sorted([*self.arcs, *more, *((other, one, -most) for one, other, most in self.limits)])
        for _ in range(self.size + 1):
            moved = False
            for one, other, seconds in every:
                if starts[one] + seconds > starts[other]:
                    starts[other], moved = starts[one] + seconds, True
            if not moved:
                late = any(last is not None and start > last for start, last in zip(starts, self.latest, strict=True))
                return None if late else starts
        return None


def net_of(tasks: Sequence[Task], means: Means) -> Net:
    """Return the net of ``tasks``, which stand in an order in which they can be done.

    Tasks that come one behind the other, and of which each comes before or behind every other task, leave nothing to
    choose: they are one block.
    """
    at = {task.id: number for number, task in enumerate(tasks)}
    before = _before(tasks, at)
    blocks = _blocks(tasks, at, before)
    block_of = {place: number for number, block in enumerate(blocks) for place, _ in block}
    offset = {place: seconds for block in blocks for place, seconds in block}
    net = Net(
        members=blocks,
        lengths=[block[-1][1] + tasks[block[-1][0]].seconds for block in blocks],
        earliest=[max(tasks[place].earliest - seconds for place, seconds in block) for block in blocks],
        latest=[_last_start(tasks, block) for block in blocks],
        known=[all(tasks[place].known for place, _ in block) for block in blocks],
        takes=[_takes(tasks, block, means) for block in blocks],
        has={name: means.of(name) for task in tasks for name in task.takes | task.takes_instead},
        instead={
            number: tasks[block[0][0]].takes_instead
            for number, block in enumerate(blocks)
            if len(block) == 1 and tasks[block[0][0]].instead
        },
    )
    net.earliest = [max(0, seconds) for seconds in net.earliest]
    arcs: dict[tuple[int, int], int] = {}
    for number, task in enumerate(tasks):
        for name, lag in _lags(task).items():
            one, other = block_of[at[name]], block_of[number]
            if one != other:
                seconds = tasks[at[name]].seconds + lag + offset[at[name]] - offset[number]
                arcs[one, other] = max(arcs.get((one, other), seconds), seconds)
        for gap in task.within:
            one, other = block_of[at[gap.task]], block_of[number]
            if one != other:
                most = tasks[at[gap.task]].seconds + gap.seconds - task.seconds + offset[at[gap.task]] - offset[number]
                net.limits.append((one, other, most))
    net.arcs = [(one, other, seconds) for (one, other), seconds in arcs.items()]
    for block in blocks:
        mask = before[block[0][0]]
        net.before.append(sum({1 << block_of[place] for place in range(len(tasks)) if mask >> place & 1}))
    return net


def _lags(task: Task) -> dict[str, int]:
    found = dict.fromkeys((*task.needs, *(gap.task for gap in task.within)), 0)
    for gap in task.after:
        found[gap.task] = max(found.get(gap.task, 0), gap.seconds)
    return found


def _before(tasks: Sequence[Task], at: dict[str, int]) -> list[int]:
    """Return for each task all that come before it, as the bits of a number."""
    found: list[int] = []
    for task in tasks:
        mask = 0
        for name in _lags(task):
            mask |= found[at[name]] | 1 << at[name]
        found.append(mask)
    return found


def _blocks(tasks: Sequence[Task], at: dict[str, int], before: Sequence[int]) -> list[list[tuple[int, int]]]:
    behind = [0] * len(tasks)
    for mask in before:
        for place in range(mask.bit_length()):
            behind[place] += mask >> place & 1
    blocks: list[list[tuple[int, int]]] = []
    last_forced = False
    for number, task in enumerate(tasks):
        forced = before[number].bit_count() + behind[number] == len(tasks) - 1
        own = {tasks[place].id for place, _ in blocks[-1]} if blocks else set()
        # A gap from elsewhere, or an open time that begins here, may have to hold this task back.
        free = not task.earliest and all(gap.task in own for gap in task.after)
        opens = any(gap.task == task.id for one in tasks for gap in one.within)
        if forced and last_forced and free and not opens:
            block, done = blocks[-1], {tasks[place].id: seconds for place, seconds in blocks[-1]}
            start = max(done[name] + tasks[at[name]].seconds + lag for name, lag in _lags(task).items() if name in done)
            block.append((number, start))
        else:
            blocks.append([(number, 0)])
        last_forced = forced
    return blocks


def _last_start(tasks: Sequence[Task], block: Sequence[tuple[int, int]]) -> int | None:
    limits = [
        latest - tasks[place].seconds - seconds
        for place, seconds in block
        if (latest := tasks[place].latest) is not None
    ]
    return min(limits, default=None)


def _takes(tasks: Sequence[Task], block: Sequence[tuple[int, int]], means: Means) -> Counter[str]:
    """Return what a block takes: one of several tasks, beside which nothing can be done, all that there is."""
    if len(block) == 1:
        return tasks[block[0][0]].takes
    return Counter({name: means.of(name) for place, _ in block for name in tasks[place].takes})
