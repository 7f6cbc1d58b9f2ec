"""Functions and blocks of a network as statements."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from twohand.exchange.diagrams.effects import Touched, changed_by
from twohand.exchange.diagrams.functions import (
    Argument,
    called,
    is_pure,
    listed,
    standard_value,
    target_of,
)
from twohand.exchange.diagrams.graph import ElementKind, Input, Node, Output
from twohand.exchange.diagrams.order import touched_by
from twohand.exchange.diagrams.statements import Statements, without_type
from twohand.exchange.diagrams.values import Level, Value, negated, of_operand, of_variable, true
from twohand.exchange.diagrams.wires import pin, pin_type
from twohand.exchange.rules import Piece, malformed, unsupported
from twohand.program.standard_blocks import BLOCKS_BY_NAME
from twohand.text.diagnostic import wrong


def function(statements: Statements, node: Node) -> None:
    """A function: of the standard as an expression, of the user as a call."""
    if node.type_key in BLOCKS_BY_NAME:
        message = f"{node.title} is a block, of which an instance is called"
        way = 'write instanceName="..." with the name of a variable of this type'
        raise wrong("block-type-called", message, node.place, way)
    _check_name(statements, node)
    for place in node.inputs:
        if place.in_out:
            raise unsupported(f"in-out parameters of {node.title} are not read", place.place,
                              "call it in structured text")  # fmt: skip
    if not is_pure(node):
        _own_function(statements, node)
        return
    enable = pin(node, "EN")
    guarded = node in statements.wires.guarded
    running = statements.value_at(enable) if enable is not None and guarded else None
    inputs = [place for place in node.inputs if place is not enable]
    if running is not None:
        _refuse_edges(inputs)
    value = standard_value(node, [_given(statements, node, place) for place in inputs])
    for output in node.outputs:
        if output.name.text.upper() == "ENO":
            statements.keep(output, true(node.place) if running is None else running)
    results = _results(node, ("", "OUT", node.type_key))
    if value.may_fail:
        _refuse_failing(node, results)
    if running is not None:
        _where_enabled(statements, node, running, value, results)
        return
    for output in results:
        statements.keep(output, value)


def _check_name(statements: Statements, node: Node) -> None:
    """InputError where the name of a function is that of something else in the unit."""
    known, pure = statements.known, is_pure(node)
    if node.type_key in known.types and not pure:
        what = "a variable of this unit, whose instances are called by instanceName"
    elif node.type_key in known.members and pure:
        what = "a method or an action of this unit, and a function of the standard"
    else:
        return
    raise malformed(f"{node.title} has the name of {what}", node.place, "give it another name")


def _given(statements: Statements, node: Node, place: Input) -> Argument:
    if not place.sources:
        message = f"nothing is connected to {place.name.text} of {node.title}"
        raise wrong("unconnected-element", message, place.place, "connect it, or leave the pin out")
    return place.name, statements.value_at(place)


def _refuse_edges(inputs: Sequence[Input]) -> None:
    for place in inputs:
        if place.edge:
            message = "whether an edge is sensed where the block is not enabled is left open"
            way = "sense it by an R_TRIG or F_TRIG of its own"
            raise unsupported(message, place.place, way, "unsupported-enable")


def _refuse_failing(node: Node, results: Sequence[Output]) -> None:
    """InputError where only ENO of a function is used that may fail: it would not be evaluated."""
    used = [each for output in results for each, _ in output.consumers]
    if all(each.kind is ElementKind.RIGHT_RAIL for each in used):
        raise unsupported(
            f"what ENO says where {node.title} fails is left to the platform, and its value leads "
            "nowhere", node.place, "write its value to a variable", "unsupported-enable",
        )  # fmt: skip


def _results(node: Node, names: Sequence[str]) -> list[Output]:
    """The outputs that carry the value of a function; InputError for others."""
    found = [o for o in node.outputs if o.name.text.upper() != "ENO"]
    for output in found:
        if output.name.text.upper() not in names:
            message = f"the output '{output.name.text}' of {node.title} is not read"
            way = "a function is read by its value only; call it in structured text"
            raise unsupported(message, output.place, way)
    return found


def _where_enabled(
    statements: Statements, node: Node, running: Value, value: Value, results: Sequence[Output]
) -> None:
    """The value goes to variables, and only where the function runs."""
    place = node.place
    writes: list[str | Piece | Value] = []
    sinks = _sinks(results)
    if sinks is None:
        raise unsupported(
            f"what {node.title} gives where its EN is FALSE is left to the platform", place,
            "write its value to a variable (a data sink), and go on from that variable in the "
            "next network",
            "unsupported-enable",
        )  # fmt: skip
    for number, (sink, given) in enumerate(sinks):
        assert sink.operand is not None
        others = [touched_by(each, statements.known).writes for each, _ in sinks[:number]]
        before = Touched(writes=frozenset().union(*others))
        if changed_by(value.reads, before, statements.known) is not None:
            raise without_type(node)
        output = negated(value, place) if given.negated else value
        writes.extend((sink.operand.piece, Piece(" := ", sink.place), output, "; "))
        statements.written.add(sink)
    if writes:
        statements.add(place, "IF ", running, " THEN ", *writes, "END_IF;")


def _sinks(results: Sequence[Output]) -> list[tuple[Node, Output]] | None:
    """The data sinks that the outputs go to, if they go nowhere else and each sink is written
    right behind the function."""
    found: list[tuple[Node, Output]] = []
    for output in results:
        for node, place in output.consumers:
            plain = not place.negated and not place.edge and len(place.sources) == 1
            if node.kind is not ElementKind.SINK or node.number is not None or not plain:
                return None
            found.append((node, output))
    return found


def _own_function(statements: Statements, node: Node) -> None:
    """A function of the user, which may have effects: it is called once, where it is."""
    for end in (pin(node, "EN"), *(o for o in node.outputs if o.name.text.upper() == "ENO")):
        used = end.sources if isinstance(end, Input) else end.consumers if end else ()
        if end is not None and used:
            raise unsupported(
                f"EN and ENO of {node.title} are not read: it may have inputs of its own of these "
                "names", end.place, "make it a function block, or call it in structured text",
                "unsupported-enable",
            )  # fmt: skip
    inputs = [place for place in node.inputs if place.sources]
    value = called(node, [(place.name, _by_value(statements, node, place)) for place in inputs])
    results = [o for o in _results(node, ("", node.type_key)) if o.consumers]
    if not results:
        statements.add(node.place, value, ";")
        return
    if len(results) > 1:
        raise malformed(f"{node.title} has more than one value", results[1].place,
                        "connect both to one output")  # fmt: skip
    _store(statements, node, value, results[0])


def _store(statements: Statements, node: Node, value: Value, output: Output) -> None:
    """The value of a call of the user's: to the one sink that it goes to, or to a wire."""
    sinks = _sinks([output])
    sink = sinks[0][0] if sinks is not None and len(sinks) == 1 else None
    if sink is not None and sink.operand is not None and not sink.operand.indices:
        given = negated(value, node.place) if output.negated else value
        statements.add(node.place, sink.operand.piece, " := ", given, ";")
        statements.written.add(sink)
        return
    known = statements.known.callees.type_of(node.type_key, node.type_key)
    kind = "BOOL" if statements.wires.wants_boolean(output) else known or target_of(node.type_key)
    if kind is None:
        raise without_type(node)
    kept = statements.wire(value, kind, node.place)
    statements.values[output] = negated(kept, node.place) if output.negated else kept


