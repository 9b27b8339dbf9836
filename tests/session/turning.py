"""A procedure with branches and offers, and jobs in which all that belongs to them happens. Invented values."""

from __future__ import annotations

from assistant.facts import Fact
from assistant.procedure.format.reader import read_text
from assistant.procedure.model import Procedure
from tests.session.bench import Bench

LID = """\
# Values are invented for the practice bench of Alder Row: not for use on a vehicle.
procedure:
  id: lid-and-rail
  title: Lid and rail
  revision: 1
  source: Invented for the practice bench of Alder Row training workshop
  machine: Practice plate on the bench
  hazard_scheme: ansi
  values: invented
preliminary:
  conditions: [The plate is clamped to the bench.]
  persons:
    - {kind: mechanic, count: 1}
  support_equipment:
    - {id: lamp, name: hand lamp}
    - {id: puller, name: rail puller}
  supplies: []
  spares:
    - {id: rail, name: slide rail, quantity: 1}
    - {id: hose, name: breather hose, quantity: 1}
  safety: []
chapters:
  - chapter: Look
    steps:
      - id: lid
        do: Open the lid.
        tools: [lamp]
        not_refitted: The lid stays open on the bench.
        offer:
          title: change the breather hose
          why: It is free only with the lid open.
          minutes: 20
          spares: [hose]
          steps:
            - {id: hose-off, do: Pull off the breather hose., not_refitted: A new one goes on.}
            - {id: hose-on, fit: Push on a new breather hose., spare: hose}
      - id: rail-cracks
        check: Is the slide rail free of cracks?
        if no:
          title: change the slide rail
          minutes: 25
          tools: [puller]
          then: again
          steps:
            - {id: rail-out, do: Pull out the slide rail., not_refitted: A new one goes in.}
            - {id: rail-in, fit: Push in a new slide rail., spare: rail}
            - id: rail-moves
              check: Does the new rail move by hand?
              if no:
                title: free the rail
                steps:
                  - {id: rail-free, do: Rub the rail with the lamp on it., tools: [lamp]}
      - id: play
        check: Measure the play of the rail.
        limits: 0.10 to 0.30 mm
        if above:
          title: set the play
          minutes: 10
          extra: yes
          steps:
            - {id: screw-in, do: Turn the set screw in by hand.}
        if below:
          then: stop
          steps:
            - {id: screw-out, do: Turn the set screw out by hand.}
      - {id: wipe, do: Wipe the rail.}
closing:
  - {id: tools-back, check: Are all tools back on the bench?}
"""


def lid_and_rail() -> Procedure:
    """Return the procedure."""
    return read_text(LID.encode(), "lid-and-rail.yaml").usable


def turnings() -> list[Fact]:
    """Return the entries of jobs in which branches open, stop and end, and extra work is granted, declined and done."""
    bench = Bench(lid_and_rail())
    bench.lead_to("lid")
    bench.hears("next", "ask later", "no", "confirmed", "go back", "yes", "go back", "no", "confirmed")
    bench.hears("next", "next", "count two", "count one", "yes")
    bench.hears("go back", "next", "yes")  # it was asked again, and is as it should be
    bench.hears("reading point five", "confirmed", "no", "go back", "reading point two")
    bench.hears("extra work one granted", "the customer", "by telephone", "confirmed", "start extra work", "next")
    bench.hears("next", "count one", "i found something", "the seal weeps", "end note", "it is at step two")
    bench.hears("before it runs", "confirmed", "extra work granted", "the office", "in person", "confirmed")
    bench.hears("extra work three is done", "confirmed")
    bench.hears("i found something", "a mark on the plate", "end note", "only watch it", "confirmed")
    bench.hears("i found something", "a loose clip", "end note")
    bench.wait(120)
    bench.hears("extra work five declined", "confirmed", "finish job", "told", "end note", "confirmed")
    stops = Bench(lid_and_rail())
    stops.lead_to("play")
    stops.hears("reading point zero five", "confirmed", "next", "next", "skip this", "told", "end note", "confirmed")
    stops.hears("go back", "go back", "go back", "reading point five", "confirmed", "go back", "reading point two")
    stops.hears("i found something", "a scratch", "end note", "before it runs", "confirmed")
    stops.hears("finish job", "told", "end note", "confirmed")
    return [fact for bench in (bench, stops) for fact, _ in bench.entries]
