"""What a spec's expressions can name: program variables, hands, constants, and their past."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import TypeVar

from twohand.program import Expression, Literal, Program, Read, Role, Variable
from twohand.program.durations import ONE_SCAN, Scans
from twohand.program.effects import written
from twohand.program.types import BOOL, Enumeration, RealClasses, Type
from twohand.specification.logic.formula import Atom, History
from twohand.specification.phrases import one_line
from twohand.specification.resolving.defined_values import refuse_partial
from twohand.specification.syntax.formulas import AT_SCAN_START, PREV, start_name
from twohand.syntax import tree
from twohand.text.diagnostic import InputError, wrong
from twohand.text.source_text import Span
from twohand.text.suggestions import nearest
from twohand.typecheck.expressions.bits import check_bit
from twohand.typecheck.expressions.expressions import resolve_constant, resolve_expression
from twohand.typecheck.expressions.names import unknown_name
from twohand.typecheck.units.kinds import without_indices

Item = TypeVar("Item", Literal, Enumeration)

LONGEST_PAST = 1000
"""The most scans that ``prev`` looks back; each costs a copy of what it remembers."""


class SpecificationScope:
    """The surroundings of a spec's expressions; ``hands`` can be added as they become known.

    ``variables`` limits what can be read (default: all of the program's). Within ``atom`` the
    function ``prev`` is known. A ``binding`` (of a plant) is read between two scans, where an
    in-out parameter that the block changes has two values; elsewhere it counts by what the body
    leaves in it.
    """

    has_reals = False

    def __init__(
        self,
        program: Program,
        variables: Sequence[Variable] | None = None,
        binding: bool = False,
    ) -> None:
        self.program = program
        self._binding = binding
        self.hands: dict[str, tuple[str, Expression]] = {}
        chosen = program.variables if variables is None else variables
        self._variables = {variable.name.casefold(): variable for variable in chosen}
        self._histories: list[History] | None = None
        self._names_used: dict[str, int] = {}
        self._changed: set[Variable] | None = None
        self._at_start = False

    def add_hand(self, name: tree.Identifier, pressed: Expression) -> None:
        self.hands[name.text.casefold()] = (name.text, pressed)

    def variable(self, name: tree.Name | tree.AccessPath | tree.Identifier) -> Variable | None:
        text = (
            self._written(name, name.selectors) if isinstance(name, tree.AccessPath) else name.text
        )
        return self._variables.get(self._true_name(text))

    def names(self) -> list[str]:
        """Everything that can be named, for the nearest right name."""
        values = [value for kind in self.program.enumerations.values() for value, _ in kind.values]
        return [
            *(each.name for each in self._variables.values() if not each.uncomputed),
            *(name for name, _ in self.hands.values()),
            *self.program.constants,
            *values,
        ]

    # --- what ``resolve_expression`` asks ---------------------------------------------------

    def resolve_name(self, name: tree.Name, expected: Type | None) -> Expression:
        key = self._true_name(name.text)
        if key in self.hands:
            return self.hands[key][1]
        if key in self._variables:
            return Read(self._settled(self._variables[key], name.span), name.span)
        constant = _find(self.program.constants, key)
        if constant is not None:
            return Literal(constant.value, constant.type, name.span)
        return self._enumeration_value(name, expected)

    def resolve_path(self, path: tree.AccessPath, expected: Type | None) -> Expression:
        """An element with constant indices, or a bit; InputError where there is none."""
        last = path.selectors[-1]
        bit = last if isinstance(last, tree.Bit) else None
        key = self._written(path, path.selectors[:-1] if bit is not None else path.selectors)
        variable = self._variables.get(self._true_name(key))
        constant = _find(self.program.constants, key.casefold())
        if variable is not None:
            whole: Expression = Read(self._settled(variable, path.span), path.span)
        elif constant is not None:
            whole = Literal(constant.value, constant.type, path.span)
        else:
            raise self._missing(path)
        return whole if bit is None else check_bit(whole, bit, path.span)

    def _written(self, path: tree.AccessPath, selectors: Sequence[tree.Selector]) -> str:
        """A path as the variable at its end is named."""
        return path.name.text + "".join(self._selected(selector) for selector in selectors)

    def _selected(self, selector: tree.Selector) -> str:
        """The selector as it is in a variable's name."""
        if isinstance(selector, tree.Identifier):
            return f".{selector.text}"
        if isinstance(selector, tree.Bit):
            return f".{selector.number}"
        indices = [resolve_constant(index, self) for index in selector.expressions]
        return f"[{','.join(str(int(index.value)) for index in indices)}]"

    def _true_name(self, name: str) -> str:
        """The name, for a further one of a variable, by which the program knows it."""
        key = name.casefold()
        return self.program.aliases.get(key, key).casefold()

    def _settled(self, variable: Variable, span: Span) -> Variable:
        """The variable, or that of its value at the beginning of the scan where that is meant; in
        a binding only if it has one value between two scans. InputError for a reading of the
        clock and for a REAL."""
        if variable.keeps_clock:
            raise wrong(
                "clock-reading",
                f"'{variable.name}' keeps a reading of the clock, which by itself says nothing",
                span,
                "let the block keep the difference of two readings in a variable, and name that",
            )
        if isinstance(variable.type, RealClasses):
            raise wrong(
                "unsupported-real",
                f"'{variable.name}' is of type {variable.type.name}, of which a formula cannot say "
                "anything: its values are told apart by the block's comparisons only",
                span,
                "let the block keep a comparison in a BOOL, and name that",
            )
        if self._at_start:
            return self._as_begun(variable, span)
        if not self._binding:
            return variable
        if self._changed is None:
            in_outs = set(self.program.inputs) - set(self.program.sampled)
            self._changed = in_outs & set(written(self.program.routine)) if in_outs else set()
        if variable in self._changed:
            raise wrong(
                "in-out-changed",
                f"'{variable.name}' is an in-out parameter that the block changes, so it is one "
                "thing as sampled and another at the end of the scan",
                span,
                "make it a VAR_OUTPUT, or a VAR_INPUT and copy it",
            )
        return variable

    def resolve_call(self, call: tree.Call, expected: Type | None) -> Expression | None:
        if call.name.text.upper() == AT_SCAN_START:
            return self._with_begun(call, expected)
        if call.name.text.upper() != PREV:
            return None
        operand, count = previous_arguments(call)
        if self._at_start:
            way = "write prev(at_scan_start(x))"
            raise wrong(
                "past-not-allowed", "'prev' cannot occur in 'at_scan_start'", call.span, way
            )
        if self._histories is None:
            way = "say here how things are now"
            raise wrong("past-not-allowed", "'prev' may occur only in formulas", call.span, way)
        return self._remember(resolve_expression(operand, self, expected), count, call.span)

    def find_enumeration(self, name: tree.Identifier) -> Enumeration | None:
        return _find(self.program.enumerations, name.text.casefold())

    def function_names(self) -> Iterable[str]:
        return ("prev", "rose", "fell", "stable", "once", "held", "since", "at_scan_start")

    def _with_begun(self, call: tree.Call, expected: Type | None) -> Expression:
        """``at_scan_start(e)``: ``e`` with the values with which the scan begins."""
        operands = [argument.value for argument in call.arguments if argument.name is None]
        if len(operands) != 1 or len(call.arguments) != 1:
            message, way = "'at_scan_start' takes one expression", "write at_scan_start(x)"
            raise wrong("wrong-arguments", message, call.span, way)
        if self._histories is None or self._at_start:
            message = "'at_scan_start' may occur only in formulas, and not in itself"
            raise wrong("past-not-allowed", message, call.span, "name a variable here")
        self._at_start = True
        try:
            return resolve_expression(operands[0], self, expected)
        finally:
            self._at_start = False

    def _as_begun(self, variable: Variable, span: Span) -> Variable:
        """What has its value at the beginning of the scan; an input is what was sampled."""
        found = self._variables.get(start_name(variable.name).casefold())
        if found is not None:
            return found
        if variable.role is Role.INPUT:
            return variable
        message = f"'{variable.name}' has no value with which the block begins a scan"
        way = "name a variable of the block that keeps its value between scans, or write prev(x)"
        raise wrong("no-value-at-start", message, span, way)

    # --- atoms ------------------------------------------------------------------------------

    def atom(self, node: tree.Expression) -> Atom:
        """The Boolean expression with what it remembers; InputError where it is not BOOL."""
        expression, histories = self.with_past(node, BOOL)
        return Atom(boolean(expression, node.span), histories)

    def with_past(
        self, node: tree.Expression, expected: Type | None
    ) -> tuple[Expression, tuple[History, ...]]:
        """A typed expression in which ``prev`` may occur, and the histories it reads; InputError
        where either may lack a value."""
        self._histories = []
        try:
            expression = resolve_expression(node, self, expected)
            histories = tuple(self._histories)
        finally:
            self._histories = None
        for part in (*(history.expression for history in histories), expression):
            refuse_partial(part)
        return expression, histories

    def history(self, expression: Expression, count: Scans, span: Span) -> History:
        """What ``expression`` was ``count`` scans before, under a name of its own."""
        text = f"prev({one_line(expression.span.text)}{f', {count}' if count > 1 else ''})"
        number = self._names_used[text] = self._names_used.get(text, 0) + 1
        name = text if number == 1 else f"{text}~{number}"
        initial = False if expression.type == BOOL else 0
        variable = Variable(name, expression.type, Role.LOCAL, initial, span)
        return History(variable, expression, count)

    def _remember(self, expression: Expression, count: Scans, span: Span) -> Expression:
        history = self.history(expression, count, span)
        if self._histories is not None:
            self._histories.append(history)
        return Read(history.variable, span)

    def _missing(self, name: tree.Name | tree.AccessPath) -> InputError:
        """The error for a name that the program does not have, or that the model leaves out."""
        text = without_indices(name.text).casefold()
        for note in self.program.left_out:
            missing = (note.variable or "").casefold()
            if missing and (text == missing or text.startswith((f"{missing}.", f"{missing}["))):
                message = f"'{name.text}' is left out of the model: {note.what}"
                way = "say it over variables of BOOL, integer or TIME types"
                return wrong("left-out", message, name.span, way)
        kinds = {key.casefold(): kind for key, kind in self.program.real_constants.items()}
        if text in kinds:
            message = f"'{name.text}' is a {kinds[text]}, of which a formula cannot say anything"
            way = "let the block keep a comparison in a BOOL, and name that"
            return wrong("unsupported-real", message, name.span, way)
        return unknown(name, self.names(), "name")

    def _enumeration_value(self, name: tree.Name, expected: Type | None) -> Expression:
        parts = [part.text.casefold() for part in name.parts]
        kinds = [
            (kind, number)
            for title, kind in self.program.enumerations.items()
            for value, number in kind.values
            if value.casefold() == parts[-1] and parts[:-1] in ([], [title.casefold()])
        ]
        if len(kinds) > 1 and isinstance(expected, Enumeration):
            kinds = [(kind, number) for kind, number in kinds if kind == expected]
        if not kinds:
            raise self._missing(name)
        if len(kinds) > 1:
            choices = " or ".join(f"{kind.name}#{name.text}" for kind, _ in kinds)
            message = f"'{name.text}' is a value of several enumerations"
            raise wrong("ambiguous-name", message, name.span, f"write {choices}")
        kind, number = kinds[0]
        return Literal(number, kind, name.span)


def unknown(
    name: tree.Name | tree.AccessPath | tree.Identifier, names: Iterable[str], what: str
) -> InputError:
    """The error for a name that the program does not have, with the nearest one."""
    known = list(names)
    if nearest(name.text, known):
        return unknown_name(name, known, what)
    shown = ", ".join(f"'{each}'" for each in known[:8])
    help_text = f"there is {shown}" + (" ..." if len(known) > 8 else "") if known else ""
    message = f"unknown {what} '{name.text}'"
    return wrong("unknown-name", message, name.span, help_text)


def boolean(expression: Expression, span: Span) -> Expression:
    """The expression, if it is BOOL; else InputError."""
    if expression.type != BOOL:
        message = f"this is {expression.type.name}, but a formula is BOOL"
        raise wrong("not-boolean", message, span, "compare it with something")
    return expression


def previous_arguments(call: tree.Call) -> tuple[tree.Expression, Scans]:
    """The operand and the count of ``prev(e)`` or ``prev(e, n)``."""
    values = [argument.value for argument in call.arguments if argument.name is None]
    if len(values) != len(call.arguments) or len(values) not in (1, 2):
        message = "'prev' takes an expression and, if wanted, a number of scans"
        raise wrong("wrong-arguments", message, call.span, "write prev(x) or prev(x, 2)")
    if len(values) == 1:
        return values[0], ONE_SCAN
    number = values[1]
    if not isinstance(number, tree.Literal) or number.type is not None:
        way = "write prev(x, 2)"
        raise wrong("not-a-number", "'prev' counts scans in a whole number", number.span, way)
    return values[0], past_count(int(number.value), number.span)


def past_count(count: int, span: Span) -> Scans:
    """``count``, if ``prev`` can look that far back."""
    if not 1 <= count <= LONGEST_PAST:
        message = f"'prev' looks 1 to {LONGEST_PAST} scans back, not {count}"
        raise wrong("count-out-of-range", message, span, "prev(x) is what x was one scan before")
    return Scans(count)


def _find(mapping: Mapping[str, Item], key: str) -> Item | None:
    return next((item for name, item in mapping.items() if name.casefold() == key), None)