# --- instances ----------------------------------------------------------------------------------


def instance(statements: Statements, node: Node) -> None:
    """A call of an instance; its outputs are read behind it."""
    assert node.operand is not None
    _check_type(statements, node)
    enable = pin(node, "EN")
    if enable is not None and enable.sources:
        always = statements.value_at(enable).always if not enable.edge else False
        if not always:
            _refuse_edges([place for place in node.inputs if place is not enable])
    arguments: list[Argument] = []
    for place in node.inputs:
        if place.in_out and place.sources:
            arguments.append((place.name, _reference(statements, place)))
        elif place.sources and not _needless(statements, node, place):
            arguments.append((place.name, _by_value(statements, node, place)))
    outputs = _enabled(statements, node)
    inputs = listed(arguments, node)
    separator = ", " if inputs and outputs else ""
    statements.add(node.place, node.operand.piece, "(", *inputs, separator, *outputs, ");")
    _outputs(statements, node)


def _by_value(statements: Statements, node: Node, place: Input) -> Value:
    """What comes to an input. For a unit of the user's it is in parentheses, for it is no
    variable that the call may change: where the parameter is an in-out one, that is an error."""
    value = statements.value_at(place)
    if node.type_key in BLOCKS_BY_NAME or value.level < Level.OPERAND or value.always:
        return value
    return replace(value, pieces=(Piece("(", place.place), *value.pieces, Piece(")", place.place)))


