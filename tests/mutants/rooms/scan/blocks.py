"""One scan as terms: timers and the other standard blocks."""

from __future__ import annotations

from tests.mutants.mutant import Change, mutants
from tests.mutants.rooms.tables import SYSTEM_TABLE

ROOM = "scan/symbolic"
BOTH = ("scan/meaning/test_values_in_both_rooms.py",)
TIMERS = ("scan/symbolic/test_encode_timers.py", SYSTEM_TABLE)
BLOCKS = ("scan/symbolic/test_encode_blocks.py", *BOTH, SYSTEM_TABLE)
SURROUNDINGS = "specification/surroundings/test_bounce.py"

MUTANTS = (
    *mutants(
        ROOM,
        "scan/symbolic/timers.py",
        TIMERS,
        Change(
            "an on-delay latches its preset in every call",
            "edge = both(start, negation(last))",
            "edge = start",
        ),
        Change(
            "an off-delay latches its preset in every call",
            "edge = both(negation(start), last)",
            "edge = negation(start)",
        ),
        Change(
            "an edge while the pulse runs latches its preset anew",
            "edge = both(negation(pulsing), both(start, negation(last)))",
            "edge = both(start, negation(last))",
        ),
        Change(
            "every edge call counts its time",
            "return choose(counts, scan.elapsed, 0, NUMBER())",
            "return scan.elapsed",
        ),
        Change(
            "time has passed in the first scan on every platform",
            'either(begun, scan.reading("first_scan_has_time"))',
            "True",
        ),
        Change(
            "no time has passed in the first scan on any platform",
            'either(begun, scan.reading("first_scan_has_time"))',
            "begun",
        ),
        Change(
            "a timer starts in a first scan only on its way to another one",
            "all_of((scan.here(), edge, negation(begun)))",
            "all_of((scan.here(), edge, begun))",
        ),
        Change(
            "timers of the surroundings depend on the platform",
            "if instance.surroundings:",
            "if instance is None:",
            (f"{SURROUNDINGS}::test_the_time_of_the_surroundings_is_the_same_on_every_platform",),
        ),
        Change(
            "over only beyond the preset",
            "return at_least(times(self.scan.tick, age), self.preset)",
            "return negation(at_least(self.preset, times(self.scan.tick, age)))",
        ),
        Change(
            "no preset is over at once on every platform",
            "return both(self.over(self.contribution), either(positive, at_once))",
            "return self.over(self.contribution)",
        ),
        Change(
            "a preset of zero counts as one",
            "positive = at_least(self.preset, 1)",
            "positive = at_least(self.preset, 0)",
        ),
        Change(
            "ET goes on beyond the preset",
            "value = choose(self.over(age), self.preset, times(self.scan.tick, age), NUMBER())",
            "value = times(self.scan.tick, age)",
        ),
        Change(
            "ET shows a negative preset",
            "return choose(at_least(self.preset, 1), value, 0, NUMBER())",
            "return value",
        ),
        Change(
            "the preset is never latched",
            'return choose(scan.reading("preset_latched"), latched, now, NUMBER())',
            "return now",
        ),
        Change(
            "an on-delay forgets its edge call",
            "over = choose(last, this.over(this.age), this.over_at_edge(), TRUTH())",
            "over = this.over(this.age)",
        ),
        Change(
            "an on-delay is on without its input",
            "this.show(both(start, over), choose(start, shown, 0, NUMBER()))",
            "this.show(over, choose(start, shown, 0, NUMBER()))",
        ),
        Change(
            "an off-delay runs before its input ever was on",
            "timing = both(negation(start), either(last, running))",
            "timing = negation(start)",
        ),
        Change(
            "an off-delay is off with its input on",
            "this.show(either(start, both(timing, negation(over)))",
            "this.show(both(timing, negation(over))",
        ),
        Change("an off-delay ends after one call", "running=timing", "running=start"),
        Change("a pulse never ends", "still = both(on, negation(over))", "still = on"),
        Change(
            "ET of a pulse that is over is lost",
            'held = choose(on, shown, this.scan.number(this.instance.pins["ET"]), NUMBER())',
            "held = shown",
        ),
        Change(
            "ET of a pulse stays without its input",
            "released = choose(still, shown, 0, NUMBER())",
            "released = shown",
        ),
    ),
    *mutants(
        ROOM,
        "scan/symbolic/blocks.py",
        BLOCKS,
        Change("a level is an edge", "edge = both(now, negation(scan.truth(slot)))", "edge = now"),
        Change(
            "the first call of a falling trigger is read the other way",
            'first = negation(scan.reading("falling_edge_at_first_call"))',
            'first = scan.reading("falling_edge_at_first_call")',
        ),
        Change(
            "a falling trigger is on while its input is off",
            '_pin(scan, instance, "Q", both(off, negation(memory)))',
            '_pin(scan, instance, "Q", off)',
        ),
        Change(
            "SR forgets",
            '_pin(scan, instance, "Q1", either(_read(scan, instance, "S1"), stays))',
            '_pin(scan, instance, "Q1", _read(scan, instance, "S1"))',
        ),
        Change(
            "reset dominates in SR",
            'either(_read(scan, instance, "S1"), stays)',
            'both(negation(_read(scan, instance, "R")), either(_read(scan, instance, "S1"), stays))',
        ),
        Change(
            "set dominates in RS",
            'both(negation(_read(scan, instance, "R1")), on)',
            'either(_read(scan, instance, "S"), both(negation(_read(scan, instance, "R1")), on))',
        ),
        Change(
            "a counter goes one beyond its preset",
            "choose(stops, below(count, preset),",
            "choose(stops, at_least(preset, count),",
        ),
        Change(
            "a counter leaves its type above",
            "below(count, kind.highest), truth)",
            "True, truth)",
        ),
        Change(
            "a counter goes one below zero",
            "choose(stops, at_least(count, 1),",
            "choose(stops, at_least(count, 0),",
        ),
        Change(
            "a counter leaves its type below",
            "at_least(count, kind.lowest + 1), truth)",
            "True, truth)",
        ),
        Change(
            "both edges count up",
            "rises = both(both(up, negation(down)), room_above)",
            "rises = both(up, room_above)",
        ),
        Change(
            "loading comes before resetting",
            "choose(reset, 0, choose(load, preset, counted, number), number)",
            "choose(load, preset, choose(reset, 0, counted, number), number)",
        ),
        Change(
            "a counter is full one later",
            "full, empty = at_least(count, preset),",
            "full, empty = at_least(count, total(preset, 1)),",
        ),
        Change("a counter at zero is not empty", "below(count, 1)", "below(count, 0)"),
        Change(
            "an edge under reset is kept for later",
            "    scan.write(slot, now)\n    return edge",
            '    stays = scan.read(instance.pins["R"]) if "R" in instance.pins else False\n'
            "    scan.write(slot, both(now, negation(stays)))\n    return edge",
        ),
    ),
)
