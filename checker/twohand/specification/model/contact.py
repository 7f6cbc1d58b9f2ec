"""Contacts: through which inputs the block sees its hands, and what else can fail beside them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from twohand.program import Expression, Operation, Operator, Read, Variable
from twohand.program.types import BOOL
from twohand.specification.model.specification import Contact, Hand, Lines, Supply
from twohand.specification.problems import REMOVE_ONE, Problems
from twohand.text.diagnostic import wrong
from twohand.text.source_text import Span

PLAIN_ONLY = "write the input itself, or NOT before it"
DEFAULT_SUPPLY = "supply"
"""The name of the one supply of a spec that states none."""


def contacts_of(
    hands: Sequence[Hand], expressions: Mapping[str, Sequence[Expression]], problems: Problems
) -> tuple[Contact, ...]:
    """The contacts of ``hands``, whose ``expressions`` are given by hand name.

    What is no plain input, or is used for two contacts, is a problem.
    """
    found: list[Contact] = []
    taken: dict[Variable, Span] = {}
    for hand in hands:
        for expression in expressions[hand.name]:
            with problems.collected():
                contact = _contact(hand.name, expression)
                key, span, code = contact.input, contact.span, "shared-contact"
                message = f"'{key.name}' is a contact already"
                if problems.is_new(taken, key, span, message, REMOVE_ONE, code):
                    found.append(contact)
    return tuple(found)


def _contact(hand: str, expression: Expression) -> Contact:
    match expression:
        case Read(variable, span) if variable.type == BOOL:
            return Contact(hand, variable, False, span)
        case Operation(Operator.NOT, (Read(variable),), _, span) if variable.type == BOOL:
            return Contact(hand, variable, True, span)
    message = "fault analysis and BOUNCE need contacts that are plain inputs"
    raise wrong("contact-not-plain", message, expression.span, PLAIN_ONLY)


def lines_of(
    contacts: Sequence[Contact],
    inputs: Sequence[Variable],
    driven: Sequence[Variable],
    supplies: Sequence[Supply],
    span: Span,
) -> Lines:
    """``inputs`` are the block's, ``driven`` those of them that plants drive, ``supplies`` those
    that the spec states; ``span`` is the place of one that it does not."""
    ends = [contact.input for contact in contacts]
    named = {variable for supply in supplies for variable in supply.inputs}
    fed = [
        variable
        for variable in inputs
        if variable.type == BOOL
        and variable not in ends
        and (variable in driven or variable in named)
    ]
    known = {*ends, *fed}
    apart = tuple(variable for variable in inputs if variable not in known)
    if supplies:
        without = tuple(v for v in inputs if v in known and v not in named)
        return Lines(tuple(contacts), tuple(fed), tuple(supplies), apart, without)
    if not known:
        return Lines((), (), (), apart)
    one = Supply(DEFAULT_SUPPLY, tuple(v for v in inputs if v in known), span)
    return Lines(tuple(contacts), tuple(fed), (one,), apart)
