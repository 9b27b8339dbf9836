"""The bench's own arithmetic: on sounds whose times are known because they were put there, it finds those times."""

from __future__ import annotations

import os
import subprocess
import sys

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.bench import rooms
from tests.bench.figures import Figure, spread
from tests.bench.listening import cpu_s, memory_mb
from tests.bench.sound_times import STEP_S, found_at, reply_start, word_end, zero_time

HZ = 48_000


def room(seconds: float, level_db: float = -58.0) -> np.ndarray:
    return np.random.default_rng(1).standard_normal(round(seconds * HZ)) * 10 ** (level_db / 20)


def sound(samples: np.ndarray) -> np.ndarray:
    return np.rint(32767 * samples).astype(np.int16)


@pytest.mark.parametrize("ends", [0.9, 1.2345])
def test_the_end_of_a_word_is_found_within_one_step(ends: float) -> None:
    samples = room(2.0)
    first, last = round(0.5 * HZ), round(ends * HZ)
    samples[first:last] += 0.3 * np.sin(2 * np.pi * 300 * np.arange(last - first) / HZ)
    found = word_end(sound(samples), HZ)
    assert found == pytest.approx(ends, abs=STEP_S)
    assert found >= ends - 1e-9  # never too early: that would flatter the figure by hiding time


def test_a_quiet_tail_of_a_word_belongs_to_it() -> None:
    samples = room(2.0)
    t = np.arange(round(0.6 * HZ)) / HZ
    fading = 0.4 * 10 ** (-60 * t / 20) * np.sin(2 * np.pi * 300 * t)  # 60 dB a second
    samples[HZ // 2 : HZ // 2 + t.size] += fading
    # By arithmetic: -11 dBFS (a sine of 0.4) falls to -48 dBFS, 10 dB over the floor, after 37 / 60 s; the tail is cut
    # off at 0.6 s, when it is still 1 dB over that.
    assert word_end(sound(samples), HZ) == pytest.approx(1.1, abs=0.03)


def test_a_room_without_a_word_has_no_end_of_a_word() -> None:
    assert word_end(sound(room(1.0)), HZ) is None


def test_the_start_of_a_reply_is_found_to_the_sample() -> None:
    samples = np.zeros(HZ, dtype=np.int16)
    samples[12_345:] = 500
    assert reply_start(samples, HZ) == pytest.approx(12_345 / HZ, abs=0.5 / HZ)
    assert reply_start(np.zeros(HZ, dtype=np.int16), HZ) is None


def test_two_clocks_are_laid_over_each_other_in_spite_of_late_pieces() -> None:
    # A stream that began at 100.0 s; pieces of 10 ms come up to 80 ms late, one of them at once.
    random = np.random.default_rng(2)
    counts = np.arange(1, 400) * HZ // 100
    late = random.uniform(0.001, 0.08, counts.size)
    late[200] = 0.0
    arrivals = [(100.0 + count / HZ + delay, int(count)) for count, delay in zip(counts, late, strict=True)]
    assert zero_time(arrivals, HZ) == pytest.approx(100.0, abs=1e-6)


def test_a_figure_is_held_to_its_limit() -> None:
    assert Figure("delay", 299.9, "ms", 300).is_kept
    assert not Figure("delay", 300.0, "ms", 300).is_kept
    median, p95 = spread("delay", [float(n) for n in range(1, 102)], "ms", 52, 90)
    # The median and 95th percentile of 1 to 101 are 51 and 96.
    assert (median.value, p95.value) == (51, 96)
    assert median.is_kept
    assert not p95.is_kept


def test_processor_time_and_memory_of_a_child_count_as_its_parents() -> None:
    child = (
        "import time\nheld = bytes(range(256)) * 400_000\nwhile time.process_time() < 0.3: pass\nprint(flush=True)\n"
    )
    parent = f"import subprocess, sys\nsubprocess.run([sys.executable, '-c', {child + 'time.sleep(30)'!r}])"
    process = subprocess.Popen([sys.executable, "-c", parent], stdout=subprocess.PIPE, start_new_session=True)
    try:
        assert process.stdout
        process.stdout.readline()
        assert 0.25 < cpu_s(process.pid) < 2.0
        assert 102 < memory_mb(process.pid) < 180  # 102.4 MB are held, and two interpreters
    finally:
        os.killpg(process.pid, 9)
        process.wait()
        process.stdout.close()


GRAPHS = st.dictionaries(st.sampled_from("abcdefg"), st.sets(st.sampled_from("abcdefg")), max_size=7)


@given(GRAPHS)
def test_circles_are_those_that_walking_every_way_finds(arrows: dict[str, set[str]]) -> None:
    def reached(start: str) -> set[str]:
        seen: set[str] = set()
        ahead = set(arrows.get(start, ()))
        while ahead:
            seen |= ahead
            ahead = {far for near in ahead for far in arrows.get(near, ())} - seen
        return seen

    ways = {name: reached(name) for name in "abcdefg"}
    walked = {tuple(sorted(b for b in "abcdefg" if b in ways[a] and a in ways[b])) for a in "abcdefg" if a in ways[a]}
    assert sorted(rooms.circles(arrows)) == sorted(circle for circle in walked if len(circle) > 1)


def test_the_figures_of_a_small_package_are_those_that_can_be_counted_by_hand(tmp_path, monkeypatch) -> None:
    package = tmp_path / "planted"
    for name, text in {
        "__init__": "",
        "top": "from planted.low import one\n",
        "low/__init__": "",
        "low/one": "from planted.low import two\n\n\nclass Thing:\n    pass\n",
        "low/two": "from planted.high import three\n\n\nclass Thing:\n    pass\n",
        "high/__init__": "",
        "high/three": "from planted.low import one\n\n\ndef _thing(): ...\n",
        "high/four": "def _thing(): ...\n",
    }.items():
        path = package / f"{name}.py"
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text)
    monkeypatch.syspath_prepend(tmp_path)
    arrows = rooms.arrows_of_modules("planted")
    assert rooms.by_room(arrows) == {"top": {"low"}, "low": {"high"}, "high": {"low"}}
    assert rooms.circles(rooms.by_room(arrows)) == [("high", "low")]
    assert rooms.circles(arrows) == [("planted.high.three", "planted.low.one", "planted.low.two")]
    assert rooms.defined_twice(package) == {"Thing": ["low/one.py", "low/two.py"]}
    assert rooms.lines_of_rooms(rooms.lines_of_modules(package)) == {"(top)": 1, "low": 10, "high": 5}


def test_a_word_is_found_in_a_noise_as_loud_and_nothing_where_it_is_not() -> None:
    random = np.random.default_rng(4)
    word = random.standard_normal(8000) * np.hanning(8000)  # 16 kHz
    noise = word.std() * random.standard_normal(3 * HZ)
    recording = noise.copy()
    recording[60_000 : 60_000 + 24_000] += np.repeat(word, 3)
    found = found_at(np.rint(3000 * recording).astype(np.int16), HZ, np.rint(3000 * word).astype(np.int16), 16_000)
    assert found == pytest.approx(60_000 / HZ, abs=0.001)
    assert found_at(np.rint(3000 * noise).astype(np.int16), HZ, np.rint(3000 * word).astype(np.int16), 16_000) is None
