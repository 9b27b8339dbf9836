"""No module is longer than a person reads at once, neither of the program nor of its tests."""

from pathlib import Path

from tests.bench.rooms import MOST_LINES, PACKAGE, lines_of_modules


def test_no_module_is_too_long():
    lines = lines_of_modules() | {
        f"tests/{name}": count for name, count in lines_of_modules(Path(__file__).parent).items()
    }
    assert len(lines) > 500, f"{PACKAGE} is looked at, and the tests"
    assert {name: count for name, count in lines.items() if count > MOST_LINES} == {}
