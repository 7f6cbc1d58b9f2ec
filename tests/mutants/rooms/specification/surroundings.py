"""Hands, contacts, faults, bounce and supply around the block."""

from __future__ import annotations

from tests.mutants.mutant import Change, mutants

ROOM = "specification/surroundings"
WIRING = ("specification/surroundings/test_wiring.py",)
ENUMERATED = (
    "agreement/test_faults_against_enumeration.py"
    "::test_a_fault_does_to_a_random_block_what_current_in_its_wires_does[seeds0]"
)
BOUNCE = ("specification/surroundings/test_bounce.py",)
POWER = (
    "scan/meaning/test_power_cycles.py",
    "specification/surroundings/test_power_specification.py",
)
COMPOSITION = (
    "specification/surroundings/test_specification_plant.py",
    "scan/meaning/test_composite_meaning.py",
)

MUTANTS = (
    *mutants(
        ROOM,
        "specification/surroundings/bounce.py",
        BOUNCE,
        Change(
            "a contact is still at the end of its time",
            "preset = self.bounce.time + self.bounce.unit",
            "preset = self.bounce.time",
        ),
        Change(
            "a hand that is on in the first scan has moved",
            "moved = logic(typed.Operator.AND, typed.Read(begun, span), changed)",
            "moved = changed",
        ),
        Change(
            "a contact that settles shows on or its hand",
            "logic(typed.Operator.AND, settling, free)",
            "logic(typed.Operator.OR, settling, free)",
        ),
        Change(
            "only hands that go move",
            "changed = logic(typed.Operator.XOR, typed.Read(hand, span), typed.Read(was, span))",
            "changed = logic(\n            typed.Operator.AND, logic(typed.Operator.NOT, "
            "typed.Read(hand, span)), typed.Read(was, span)\n        )",
        ),
        Change(
            "a further move does not begin the time anew",
            "(stop, typed.Assign(settling, typed.Literal(True, BOOL, span), span))",
            "(typed.Assign(settling, typed.Literal(True, BOOL, span), span),)",
        ),
    ),
    *mutants(
        ROOM,
        "specification/surroundings/wiring.py",
        WIRING,
        Change(
            "a contact that sticks closed is open",
            "value = logic(Operator.OR, value, there)",
            "value = logic(Operator.AND, value, logic(Operator.NOT, there))",
        ),
        Change(
            "a lost supply counts least",
            "key=lambda item: item[0].kind is FaultKind.SUPPLY_LOST)",
            "key=lambda item: item[0].kind is not FaultKind.SUPPLY_LOST)",
        ),
        Change(
            "a short with an output is none",
            "if fault.kind not in SHORTS:",
            "if fault.kind is not FaultKind.SHORT:",
        ),
        Change(
            "an output is on before the first scan",
            "on = [v for v in wires if v.initial]",
            "on = [v for v in wires if v.initial is None]",
        ),
        Change(
            "the first scan has been before it",
            "self.then.append(Assign(written, Literal(True, BOOL, self._span), self._span))",
            "self.first.append(Assign(written, Literal(True, BOOL, self._span), self._span))",
        ),
        Change(
            "two shorts do not join three lines",
            "for _ in range(len(active)):",
            "for _ in range(1):",
        ),
        Change(
            "the second fault comes in any order",
            "if number and self.in_order:",
            "if number and not self.faults:",
        ),
        Change(
            "a fault goes again",
            "there = logic(Operator.OR, Read(present, span), there)",
            "there = logic(Operator.OR, there, there)",
        ),
        Change(
            "a fault that ends comes back",
            "there = logic(Operator.AND, chosen, logic(Operator.NOT, Read(over, span)))",
            "there = logic(Operator.AND, chosen, chosen)",
            (*WIRING, ENUMERATED),
        ),
        Change(
            "a fault is over before it was there",
            "ends = logic(Operator.AND, Read(present, span), logic(Operator.NOT, chosen))",
            "ends = logic(Operator.NOT, chosen)",
            (*WIRING, ENUMERATED),
        ),
        Change(
            "a fault is forgotten to be over",
            "self.first.append(Assign(over, logic(Operator.OR, Read(over, span), ends), span))",
            "self.first.append(Assign(over, ends, span))",
            (*WIRING, ENUMERATED),
        ),
        Change(
            "every fault that ends ends once",
            "elif course is FaultCourse.ONCE:",
            "else:",
            (*WIRING, ENUMERATED),
        ),
        Change(
            "only while the fault is there it can be noticed",
            "begun = there if self.faults[0].course is FaultCourse.STAYS else Once(there)",
            "begun = there",
            (
                "analyses/faults/test_faults_that_end.py"
                "::test_an_alarm_notices_a_fault_that_is_over_by_then",
            ),
        ),
        Change(
            "an opener follows its hand",
            "return logic(Operator.NOT, on) if contact.opens else on",
            "return on",
        ),
        Change(
            "a short feeds from one line only",
            "for here, there in ((one, other), (other, one)):",
            "for here, there in ((one, other),):",
        ),
        Change(
            "a short joins before it has begun",
            "from_there = logic(Operator.AND, Read(present, value.span), value)",
            "from_there = value",
        ),
        Change(
            "assumptions speak of the world with the fault",
            "return self.healthy.get(found.variable, found) if isinstance(found, Read) else found",
            "return found",
            ("specification/test_fault_statements.py",),
        ),
        Change(
            "a lost supply takes every input",
            "return variable in self._supplied(fault)",
            "return True",
        ),
        Change(
            "a disturbed contact is not told",
            "Atom(logic(Operator.XOR, shown[v], self.healthy[v]))",
            "Atom(logic(Operator.AND, shown[v], self.healthy[v]))",
            BOUNCE,
        ),
        Change(
            "what a fault changes is what it does not",
            "Atom(logic(Operator.XOR, Read(variable, value.span), value))",
            "Atom(logic(Operator.OR, Read(variable, value.span), value))",
            (
                *BOUNCE,
                "analyses/faults/test_fault_table.py"
                "::test_a_fault_shows_only_to_a_controller_that_has_its_supply",
            ),
        ),
    ),
    *mutants(
        ROOM,
        "specification/surroundings/power.py",
        POWER,
        Change(
            "retained variables are forgotten",
            "tuple(v for v in own if not v.retain),",
            "tuple(own),",
        ),
        Change(
            "retained instances are forgotten",
            "tuple(i for i in block.instances if not i.retain),",
            "tuple(block.instances),",
        ),
        Change(
            "an output that begins on stays off",
            "if v.retain or v.initial != off_value(v.type)}",
            "if v.retain}",
        ),
        Change(
            "a retained output stays off",
            "if v.retain or v.initial != off_value(v.type)}",
            "if v.initial != off_value(v.type)}",
        ),
        Change(
            "only outputs of the block are off without power",
            "dict.fromkeys([*block.outputs, *named])",
            "dict.fromkeys([*block.outputs])",
        ),
        Change(
            "an enumeration is 0 without power",
            "case Enumeration(values=((_, first), *_)):\n            return first",
            "case Enumeration(values=((_, first), *_)):\n            return first * 0",
        ),
        Change(
            "nothing restarts",
            "without: tuple[typed.Statement, ...] = (_restart(block, power), *off)",
            "without: tuple[typed.Statement, ...] = (*off,)",
        ),
        Change(
            "outputs stay without power",
            "without: tuple[typed.Statement, ...] = (_restart(block, power), *off)",
            "without: tuple[typed.Statement, ...] = (_restart(block, power),)",
        ),
    ),
    *mutants(
        ROOM,
        "specification/surroundings/composition.py",
        COMPOSITION,
        Change(
            "feedback comes after the wiring",
            "body += self.feedback\n        body += wiring.statements",
            "body += wiring.statements\n        body += self.feedback",
            WIRING,
        ),
        Change(
            "what a plant drives is an input all the same",
            "driven |= {assign.target for plant in self.plants for assign in plant.bindings}",
            "driven |= set()",
        ),
        Change(
            "plants run before the contacts are read",
            "body: list[Statement] = [*wiring.contacts]",
            "body: list[Statement] = []",
            (
                "specification/surroundings/test_wiring.py"
                "::test_a_plant_sees_a_contact_as_it_is_now_wired_or_not",
                *WIRING,
            ),
        ),
        Change(
            "a plant's inputs come after its run",
            "body += plant.bindings\n            body.append("
            "CallBlock(plant.name, (), plant.program.routine, (), plant.span))",
            "body.append(CallBlock(plant.name, (), plant.program.routine, (), plant.span))\n"
            "            body += plant.bindings",
        ),
    ),
)
