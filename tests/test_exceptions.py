"""Every exception of the project can be raised where Python code raises: inside of a context manager, too."""

import contextlib
import importlib
import inspect
import pkgutil

import pytest

import assistant
from assistant.bay.refusing import guarded
from assistant.terminal.exits import Exit, Refusal


def exceptions_of_ours():
    found = set()
    for module in pkgutil.walk_packages(assistant.__path__, "assistant."):
        if module.name != "assistant.__main__":
            members = vars(importlib.import_module(module.name)).values()
            found |= {one for one in members if inspect.isclass(one) and issubclass(one, BaseException)}
    return sorted((one for one in found if one.__module__.startswith("assistant.")), key=str)


@contextlib.contextmanager
def closing():
    yield


def test_each_comes_out_of_a_context_manager_as_itself():
    kinds = exceptions_of_ours()
    assert len(kinds) > 5
    for kind in kinds:
        comes_out_as_itself(kind)


def comes_out_as_itself(kind):
    """contextlib sets ``__traceback__`` and pickle-free tools ``__notes__``: a frozen dataclass refuses both."""
    given = {"sentence": "a sentence", "code": Exit.USAGE}
    own = kind.__init__ is not Exception.__init__
    taken = inspect.signature(kind.__init__).parameters.values() if own else ()
    needed = [one.name for one in taken if one.name != "self" and one.default is one.empty] if own else ["sentence"]
    raised = kind(*(given.get(name, "a sentence") for name in needed))
    with pytest.raises(kind) as caught, closing():
        raise raised
    caught.value.add_note("more")
    assert caught.value is raised


def test_a_refusal_inside_a_context_manager_is_a_sentence_with_its_code(capsys):
    def work():
        with closing():
            raise Refusal("This cannot be.", Exit.OUTPUT)

    assert guarded(work) is Exit.OUTPUT
    assert capsys.readouterr().err == "This cannot be.\n"
