"""What an expression needs to know of its surroundings, and help with names that are unknown."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Protocol, TypeVar

from twohand.program.types import Enumeration, Type
from twohand.syntax import tree
from twohand.text.diagnostic import InputError, wrong
from twohand.text.suggestions import nearest
from twohand.typecheck.expressions.widening import Result

Item = TypeVar("Item")
Outcome = TypeVar("Outcome")


class Scope(Protocol):
    """Resolves what an expression names. The blocks have one (``declarations``), a spec another
    (with the names of hands and the past)."""

    has_reals: bool
    """Whether what is made of REALs may be a value that nobody computes."""

    def resolve_name(self, name: tree.Name, expected: Type | None) -> Result:
        """The value that a possibly dotted name means; ``expected`` only helps to tell equal
        enumeration values apart. InputError (``unknown_name``) where there is none."""

    def resolve_path(self, path: tree.AccessPath, expected: Type | None) -> Result:
        """The value of an element or a bit; InputError where there is none."""

    def resolve_call(self, call: tree.Call, expected: Type | None) -> Result | None:
        """A call of a function of one's own; None lets the standard's functions have it."""

    def find_enumeration(self, name: tree.Identifier) -> Enumeration | None:
        """The enumeration type of this name, in any letter case."""

    def function_names(self) -> Iterable[str]:
        """The functions of one's own, to offer the nearest for an unknown one."""


def joined(errors: Iterable[InputError]) -> InputError:
    """One error for several. It may be without diagnostics, where all that is wrong follows from
    what is reported elsewhere."""
    return InputError([problem for error in errors for problem in error.diagnostics])


def each(items: Iterable[Item], resolve: Callable[[Item], Outcome]) -> list[Outcome]:
    """``resolve`` on every item; one InputError with what is wrong with any of them."""
    outcomes: list[Outcome] = []
    errors: list[InputError] = []
    for item in items:
        try:
            outcomes.append(resolve(item))
        except InputError as error:
            errors.append(error)
    if errors:
        raise joined(errors)
    return outcomes


def unknown_name(
    name: tree.Name | tree.AccessPath | tree.Identifier,
    names: Iterable[str],
    what: str = "name",
    code: str = "unknown-name",
    owner: str = "",
) -> InputError:
    """The error for a name that nothing bears, with the nearest of those that exist; what an
    ``owner`` has is listed where none is near, since nobody can declare more of it there."""
    known = list(names)
    close = nearest(name.text, known)
    way = f"declare '{name.text}' first"
    if owner:
        way = f"{owner} has {', '.join(known) or 'none'}"
    message = f"unknown {what} '{name.text}'{f' of {owner}' if owner else ''}"
    return wrong(code, message, name.span, f"did you mean '{close}'?" if close else way)
