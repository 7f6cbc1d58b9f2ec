"""What is asked of presses and machines."""

from __future__ import annotations

from tests.mutants.mutant import Change, mutants

ROOM = "specification/catalogue"
PRESSES = ("specification/catalogue/test_press_requirements.py",)
RULES = ("specification/catalogue/test_requirements.py", *PRESSES)
BOUNCE = ("specification/catalogue/test_bouncing_contacts.py",)
POWER = ("specification/surroundings/test_power_specification.py",)
STOPS = ("specification/catalogue/bookkeeping/test_stops_by_bookkeeping.py",)
FAULTS = ("analyses/faults/test_requirements_under_faults.py",)
LIVENESS = ("specification/logic/test_availability.py",)

MUTANTS = (
    *mutants(
        ROOM,
        "specification/catalogue/press_rules.py",
        PRESSES,
        Change(
            "an end with the hands on is an interruption",
            "interrupted = And((Fell(output), Not(control.hands.all_on)))",
            "interrupted = Fell(output)",
        ),
        Change(
            "one hand off is all hands off",
            "off, released = Not(output), control.hands_surely_on.none_on",
            "off, released = Not(output), Not(control.hands_surely_on.all_on)",
        ),
        Change(
            "one hand off allows a trip to repeat",
            "Until(Fell(control.output), Not(control.output), control.hands_surely_on.none_on)",
            "Until(Fell(control.output), Not(control.output), Not(control.hands_surely_on.all_on))",
        ),
        Change(
            "one station in time is enough",
            "Always(Implies(start, all_of(stations)), start), TIE_DOWN",
            "Always(Implies(start, Or(tuple(stations))), start), TIE_DOWN",
        ),
        Change(
            "a start needs some hand",
            "Always(Implies(start, control.hands_seen_on.all_on), start)",
            "Always(Implies(start, control.hands_seen_on.any_on), start)",
        ),
        Change(
            "hands are held wherever the die is",
            "clause.control.exposed",
            "clause.control.output",
        ),
        Change(
            "every end of a stroke is one with the hands on",
            "ended = And((Fell(output), control.hands.all_on))",
            "ended = Fell(output)",
        ),
        Change(
            "a stroke is at its end without having begun",
            "reached = And((Rose(complete), Previous(output)))",
            "reached = And((Rose(complete), output))",
        ),
        Change(
            "a signal that is on from the start on ends the stroke",
            "reached = And((Rose(complete), Previous(output)))",
            "reached = And((complete, Previous(output)))",
        ),
        Change(
            "a signal that goes off ends the stroke",
            "reached = And((Rose(complete), Previous(output)))",
            "reached = And((Fell(complete), Previous(output)))",
        ),
        Change(
            "the end of a stroke is asked while HAZARD lasts",
            "output, name, text = clause.output, clause.output_name",
            "output, name, text = clause.control.exposed, clause.output_name",
        ),
        Change(
            "an end in a stated number of scans may take one more",
            "Bound(NO_SCANS, scans, in_scans=True)",
            "Bound(NO_SCANS, scans + 1, in_scans=True)",
        ),
        Change(
            "an end that may take scans need not come at all",
            "asked = Response(reached, Not(output)",
            "asked = Response(reached, Not(reached)",
        ),
        Change(
            "a signal that is stuck on is not asked",
            "over = Or((Not(output), Rose(seen), Fell(seen)))",
            "over = Or((Not(output), seen, Fell(seen)))",
        ),
        Change(
            "a signal that is stuck off is not asked",
            "over = Or((Not(output), Rose(seen), Fell(seen)))",
            "over = Or((Not(output), Rose(seen), Not(seen)))",
        ),
        Change(
            "a signal that goes off is stuck",
            "over = Or((Not(output), Rose(seen), Fell(seen)))",
            "over = Or((Not(output), Rose(seen)))",
        ),
        Change(
            "a stroke with a stuck signal is asked from its start on only",
            "Response(output, over, clause",
            "Response(started(output), over, clause",
        ),
        Change(
            "a stuck end is asked of the signal that there would be",
            'clause.conditions["complete"], clause.seen["complete"]',
            'clause.conditions["complete"], clause.conditions["complete"]',
            FAULTS,
        ),
        Change(
            "the end of a stroke is asked of the signal that the logic sees",
            'clause.conditions["complete"], clause.seen["complete"]',
            'clause.seen["complete"], clause.seen["complete"]',
            FAULTS,
        ),
        Change(
            "a start in use asks nothing of a station",
            "where_used(in_use, pressed_together(control, index, window))",
            "pressed_together(control, index, window)",
        ),
    ),
    *mutants(
        ROOM,
        "specification/statements/require_word.py",
        ("specification/test_requirement_errors.py",),
        Change(
            "an end may be made of the output",
            "if isinstance(read, Read) and read.variable in outputs:",
            "if isinstance(read, Read) and read in outputs:",
        ),
    ),
    *mutants(
        ROOM,
        "specification/catalogue/clause.py",
        RULES,
        Change(
            "an output that is on in the first scan has not started",
            "return Or((Rose(output), And((FirstScan(), output))))",
            "return Rose(output)",
        ),
        Change(
            "two differ where the first is on alone",
            "return Or((And((first, Not(second))), And((Not(first), second))))",
            "return And((first, Not(second)))",
        ),
        Change(
            "supply that comes back begins nothing",
            "return And((Or((FirstScan(), Rose(power))), power))",
            "return And((FirstScan(), power))",
            ("specification/surroundings/test_power_specification.py", *RULES),
        ),
        Change(
            "the output that is named does not count",
            "return self.control.output if given is None else self.control.counted(given)",
            "return self.control.output",
        ),
    ),
    *mutants(
        ROOM,
        "specification/catalogue/machine_rules.py",
        RULES,
        Change(
            "the control holds the output on",
            "Always(Implies(clause.output, control), clause.output)",
            "Always(Implies(control, clause.output), clause.output)",
        ),
        Change(
            "a stop ends nothing that goes on",
            "Always(Implies(condition, Not(clause.output)), condition)",
            "Always(Implies(condition, Not(Rose(clause.output))), condition)",
        ),
        Change(
            "a stop counts as it comes",
            "ended = Fell(condition)",
            "ended = Rose(condition)",
        ),
        Change(
            "an output that is on may stay when a stop ends",
            "Until(ended, Not(clause.output), action)",
            "Until(ended, Not(Rose(clause.output)), action)",
            STOPS,
        ),
        Change(
            "a start that comes with the end of a stop counts",
            "return And((Rose(start), Not(moment))), words",
            "return Rose(start), words",
        ),
        Change(
            "one hand off after a stop is all hands off",
            "released = control.hands_surely_on.none_on",
            "released = Not(control.hands_surely_on.all_on)",
        ),
        Change(
            "a hand that is pressed as a stop ends was pressed after it",
            "And((in_run(Rose(hand)), Not(moment)))",
            "in_run(Rose(hand))",
            BOUNCE,
        ),
        Change(
            "a hand pressed during a stop was pressed after it",
            "Since(Not(moment), And((in_run",
            "Since(Or((moment, Not(moment))), And((in_run",
            BOUNCE,
        ),
        Change(
            "a release during a stop counts where contacts bounce",
            "And((Since(Not(moment), in_run(released)), pressed)), words",
            "And((Since(Or((moment, Not(moment))), in_run(released)), pressed)), words",
            BOUNCE,
        ),
        Change(
            "a release that is seen is enough where contacts bounce",
            "And((Since(Not(moment), in_run(released)), pressed)), words",
            "Since(Not(moment), in_run(released)), words",
            BOUNCE,
        ),
        Change(
            "a press is enough where contacts bounce",
            "And((Since(Not(moment), in_run(released)), pressed)), words",
            "pressed, words",
            BOUNCE,
        ),
        Change(
            "a reset is accepted when its button is pressed",
            "released = And((Fell(reset), safe, Previous(Since(held, pressed))))",
            "released = And((Rose(reset), safe))",
        ),
        Change(
            "a reset needs no press",
            "And((Fell(reset), safe, Previous(Since(held, pressed))))",
            "And((Fell(reset), safe))",
        ),
        Change(
            "a reset is let go without a safeguard",
            "And((Fell(reset), safe, Previous(Since(held, pressed))))",
            "And((Fell(reset), Previous(Since(held, pressed))))",
        ),
        Change(
            "a reset was let go at some time",
            "And((Fell(reset), safe, Previous(Since(held, pressed))))",
            "And((safe, Previous(Since(held, pressed))))",
        ),
        Change(
            "a reset is pressed without a safeguard",
            "And((Rose(reset), safe, seen))",
            "And((Rose(reset), seen))",
        ),
        Change(
            "a reset that is on as supply comes was pressed",
            "And((Rose(reset), safe, seen))",
            "And((Rose(reset), safe))",
        ),
        Change(
            "a safeguard may be lost while a reset is held",
            "held = _under_power(clause, And((reset, safe)))",
            "held = _under_power(clause, reset)",
        ),
        Change(
            "supply may be lost while a reset is held",
            "held = _under_power(clause, And((reset, safe)))",
            "held = And((reset, safe))",
        ),
        Change(
            "a button without supply is pressed",
            "pressed = _under_power(clause, And((Rose(reset), safe, seen)))",
            "pressed = And((Rose(reset), safe, seen))",
        ),
        Change(
            "what comes back with the supply is a reset",
            "accepted = And((Rose(ready), seen))",
            "accepted = Rose(ready)",
        ),
        Change(
            "a variable that shows ready without supply counts",
            "return formula if power is None else And((formula, power))",
            "return formula",
        ),
        Change(
            "a safeguard that is lost takes nothing away that was there",
            "Always(Implies(Not(safe), Not(ready)), Not(safe))",
            "Always(Implies(Not(safe), Not(Rose(ready))), Not(safe))",
        ),
        Change(
            "it may be ready as the supply comes",
            "Always(Implies(clause.began(), Not(ready)))",
            "Always(Implies(clause.began(), Not(Rose(ready))))",
        ),
        Change(
            "an output that goes on waits for the reset",
            "Always(Implies(clause.output, ready), clause.output)",
            "Always(Implies(Rose(clause.output), ready), clause.output)",
        ),
        Change(
            "an output that is on may stay as it is reset",
            "Until(accepted, Not(clause.output), action)",
            "Until(accepted, Not(Rose(clause.output)), action)",
        ),
        Change(
            "the end of a reset is its moment",
            "accepted = Rose(ready)\n",
            "accepted = Fell(ready)\n",
        ),
        Change(
            "a start button that is on as supply comes is an action",
            "action, words = And((Rose(start), Not(began))),",
            "action, words = Rose(start),",
            (*RULES, *POWER),
        ),
        Change(
            "hands need not be off after the supply came",
            "action = And((on, Since(Not(began), off), *_presses(clause, began)))",
            "action = And((on, *_presses(clause, began)))",
        ),
        Change(
            "one of two opposed outputs is too many",
            "Always(Not(clause.control.counted(And((first, second)))))",
            "Always(Not(clause.control.counted(Or((first, second)))))",
        ),
        Change(
            "a fault that ends is not noticed in time",
            "Response(wrong, Or((notice, *over)), within)",
            "Response(wrong, notice, within)",
        ),
        Change(
            "logic without power has to notice",
            "(Not(wrong),) if power is None else (Not(wrong), Not(power))",
            "(Not(wrong),)",
            POWER,
        ),
        Change(
            "an output with a fault that ends has to go off",
            "Response(wrong, Or((Not(clause.output), Not(wrong))), within)",
            "Response(wrong, Not(clause.output), within)",
        ),
        Change(
            "an output that is on in the first scan may stay",
            'Response(started(clause.output), Not(clause.output), clause.within("limit"))',
            'Response(Rose(clause.output), Not(clause.output), clause.within("limit"))',
        ),
        Change(
            "any end position is both",
            'wrong = And((clause.conditions["first"], clause.conditions["second"]))',
            'wrong = Or((clause.conditions["first"], clause.conditions["second"]))',
        ),
        Change(
            "a hand that is on under bounce has come on",
            "where_used(in_use, Since(Not(began), Rose(hand)))",
            "where_used(in_use, hand)",
            BOUNCE,
        ),
    ),
    *mutants(
        ROOM,
        "specification/catalogue/liveness.py",
        LIVENESS,
        Change("one asking place is enough", "return signs == {1}", "return 1 in signs"),
        Change(
            "a negation does not turn the sign",
            "waiting.append((operand, -sign))",
            "waiting.append((operand, sign))",
        ),
        Change(
            "an edge asks for the output",
            "(child, MIXED) for child in",
            "(child, sign) for child in",
        ),
        Change(
            "what comes first is asked for",
            "(first, MIXED), (second, -1)",
            "(first, 1), (second, -1)",
        ),
        Change(
            "the premise of an implication asks for the output",
            "[(left, -sign), (right, sign)]",
            "[(left, sign), (right, sign)]",
        ),
        Change(
            "NOT in an expression does not turn the sign",
            "yield from _in_expression(operand, -sign, outputs)",
            "yield from _in_expression(operand, sign, outputs)",
        ),
    ),
)
