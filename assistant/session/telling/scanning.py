"""What is said of a code that was read in a job: it is read back, and what it means for the present bolts."""

from __future__ import annotations

from assistant.facts.going import ItemFound
from assistant.facts.scan import MachineSeen, PartHere, ScanDoubt, Scanned, ScanWhat, ToolStands, ToolTaken
from assistant.language.sentence import Sentence
from assistant.scan.meaning import TOOL_MARK
from assistant.session.part import part_of
from assistant.session.places import CardPlace
from assistant.session.scanned import thing_of
from assistant.session.telling.core import Telling, tells
from assistant.session.telling.preparing import card_things
from assistant.session.tools.chosen import choice_at
from assistant.session.tools.named import name_of
from assistant.session.tools.taking import due_of


@tells(Scanned)
def _scanned(t: Telling, fact: Scanned) -> None:
    """Say what was read where nothing more follows from it."""
    t.keeps_last = not any(isinstance(one, ToolTaken) and one.stands is ToolStands.NOW for one in t.facts)
    said = t.language.scans
    match fact.what:
        case ScanWhat.UNKNOWN:
            t.say(*said.unknown(fact.text, fact.doubt, label=fact.text.upper().startswith(TOOL_MARK)))
        case ScanWhat.SEVERAL:
            t.say(said.several([name_of(t, name) for name in fact.names]))
        case ScanWhat.MACHINE if not t.has(MachineSeen):
            t.say(said.machine_unnamed(fact.text), *_doubted(t, fact))
        case ScanWhat.PART if not (t.has(PartHere) or t.has(ItemFound)):
            t.say(said.part(_thing(t, fact.names[0]), again=True))


def _doubted(t: Telling, fact: Scanned) -> list[str]:
    return [t.language.scans.check_doubted()] if fact.doubt is ScanDoubt.NOT_CHECKED else []


def _thing(t: Telling, item: str) -> str:
    thing = thing_of(t, item)
    return name_of(t, item) if thing is None else card_things(t.job, thing[0], t.language)[thing[1] - 1]


@tells(ToolTaken)
def _tool_taken(t: Telling, fact: ToolTaken) -> None:
    """Say the tool back; where another one is for these bolts, which; where it is chosen now, the values with it."""
    if fact.stands is not ToolStands.NOW:  # then the values begin with it
        t.say(t.language.scans.tool(name_of(t, fact.tool), fact.stands))
    choice = choice_at(t)
    if fact.stands in (ToolStands.CANNOT, ToolStands.NAMED_OTHER) and choice is not None:
        t.say(t.language.tools.use(choice.wrench.name))
    if (due := due_of(t, fact.tool)) is not None:
        t.say(t.language.tools.trouble(due))
    if fact.stands is ToolStands.NOW and t.step is not None:
        part_of(t.step).in_unit(t, t.step)


@tells(PartHere)
def _part_here(t: Telling, fact: PartHere) -> None:
    """Say the thing back, and that its card is gone through once all of it was ticked off."""
    if not t.has(ItemFound):
        t.say(t.language.scans.part(_thing(t, fact.item), again=False))
    if _is_all_here(t, fact.place):
        t.say(t.text(Sentence.HINT_NEXT))


def _is_all_here(t: Telling, card: str) -> bool:
    """Return whether everything on ``card`` (key), which the job is at, was ticked off."""
    place = t.place
    if not isinstance(place, CardPlace) or place.key != card or t.unread is not None:
        return False
    return all((card, number) in t.state.here for number in range(1, len(place.things) + 1))


@tells(MachineSeen)
def _machine_seen(t: Telling, fact: MachineSeen) -> None:
    """Say whether it is the machine of the job."""
    given = t.facts[0]
    t.say(t.language.scans.machine(same=fact.same), *(_doubted(t, given) if isinstance(given, Scanned) else ()))
