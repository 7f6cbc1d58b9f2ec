"""twohand: a model checker for the PLC logic behind two-hand controls.

The command line is ``twohand``. For programs, with the same answers:

    load(path)              the specs of a file, nothing checked yet
    check(path)             every requirement: PROVED, VIOLATED, VACUOUS or UNDECIDED
    measure(path)           lags, reactions and on-times of a spec
    faults(path)            which requirement is kept under which fault
    audit(path)             which small changes of the block a spec notices
    inspect(path)           what is wrong in a block whatever it is for
    compare(first, second)  whether two versions of a block show the same

Each answer ``passes`` where the command would end with exit code 0, and only there; as a condition
it is whether it passes: ``assert twohand.check("press.spec")``. ``twohand manual programs`` has a
test to copy.

``help(twohand.results)`` describes the answers: frozen, made of numbers, words and tuples; times
are whole nanoseconds. An input that cannot be used raises ``InputError``, whose ``diagnostics``
have a ``code``, a ``message``, a ``help`` and a ``span`` (``span.source.path``, ``span.line``) or a
``path``. Any other exception is a mistake in twohand, and nothing is answered.

Worker processes are ended before a function returns. They never import the program that calls:
a script needs no ``if __name__ == "__main__"``.

All other modules are private: they change without notice.
"""

# The rooms, each of which imports only those before it (``specification`` and ``engine`` do not
# know each other):
#
# - ``text``: characters, places, comments, diagnostics and their pages
# - ``program``: the typed program, its types and expressions
# - ``syntax``: structured text as a tree
# - ``files``: files on disk, folders as libraries, XML documents
# - ``typecheck``: names and types, from the tree to the typed program
# - ``exchange``: exchange files and their diagrams, as structured text
# - ``scan``: what one scan means, as z3 terms and as a concrete executor
# - ``specification``: the spec language and what it asks
# - ``engine``: transition system and bad term to an answer
# - ``evidence``: answers to evidence, replayed and rechecked
# - ``report``: what all reports share
# - ``record``: what all answers share, as plain data
# - ``analyses``: a folder for each: check, faults, measure, audit, compare, inspect ...
# - ``commands``: the command line; ``api`` and ``results``: the same for programs

__version__ = "0.1.0"
__all__ = [
    "InputError",
    "Outcome",
    "audit",
    "check",
    "compare",
    "faults",
    "inspect",
    "load",
    "measure",
    "results",
]

TYPE_CHECKING = False  # for readers of types; ``typing`` itself would have to be loaded
if TYPE_CHECKING:
    from twohand import results
    from twohand.api import audit, check, compare, faults, inspect, load, measure
    from twohand.evidence.verdict import Outcome
    from twohand.text.diagnostic import InputError

_PLACES = {"InputError": "text.diagnostic", "Outcome": "evidence.verdict", "results": "results"}


def __getattr__(name: str) -> object:
    """A public name, loaded when it is first used: ``import twohand`` loads no solver."""
    if name not in __all__:
        raise AttributeError(f"module 'twohand' has no attribute '{name}'")
    from importlib import import_module

    place = import_module(f"twohand.{_PLACES.get(name, 'api')}")
    return place if name == "results" else getattr(place, name)


def __dir__() -> list[str]:
    return [*__all__, "__version__"]
