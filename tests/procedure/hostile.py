"""Files that mean harm, or were never procedures, made when needed. As a script: reads them all, and reports."""

from __future__ import annotations

import json
import sys
import time
from pathlib import Path

GOOD = (Path(__file__).parent / "good" / "bench-check.yaml").read_bytes()
_BOMB = b"".join(b"b%d: &b%d [%s]\n" % (i, i, b",".join([b"*b%d" % (i - 1)] * 9)) for i in range(1, 40))

BYTES: dict[str, bytes] = {
    "alias bomb": b"b0: &b0 [x,x,x,x,x,x,x,x,x]\n" + _BOMB,
    "alias to itself": b"a: &a [*a]\n",
    "ten megabytes": GOOD + b"#" * 10_000_000,
    "binary": bytes(range(1, 256)) * 1000,
    "nul bytes": b"procedure:\n  id: \0\0\0",
    "image": b"\x89PNG\r\n\x1a\n" + bytes(5000),
    "UTF-16": GOOD.decode().encode("utf-16"),
    "UTF-16 without mark": GOOD.decode().encode("utf-16-le"),
    "UTF-32": GOOD.decode().encode("utf-32"),
    "Latin-1": GOOD.replace("·".encode(), b"\xb7"),
    "turned text": GOOD.replace(b"Bench check", "Bench \u202e check".encode()),
    "control sign": GOOD.replace(b"Bench check", b"Bench \x1b[31m check"),
    "deep lists": b"[" * 500_000,
    "deep mappings": b"{a: " * 200_000,
    "deep block lists": b"- " * 400_000,
    "deep in a key": GOOD.replace(b"supplies: []", b"supplies: " + b"[" * 500 + b"]" * 500),
    "half a million values": b"[" + b"a," * 499_000 + b"]",
    "ninety thousand keys": b"\n".join(b"k%d: 1" % i for i in range(90_000)),
    "one key again and again": b"k: 1\n" * 190_000,
    "anchors": b"\n".join(b"- &a%d x" % i for i in range(70_000)),
    "nearly known keys": GOOD + b"".join(b"partz%d: 1\n" % i for i in range(24_000)),
    "long key": b"a" * 900_000 + b": 1",
    "long text": GOOD.replace(b"Bench check", b"x" * 900_000),
    "huge number": GOOD.replace(b"hazard_scheme: ansi", b"hazard_scheme: ansi\n  hours: " + b"9" * 900_000),
    "huge exponent": GOOD.replace(b"hazard_scheme: ansi", b"hazard_scheme: ansi\n  hours: 1e999999999"),
    "not a number": GOOD.replace(b"hazard_scheme: ansi", b"hazard_scheme: ansi\n  hours: .nan"),
    "huge torque": GOOD.replace(b"12 N", b"9" * 5000 + b" N"),
    "huge range of bolts": GOOD.replace(b"bolts: 1-4", b"bolts: 1-999999999"),
    "many ranges of bolts": GOOD.replace(b"bolts: 1-4", b"bolts: [" + b"1-999," * 40_000 + b"]"),
    "many steps": GOOD + b"  - {do: Turn it.}\n" * 12_000,
    "steps that join many things": GOOD
    + b"  - {do: 'Put the x, the put the x, the put the x, and the take the y off.'}\n" * 490
    + b"  - {}\n",
    "steps without an end": GOOD + b"  - {do: '%s'}\n" % (b"take the x and the " * 20) * 490 + b"  - {}\n",
    "object tag": b"procedure: !!python/object/apply:os.system ['echo harm']\n",
    "own tag": b"!procedure\nprocedure: {}\n",
    "second document": GOOD + b"---\n" + GOOD,
    "directive": b"%YAML 1.1\n---\n" + GOOD,
    "huge version": b"%YAML 1." + b"9" * 5000 + b"\n---\na: 1",
    "half a character": b'a: "\\uD800"\nb: "\\UFFFFFFFF"',
    "NUL by escape": GOOD.replace(b"title: Bench check", b'title: "Bench \\0 check"'),
    "quotes": b'"' * 900_000,
    "colons": b": " * 400_000,
    "question marks": b"? " * 400_000,
    "percent signs": b"%" * 900_000,
    "bars": b"|\n" * 400_000,
    "tabs": b"\t" * 900_000,
    "spaces": b" " * 900_000,
    "empty lines": b"\n" * 900_000,
    "comment only": b"#" * 900_000,
    "nothing": b"",
    "list": b"- a\n- b\n",
    "one word": b"hello",
    "lists as keys": b"? [a, b]\n: c\n? {a: b}\n: d\n",
    "no words": b"~: ~\n",
    "every key empty": b"procedure:\npreliminary:\ngroups:\ntimers:\nparts:\nclosing:\n",
    "old line ends": GOOD.replace(b"\n", b"\r") + b"chapters: []\r",
}


def main() -> None:
    """Print, as JSON, the seconds of the processor and the findings of each file, and the peak memory [KiB] of all."""
    from assistant.procedure.format.reader import read_text

    report = {}
    for name, data in BYTES.items():
        start = time.process_time()
        reading = read_text(data, name)
        seconds = time.process_time() - start
        findings = [(finding.line, finding.column, finding.text) for finding in reading.findings]
        report[name] = {"seconds": seconds, "refused": reading.procedure is None, "findings": findings}
    # Not ru_maxrss: that begins with the size of the process which started this one (getrusage(2), seen on Linux).
    status = dict(line.split(":", 1) for line in Path("/proc/self/status").read_text().splitlines())
    json.dump({"files": report, "peak_kib": int(status["VmHWM"].split()[0])}, sys.stdout)


if __name__ == "__main__":
    main()
