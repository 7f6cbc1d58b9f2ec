"""What is asked of two-hand controls, with hands as they are and as they bounce."""

from __future__ import annotations

from tests.mutants.mutant import Change, mutants

ROOM = "specification/catalogue"
CATALOGUE = ("specification/catalogue/test_catalogue.py",)
BOOKKEEPING = "specification/catalogue/bookkeeping/test_catalogue_by_bookkeeping.py"
STATIONS = ("specification/catalogue/test_station_selection.py",)
BOUNCE = ("specification/catalogue/test_bouncing_contacts.py",)
POWER = ("specification/surroundings/test_power_specification.py",)
TWO_HAND = (*CATALOGUE, BOOKKEEPING)
TOGETHER = (*TWO_HAND, "specification/catalogue/test_requirements.py")

MUTANTS = (
    *mutants(
        ROOM,
        "specification/catalogue/two_hand.py",
        TWO_HAND,
        Change(
            "the hazard does not limit what a release stops",
            "trigger, on = control.exposed,",
            "trigger, on = control.output,",
        ),
        Change(
            "a release has a scan more to stop the output",
            "Once(in_run(on), Bound(NO_SCANS, scans, in_scans=True))",
            "Once(in_run(on), Bound(NO_SCANS, scans + 1, in_scans=True))",
        ),
        Change(
            "one hand off allows the output anew",
            "Until(Fell(control.output), Not(control.output), control.hands_surely_on.none_on)",
            "Until(Fell(control.output), Not(control.output), Not(control.hands_surely_on.all_on))",
        ),
        Change(
            "power-up with one hand on is none",
            "And((*moment, control.hands.any_on))",
            "And((*moment, control.hands.all_on))",
        ),
        Change(
            "power that returns is no power-up",
            "moment = (Or((FirstScan(), Rose(control.power))), control.power)",
            "moment = (FirstScan(), control.power)",
            POWER,
        ),
        Change(
            "the window is not wider by bounce",
            "return Units(control.window + control.press_seen_late)",
            "return control.window",
            BOUNCE,
        ),
        Change(
            "a hand that is on in the first scan misses nothing",
            "attempt = Or((And((Rose(some), not_all)), And((FirstScan(), not_all))))",
            "attempt = And((Rose(some), not_all))",
        ),
        Change(
            "a press in the first scan beyond the window is in time",
            "waited = Or((incomplete, Previous(incomplete)))",
            "waited = incomplete",
        ),
        Change(
            "a window is missed at once",
            "missed = And((some, Not(Once(in_run(Rose(some)), Bound(NO_TIME, window))), waited))",
            "missed = And((some, waited))",
        ),
        Change(
            "hands that were on together have missed",
            "Not(Once(in_run(Rose(some)), Bound(NO_TIME, window))), waited))",
            "Not(Once(in_run(Rose(some)), Bound(NO_TIME, window)))))",
        ),
        Change(
            "a hazard forbids what goes on",
            "strict = control.hazard is None and in_use is None",
            "strict = True",
        ),
        Change(
            "one hand off after a missed window is enough",
            "Until(missed, Not(unwanted), none_of(surely))",
            "Until(missed, Not(unwanted), Not(all_of(surely)))",
        ),
        Change(
            "a station out of use misses windows",
            "unwanted = control.output if strict else while_used(in_use, Rose(control.output))",
            "unwanted = control.output if strict else Rose(control.output)",
            STATIONS,
        ),
        Change(
            "a start is asked of stations out of use",
            "start = while_used(control.hands.in_use[index], Rose(control.output))",
            "start = Rose(control.output)",
            STATIONS,
        ),
        Change(
            "a start without a press has no lag",
            "until_now=False, missing=Missing.WITHOUT_LIMIT)",
            "until_now=False, missing=Missing.NOT_READ)",
            (
                "analyses/measure/test_measure.py"
                "::test_a_start_with_a_hand_that_was_never_pressed_is_wider_than_any_lag",
            ),
        ),
    ),
    *mutants(
        ROOM,
        "specification/catalogue/tolerance.py",
        BOUNCE,
        Change(
            "presses count in the scan of the start only",
            "return Since(on, And((on, *began, *presses)))",
            "return And((on, *began, *presses))",
            TOGETHER,
        ),
        Change(
            "a hand that goes and comes in time starts with others that stay",
            "began = () if control.bounce is not None else (Not(Previous(on)),)",
            "began = ()",
            equivalent="while all hands stay on none of them comes on: presses that lie in the window "
            "of a later scan lay in that of the scan in which the station became fully on",
        ),
        Change(
            "a press long ago is one in time",
            "(Once(in_run(Rose(hand)), window) for hand in control.hands.each[index])",
            "(Once(in_run(Rose(hand))) for hand in control.hands.each[index])",
            TOGETHER,
        ),
        Change(
            "a hand that stays on is pressed anew",
            "Since(Not(Fell(control.output)), Rose(hand))",
            "Since(Not(Fell(control.output)), hand)",
        ),
        Change(
            "a window of a press is not wider by bounce",
            "high=Units((window.high or 0) + control.press_seen_late))",
            "high=window.high or 0)",
        ),
        Change(
            "a press in any stroke is a new one",
            "Since(Not(Fell(control.output)), Rose(hand))",
            "Since(Implies(start, start), Rose(hand))",
        ),
    ),
    *mutants(
        ROOM,
        "specification/catalogue/availability.py",
        TWO_HAND,
        Change(
            "the rest before an attempt is shorter under bounce",
            "return Units(REST * self.control.bounce_time + 2 * self.control.longest)",
            "return self.control.bounce_time",
            BOUNCE,
        ),
        Change(
            "no rest is asked for under bounce",
            "rest = Since(rest, rest, Bound(self._rest, None))",
            "rest = Since(rest, rest)",
            BOUNCE,
        ),
        Change(
            "a hand that was released meanwhile is no end of the attempt",
            "approach = And((Not(on), *meanwhile, *hands.none_released))",
            "approach = And((Not(on), *meanwhile))",
        ),
        Change(
            "the widest lag leaves no room for scans",
            "control.window - control.press_seen_late - 2 * control.longest)",
            "control.window - control.press_seen_late)",
        ),
        Change(
            "an attempt that is given up asks for an answer",
            "given_up = (Not(on), *(Not(formula) for formula in self.meanwhile))",
            "given_up = ()",
        ),
        Change(
            "an attempt goes on in every scan",
            "parts: list[Formula] = [on, Not(Previous(on)), Previous(",
            "parts: list[Formula] = [on, Previous(",
            equivalent="the approach and the rest, of which one has to hold in the scan before, both "
            "say that not all hands are on",
        ),
        Change(
            "any output answers",
            "Response(trigger, Or((control.every_output, *given_up)), asked.bound)",
            "Response(trigger, Or((control.output, *given_up)), asked.bound)",
        ),
        Change(
            "a rest has a hand on",
            "rest: Formula = And((in_run(hands.none_on), *meanwhile))",
            "rest: Formula = And((Not(on), *meanwhile))",
        ),
        Change(
            "an attempt is answered before the contacts are still",
            "still = And((held, control.hands_surely_on.all_on))",
            "still = held",
            BOUNCE,
        ),
        Change(
            "a change of the stations in use is no end of an attempt",
            "self.meanwhile.append(Not(control.hands.selection_changed))",
            "pass",
            STATIONS,
        ),
    ),
    *mutants(
        ROOM,
        "specification/model/station_formulas.py",
        ("specification/catalogue/test_hands_in_use.py", *STATIONS),
        Change(
            "what is asked of stations in use is asked of others as well",
            "return formula if condition is None else Implies(condition, formula)",
            "return formula",
            (*BOUNCE, *STATIONS),
        ),
        Change(
            "a hand that settles is not seen on",
            "Or((hand, settling))",
            "hand",
            BOUNCE,
        ),
        Change(
            "a hand that settles is surely on",
            "And((hand, Not(settling)))",
            "hand",
            BOUNCE,
        ),
        Change(
            "no station in use means all on",
            "return And((*self._some_in_use, *self._of_each(all_of)))",
            "return And(self._of_each(all_of))",
        ),
        Change(
            "no station in use means released",
            "return And((*self._some_in_use, *self._of_each(none_of)))",
            "return And(self._of_each(none_of))",
        ),
        Change(
            "hands of stations out of use count as on",
            "while_used(condition, any_of(hands))",
            "any_of(hands)",
        ),
        Change(
            "one conditional station among others has to be in use",
            "if len(conditions) == len(self.in_use) else ()",
            "if conditions else ()",
        ),
        Change(
            "a hand of a station out of use is released",
            "Not(while_used(condition, Fell(hand)))",
            "Not(Fell(hand))",
        ),
    ),
    *mutants(
        ROOM,
        "specification/model/control.py",
        BOUNCE,
        Change(
            "the hazard limits nothing",
            "return self.output if self.hazard is None else And((self.output, self.hazard))",
            "return self.output",
            TWO_HAND,
        ),
        Change(
            "a press is seen at the end of the bounce time",
            "return Units(0 if self.bounce is None else self.bounce.time + self.longest)",
            "return Units(0 if self.bounce is None else self.bounce.time)",
            BOUNCE,
        ),
    ),
)
