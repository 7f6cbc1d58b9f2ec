"""What types and initial values in declarations mean."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from contextlib import suppress
from math import prod

from twohand.program import Literal, StandardBlock
from twohand.program.types import LINT, BitString, Boolean, Enumeration, Integer, Subrange, Type
from twohand.syntax import tree
from twohand.text.diagnostic import InputError, wrong
from twohand.text.source_text import Span
from twohand.typecheck.expressions.expressions import infer, resolve_constant
from twohand.typecheck.expressions.names import Scope, unknown_name
from twohand.typecheck.expressions.widening import NotModelled, Result, Untyped
from twohand.typecheck.reals.numbers import FORMATS, RealNumber, whole_number
from twohand.typecheck.units.duplicates import duplicate
from twohand.typecheck.units.kinds import (
    Array,
    Initial,
    Kind,
    KnownType,
    Member,
    Structure,
    UnmodelledType,
    kind_name,
)

MOST_ELEMENTS = 10_000
MOST_DIMENSIONS = 3


class TypeReader:
    """Reads types where ``scope`` knows the constants and ``named`` the types by their names;
    ``enumerations`` are those that it met without a name of their own."""

    def __init__(self, named: Callable[[tree.NamedType], KnownType], scope: Scope) -> None:
        self.named = named
        self.scope = scope
        self.enumerations: list[Enumeration] = []

    def known(self, node: tree.TypeNode, title: str) -> KnownType:
        """The kind and its initial value; ``title`` is the name of a type that has none.
        InputError for everything wrong in it."""
        match node:
            case tree.NamedType():
                return self.named(node)
            case tree.EnumerationType():
                return self._enumeration(node, title)
            case tree.SubrangeType():
                return self._subrange(node)
            case tree.ArrayType():
                return self._array(node, title)
            case tree.StructureType():
                return self._structure(node, title)
            case tree.StringType():
                return KnownType(UnmodelledType(node.name.key), None)

    def _enumeration(self, node: tree.EnumerationType, title: str) -> KnownType:
        """Of a value list; a value without number follows the one before it."""
        if node.base is not None and isinstance(self.named(node.base).type, tree.Unit):
            message = (
                f"the checker does not read arguments behind '{node.base.name.text}', which go "
                "to a method that the platform calls at start"
            )
            way = f"give initial values: {node.base.name.text} := (input := value)"
            raise wrong("unsupported-initial-method", message, node.span, way)
        values: list[tuple[str, int]] = []
        taken: dict[str, tree.Identifier] = {}
        following = 0
        for item in node.items:
            problem = duplicate(item.name, taken)
            if problem is not None:
                raise InputError(problem)
            taken[item.name.key] = item.name
            if item.value is not None:
                following = int(resolve_constant(item.value, self.scope, LINT).value)
            values.append((item.name.text, following))
            following += 1
        kind = Enumeration(title, tuple(values))
        if node.base is not None:
            check_base(kind, self.named(node.base).type, node.base.span)
        if kind not in self.enumerations:
            self.enumerations.append(kind)
        return KnownType(kind, values[0][1])

    def _subrange(self, node: tree.SubrangeType) -> KnownType:
        base = self.named(node.base).type
        if not isinstance(base, Integer) or isinstance(base, Subrange):
            message = f"a subrange is one of an integer type, not of {kind_name(base)}"
            raise wrong("type-mismatch", message, node.base.span, "write for instance INT (0..10)")
        low, high = self._limits(node.low, node.high, base, node.span)
        name = f"{base.name} ({low}..{high})"
        kind = Subrange(name, base.bits, base.signed, low, high, base)
        # The standard begins at the first limit (Ed. 2, 2.3.3.2, from memory), platforms at 0.
        return KnownType(kind, 0 if low == 0 else None)

    def _limits(
        self, low: tree.Expression, high: tree.Expression, kind: Type, span: Span
    ) -> tuple[int, int]:
        first = int(resolve_constant(low, self.scope, kind).value)
        last = int(resolve_constant(high, self.scope, kind).value)
        if first > last:
            message = f"the range {first}..{last} is empty"
            raise wrong("empty-range", message, span, f"write {last}..{first}")
        return first, last

    def _array(self, node: tree.ArrayType, title: str) -> KnownType:
        if len(node.bounds) > MOST_DIMENSIONS:
            message = f"an array has at most {MOST_DIMENSIONS} dimensions, not {len(node.bounds)}"
            raise wrong("unsupported-array", message, node.span, "use an array of arrays")
        bounds = tuple(self._limits(b.low, b.high, LINT, b.span) for b in node.bounds)
        element = self.known(node.element, title)
        kind = Array(bounds, element.type)
        if _elements(kind) > MOST_ELEMENTS:
            message = f"this array has more than {MOST_ELEMENTS} elements in all"
            raise wrong("array-too-large", message, node.span, "declare as many as the logic needs")
        return KnownType(kind, (element.initial,) * kind.count)

    def _structure(self, node: tree.StructureType, title: str) -> KnownType:
        members, taken = self._inherited(node.base)
        for declaration in node.members:
            if declaration.address is not None:
                message = "a member of a structure has no address of its own"
                way = "declare a variable with this address"
                raise wrong("unsupported-address", message, declaration.address.span, way)
            known = self.declared(declaration, f"{title}.{declaration.names[0].text}")
            for name in declaration.names:
                problem = duplicate(name, taken)
                if problem is not None:
                    raise InputError(problem)
                taken[name.key] = name
                members[name.key] = Member(name.text, known.type, known.initial)
        kind = Structure(title, members)
        return KnownType(kind, {key: member.initial for key, member in members.items()})

    def _inherited(
        self, base: tree.Identifier | None
    ) -> tuple[dict[str, Member], dict[str, tree.Identifier]]:
        """The members of the structure that another one extends, and their names as taken."""
        if base is None:
            return {}, {}
        kind = self.named(tree.NamedType(base, base.span)).type
        if not isinstance(kind, Structure):
            message = f"a structure extends a structure, not {kind_name(kind)}"
            way = "name a structure, or make it a member"
            raise wrong("type-mismatch", message, base.span, way)
        names = {key: tree.Identifier(part.name, base.span) for key, part in kind.members.items()}
        return dict(kind.members), names

    def declared(self, declaration: tree.Declaration, title: str) -> KnownType:
        """The kind of what a declaration declares, with the initial value that it gives."""
        known = self.known(declaration.type, title)
        node: tree.InitialNode | None = declaration.initial
        if declaration.pins:
            node = tree.PinValues(declaration.pins, declaration.span)
        return self.with_initial(known, node)

    # --- initial values -----------------------------------------------------------------------

    def with_initial(self, known: KnownType, node: tree.InitialNode | None) -> KnownType:
        """The known type with the initial value written here, if one is."""
        if node is None:
            return known
        return KnownType(known.type, self._initial(node, known.type, known.initial))

    def _initial(self, node: tree.InitialNode, kind: Kind, default: Initial) -> Initial:
        match kind:
            case UnmodelledType():
                return self._number(node, kind.name)
            case Structure():
                return self._members(node, kind, default)
            case Array():
                return self._elements(node, kind, default)
            case StandardBlock() | tree.Unit():
                return _pins(node)
        if isinstance(node, tree.PinValues | tree.ArrayValues):
            way = "write name : TYPE := value;"
            raise _wrong(f"a value of {kind.name} is no list", node.span, way)
        values = kind.values if isinstance(kind, Enumeration) else ()
        if isinstance(node, tree.Name) and len(node.parts) == 1:
            for name, value in values:
                if name.upper() == node.parts[0].key:
                    return value
        return resolve_constant(node, self.scope, kind).value

    def _number(self, node: tree.InitialNode, name: str) -> RealNumber | None:
        """What a variable of REAL or LREAL begins with, where that is a number as it is written;
        nothing else is asked of such a value."""
        if name not in FORMATS or isinstance(node, tree.PinValues | tree.ArrayValues):
            return None
        result: Result | None = None
        with suppress(InputError):
            result = infer(node, self.scope)
        if isinstance(result, Untyped):
            return whole_number(result.value).declared(name)
        if not isinstance(result, NotModelled) or not isinstance(result.real, RealNumber):
            return None
        return result.real.declared(name)

    def _members(self, node: tree.InitialNode, kind: Structure, default: Initial) -> Initial:
        assert isinstance(default, Mapping)
        if not isinstance(node, tree.PinValues):
            way = f"write ({next(iter(kind.members.values())).name} := ...)" if kind.members else ""
            raise _wrong(f"'{kind.name}' is a structure", node.span, way)
        values = dict(default)
        given: set[str] = set()
        for pin in node.values:
            member = kind.members.get(pin.name.key)
            if member is None:
                names = [m.name for m in kind.members.values()]
                raise unknown_name(pin.name, names, "member", "unknown-member", f"'{kind.name}'")
            if pin.name.key in given:
                message = f"'{pin.name.text}' is given twice"
                raise wrong("duplicate-argument", message, pin.span, "remove one of them")
            given.add(pin.name.key)
            values[pin.name.key] = self._initial(pin.value, member.kind, values[pin.name.key])
        return values

    def _elements(self, node: tree.InitialNode, kind: Array, default: Initial) -> Initial:
        assert isinstance(default, tuple)
        if not isinstance(node, tree.ArrayValues):
            message = "an array has a list of values"
            raise _wrong(message, node.span, "write for instance [1, 2, 3(0)]")
        given: list[Initial] = [*default]
        return tuple(self._spread(node.values, kind, kind.sizes, given, node.span))

    def _spread(
        self,
        nodes: Sequence[tree.ArrayValue],
        kind: Array,
        sizes: tuple[int, ...],
        default: Sequence[Initial],
        span: Span,
    ) -> list[Initial]:
        """The values of the dimensions with these sizes; what is not given is as in ``default``."""
        values: list[Initial] = []
        too_many = f"there are more values than {len(default)}"

        def add(node: tree.ArrayValue) -> None:
            at = len(values)
            node = self._repetition(node)
            if isinstance(node, tree.Repeated):
                count = int(resolve_constant(node.count, self.scope, LINT).value)
                if count > len(default):
                    raise _wrong(too_many, node.span, "repeat less")
                for _ in range(count):
                    if not node.values:
                        values.extend(default[len(values) : len(values) + 1])
                    for inner in node.values:
                        add(inner)
            elif isinstance(node, tree.ArrayValues) and len(sizes) > 1:
                row = default[at : at + prod(sizes[1:])]
                values.extend(self._spread(node.values, kind, sizes[1:], row, node.span))
            elif at < len(default):
                values.append(self._initial(node, kind.element, default[at]))
            else:
                raise _wrong(too_many, span, "remove some")

        for node in nodes:
            add(node)
            if len(values) > len(default):
                raise _wrong(too_many, span, "remove some")
        return [*values, *default[len(values) :]]

    def _repetition(self, node: tree.ArrayValue) -> tree.ArrayValue:
        """``count(0)`` with a constant ``count`` looks like a call."""
        if not isinstance(node, tree.Call) or node.unconnected:
            return node
        if any(part.name for part in node.arguments):
            return node
        try:
            count = self.scope.resolve_name(node.name, LINT)
        except InputError:
            return node
        if not isinstance(count, Literal):
            return node
        values = tuple(part.value for part in node.arguments)
        return tree.Repeated(node.name, values, node.span)


def _pins(node: tree.InitialNode) -> tuple[tree.PinValue, ...]:
    if isinstance(node, tree.PinValues):
        return node.values
    message = "an instance of a block has pin values, not a value"
    raise _wrong(message, node.span, "write for instance name : TON := (PT := T#1s);")


def _elements(kind: Kind) -> int:
    match kind:
        case Array():
            return kind.count * _elements(kind.element)
        case Structure():
            return sum(_elements(member.kind) for member in kind.members.values())
    return 1


def _wrong(message: str, span: Span, help_text: str = "") -> InputError:
    return wrong("wrong-initial-value", message, span, help_text)


def without_initial(path: str, kind: Type, span: Span) -> InputError:
    """The error for a variable whose first value the standard and platforms see differently."""
    message = (
        f"'{path}' of {kind.name} has no initial value, and platforms differ in where such a "
        "variable begins: at the first limit, or at 0"
    )
    return wrong("initial-value-needed", message, span, "give it one: := value")


def check_base(kind: Enumeration, base: Kind, span: Span) -> None:
    """InputError where a value of the enumeration does not fit its base type."""
    if not isinstance(base, Integer | BitString) or isinstance(base, Boolean):
        message = f"the base of an enumeration is an integer type, not {kind_name(base)}"
        raise wrong("type-mismatch", message, span, "write for instance INT")
    lowest = base.lowest if isinstance(base, Integer) else 0
    for name, value in kind.values:
        if not lowest <= value <= base.highest:
            message = f"{name} is {value}, which does not fit {base.name}"
            way = f"{base.name} holds {lowest} to {base.highest}"
            raise wrong("value-out-of-range", message, span, way)