def _needless(statements: Statements, node: Node, place: Input) -> bool:
    """EN of a standard block that always is TRUE."""
    if place.name.text.upper() != "EN" or node.type_key not in BLOCKS_BY_NAME or place.edge:
        return False
    return statements.value_at(place).always


def _check_type(statements: Statements, node: Node) -> None:
    """The diagram says of which type an instance is; so does its declaration."""
    assert node.operand is not None
    assert node.type_name is not None
    declared = statements.known.type_of(node.operand.whole)
    if declared is None:
        raise unsupported(
            f"the checker calls instances that the unit declares by a type's name; "
            f"'{node.operand.piece.text}' is none",
            node.operand.piece.place,
            "declare the instance in the variables of this unit",
        )
    if declared.upper() != node.type_key:
        message = (
            f"'{node.operand.piece.text}' is declared as {declared}, not as {node.type_name.text}"
        )
        way = "let the diagram and the declaration agree"
        raise wrong("type-mismatch", message, node.type_name.place, way)


def _reference(statements: Statements, place: Input) -> Value:
    """The variable that an in-out parameter means: a data source, and nothing computed."""
    source = place.sources[0].node
    found = source.operand if source.kind is ElementKind.SOURCE else None
    if len(place.sources) > 1 or found is None or not found.way or place.sources[0].negated:
        message = f"the in-out parameter '{place.name.text}' needs a variable"
        raise unsupported(message, place.place, "connect it to the data source of a variable")
    return of_operand(found, statements.known.type_of(found.whole))


def _enabled(statements: Statements, node: Node) -> list[str | Piece | Value]:
    """``ENO => wire``, where ENO is connected."""
    found = [o for o in node.outputs if o.name.text.upper() == "ENO" and o.consumers]
    outputs: list[str | Piece | Value] = []
    for output in found[:1]:
        name = statements.hidden.declare(f"{statements.title}_wire", "BOOL", output.place)
        outputs.extend((Piece(f"ENO => {name}", output.place),))
        kept = of_variable(name, output.place, "BOOL")
        for each in found:
            statements.values[each] = negated(kept, each.place) if each.negated else kept
    return outputs


def _outputs(statements: Statements, node: Node) -> None:
    assert node.operand is not None
    for output in node.outputs:
        if output in statements.values or output.in_out or not output.consumers:
            continue
        if not output.name.text:
            raise malformed("an output of a block needs a name", output.place,
                            'write parameterName="..."')  # fmt: skip
        way = (*node.operand.way, output.name.text.upper())
        kind = pin_type(node, output.name.text) or statements.known.callees.type_of(
            node.type_key, output.name.text.upper()
        )
        pieces = (node.operand.piece, Piece(".", output.place), output.name)
        value = Value(pieces, reads=frozenset([way]), type=kind, sure=kind == "BOOL")
        statements.keep(output, value)
