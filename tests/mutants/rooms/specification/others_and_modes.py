"""What others write between scans, what a scan begins with, what lasts, and what is asked in one
mode only."""

from __future__ import annotations

from tests.mutants.mutant import Change, mutants

ROOM = "specification/surroundings"
OUTSIDE = ("specification/surroundings/test_written_outside.py",)
MODES = ("specification/catalogue/test_asked_in_one_mode.py",)

MUTANTS = (
    *mutants(
        ROOM,
        "specification/surroundings/scan_start.py",
        OUTSIDE,
        Change(
            "what others write is as old as inputs are",
            "surroundings=outer)",
            "surroundings=False)",
        ),
        Change(
            "what others write stays as the block left it",
            "*(Assign(v, Read(free, free.span), free.span) for v, free in written.items()),",
            "*(Assign(v, Read(v, free.span), free.span) for v, free in written.items()),",
        ),
        Change(
            "a scan begins with the initial values",
            "*(Assign(start, Read(v, start.span), start.span) for v, start in kept.items()),",
            "",
        ),
    ),
    *mutants(
        ROOM,
        "specification/surroundings/composition.py",
        OUTSIDE,
        Change(
            "others write after the block",
            "run = (*self.start.statements, call)",
            "run = (call, *self.start.statements)",
        ),
    ),
    *mutants(
        ROOM,
        "specification/surroundings/power.py",
        OUTSIDE,
        Change(
            "a retained output is off when the block begins",
            "(*shown, *run, *copied)",
            "(*run, *shown, *copied)",
            ("specification/surroundings/test_power_specification.py", *OUTSIDE),
        ),
    ),
    *mutants(
        ROOM,
        "specification/reading/never_set.py",
        OUTSIDE,
        Change(
            "one reset is enough",
            "if count < every[variable] or variable not in read or variable in apart:",
            "if variable not in read or variable in apart:",
        ),
        Change(
            "what is never read counts",
            "if count < every[variable] or variable not in read or variable in apart:",
            "if count < every[variable] or variable in apart:",
        ),
        Change(
            "what is OUTSIDE is named as well",
            "apart = {*program.inputs, *outside, *renewed, *pins}",
            "apart = {*program.inputs, *renewed, *pins}",
        ),
        Change(
            "pins are named as well",
            "apart = {*program.inputs, *outside, *renewed, *pins}",
            "apart = {*program.inputs, *outside, *renewed}",
        ),
        Change(
            "every constant resets",
            "isinstance(node.value, Literal) and node.value.value == node.target.initial",
            "isinstance(node.value, Literal)",
        ),
    ),
    *mutants(
        ROOM,
        "specification/resolving/names.py",
        OUTSIDE,
        Change(
            "at_scan_start is the value at the end",
            "        if found is not None:\n            return found\n        if variable.role",
            "        if found is not None:\n            return variable\n        if variable.role",
        ),
    ),
    *mutants(
        ROOM,
        "specification/resolving/formula_builder.py",
        OUTSIDE,
        Change(
            "what lasts is asked at its beginning only",
            "return Always(Implies(begun, first), asked)",
            "return Always(Implies(asked, first), asked)",
        ),
        Change(
            "what began before power-up lasts on",
            "begun = Once(And((asked, AnyScan())), self.bound(node.bound))",
            "begun = Once(asked, self.bound(node.bound))",
        ),
    ),
    *mutants(
        "specification/catalogue",
        "specification/model/control.py",
        MODES,
        Change(
            "a condition limits nothing",
            "return signal if self.condition is None else And((signal, self.condition))",
            "return signal",
        ),
        Change(
            "an output counts in every mode",
            "return self.counted(any_of(Atom(Read(each, self.span)) for each in self.outputs))",
            "return any_of(Atom(Read(each, self.span)) for each in self.outputs)",
        ),
    ),
    *mutants(
        "specification/catalogue",
        "specification/catalogue/clause.py",
        MODES,
        Change(
            "an output that is named counts in every mode",
            "else self.control.counted(given)",
            "else given",
        ),
    ),
    *mutants(
        "specification/catalogue",
        "specification/catalogue/machine_rules.py",
        MODES,
        Change(
            "ready counts in every mode",
            'ready = _under_power(clause, clause.control.counted(clause.conditions["ready"]))',
            'ready = _under_power(clause, clause.conditions["ready"])',
        ),
        Change(
            "opposed outputs are asked in every mode",
            "Always(Not(clause.control.counted(And((first, second)))))",
            "Always(Not(And((first, second))))",
        ),
        Change(
            "what is wrong counts in every mode",
            "power, wrong = clause.control.power, clause.control.counted(wrong)",
            "power = clause.control.power",
        ),
    ),
    *mutants(
        "specification/catalogue",
        "specification/catalogue/availability.py",
        MODES,
        Change(
            "attempts count in every mode",
            "conditions = (asked.condition, control.condition)",
            "conditions = (asked.condition,)",
        ),
    ),
)
