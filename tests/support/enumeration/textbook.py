"""Small systems whose answers are in every textbook, as structured text with requirements.

``holds`` says of each requirement whether it holds; ``shortest`` gives for a violated one the
number of scans of the shortest run that shows it, where the source states it or it is plain.
``hard`` names those that the engine is known to leave undecided: numbers tied to each other by
arithmetic. There it may prove or give up, but never say the opposite.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path

from twohand.specification.load import load_specification
from twohand.specification.model.specification import Specification

from tests.support.enumeration.textbook_blocks import (
    ALTERNATING_BIT,
    BRAKES,
    BUFFER,
    COUNTERS,
    CROSSING,
    DEBOUNCE_BY_COUNT,
    DEBOUNCE_BY_TIMER,
    EXCLUSION,
    FISCHER,
    FLAGS,
    GRAY,
    JUGS,
    ONE_BIT,
    PETERSON,
    PHILOSOPHERS,
    RIVER,
    TURNS,
    VIGILANCE,
    WATER_LEVEL,
)


@dataclass(frozen=True)
class TextbookSystem:
    name: str
    origin: str
    block: str
    demands: str
    holds: Mapping[str, bool]
    scan: str = "T#1ms"
    shortest: Mapping[str, int] = field(default_factory=dict)
    hard: frozenset[str] = frozenset()

    def load(self, folder: Path) -> Specification:
        """The resolved spec; writes its two files into ``folder``."""
        (folder / "block.st").write_text(self.block, encoding="utf-8")
        text = (
            f"SPEC {self.name}\nSOURCE 'block.st';\nSCAN {self.scan};\n{self.demands}\nEND_SPEC\n"
        )
        path = folder / "block.spec"
        path.write_text(text, encoding="utf-8")
        return load_specification(path)


PETERSON_ORIGIN = "G. L. Peterson, Myths about the mutual exclusion problem, 1981; from memory"
FISCHER_ORIGIN = (
    "M. Fischer's timed exclusion, in L. Lamport, A fast mutual exclusion, 1987; from memory"
)
CROSSING_ORIGIN = "railway crossing: Leveson and Stolzy 1987, Alur and Dill 1994; from memory"
GRAY_ORIGIN = "F. Gray, reflected binary code, 1953; from memory"
DEBOUNCE_ORIGIN = "debouncing of a contact; common practice"
BIT_ORIGIN = "Bartlett, Scantlebury and Wilkinson, alternating bit protocol, 1969; from memory"
WATER_ORIGIN = "water level monitor: Alur and others, Hybrid systems, 1995; from memory"
FORKS_ORIGIN = "E. W. Dijkstra's philosophers at table, 1971; from memory"
BUFFER_ORIGIN = "bounded buffer: E. W. Dijkstra 1965; from memory"

TEXTBOOK = (
    TextbookSystem(
        "exclusion_by_turn_and_flag",
        PETERSON_ORIGIN,
        PETERSON.format(first1=FLAGS["1"], then1=TURNS["1"], first2=FLAGS["2"], then2=TURNS["2"]),
        EXCLUSION,
        {"exclusion": True, "flag_first": True},
    ),
    TextbookSystem(
        "turn_before_flag",
        PETERSON_ORIGIN,
        PETERSON.format(first1=TURNS["1"], then1=FLAGS["1"], first2=TURNS["2"], then2=FLAGS["2"]),
        EXCLUSION,
        {"exclusion": False, "flag_first": True},
        shortest={"exclusion": 6},
    ),
    TextbookSystem(
        "exclusion_by_delay",
        FISCHER_ORIGIN,
        FISCHER.format(delay="T#4ms"),
        "PROPERTY exclusion : NOT (inside1 AND inside2);",
        {"exclusion": True},
    ),
    TextbookSystem(
        "delay_too_short",
        FISCHER_ORIGIN,
        FISCHER.format(delay="T#1ms"),
        "PROPERTY exclusion : NOT (inside1 AND inside2);",
        {"exclusion": False},
    ),
    TextbookSystem(
        "gate_in_time",
        CROSSING_ORIGIN,
        CROSSING.format(gate="T#3ms"),
        "PROPERTY safe : crossing -> lowered;",
        {"safe": True},
        scan="T#1ms..T#2ms",
    ),
    TextbookSystem(
        "gate_late",
        CROSSING_ORIGIN,
        CROSSING.format(gate="T#9ms"),
        "PROPERTY safe : crossing -> lowered;",
        {"safe": False},
        scan="T#1ms..T#2ms",
    ),
    TextbookSystem(
        "counters_modulo",
        "counters modulo 4 and 8; plain arithmetic",
        COUNTERS,
        """
        PROPERTY together : low = high MOD 4;
        PROPERTY in_range : low < 4 AND high < 8;
        PROPERTY not_seven : high <> 7;
        PROPERTY steps : high = prev(high) OR high = (prev(high) + 1) MOD 8;
        """,
        {"together": True, "in_range": True, "not_seven": False, "steps": True},
        shortest={"not_seven": 7},
        hard=frozenset({"together"}),
    ),
    TextbookSystem(
        "gray_code",
        GRAY_ORIGIN,
        GRAY.format(with1=" XOR b1", with2=" XOR b2"),
        ONE_BIT,
        {"not_first_two": True, "not_last_two": True},
        hard=frozenset({"not_first_two", "not_last_two"}),
    ),
    TextbookSystem(
        "plain_binary_code",
        GRAY_ORIGIN,
        GRAY.format(with1="", with2=""),
        ONE_BIT,
        {"not_first_two": False, "not_last_two": False},
        shortest={"not_first_two": 2, "not_last_two": 4},
    ),
    TextbookSystem(
        "debounce_by_timer",
        DEBOUNCE_ORIGIN,
        DEBOUNCE_BY_TIMER.format(settle="T#3ms", again="differs(IN := FALSE);"),
        "PROPERTY settled : rose(clean) -> held(raw, T#2ms);",
        {"settled": True},
        scan="T#1ms..T#2ms",
    ),
    TextbookSystem(
        "debounce_whose_timer_never_sees_false",
        DEBOUNCE_ORIGIN,
        DEBOUNCE_BY_TIMER.format(settle="T#3ms", again=""),
        "PROPERTY settled : rose(clean) -> held(raw, T#2ms);",
        {"settled": False},
        scan="T#1ms..T#2ms",
    ),
    TextbookSystem(
        "debounce_by_short_timer",
        DEBOUNCE_ORIGIN,
        DEBOUNCE_BY_TIMER.format(settle="T#1ms", again="differs(IN := FALSE);"),
        "PROPERTY settled : rose(clean) -> held(raw, T#2ms);",
        {"settled": False},
        scan="T#1ms..T#2ms",
    ),
    TextbookSystem(
        "debounce_by_count",
        DEBOUNCE_ORIGIN,
        DEBOUNCE_BY_COUNT.format(otherwise="ELSE number := 0;"),
        "PROPERTY settled : rose(clean) -> held(raw, 2 SCANS);",
        {"settled": True},
    ),
    TextbookSystem(
        "count_never_cleared",
        DEBOUNCE_ORIGIN,
        DEBOUNCE_BY_COUNT.format(otherwise=""),
        "PROPERTY settled : rose(clean) -> held(raw, 2 SCANS);",
        {"settled": False},
        shortest={"settled": 4},
    ),
    TextbookSystem(
        "alternating_bit",
        BIT_ORIGIN,
        ALTERNATING_BIT.format(fresh="bit = expected"),
        """
        PROPERTY in_step : accepted = acknowledged OR accepted = (acknowledged + 1) MOD 4;
        """,
        {"in_step": True},
        hard=frozenset({"in_step"}),
    ),
    TextbookSystem(
        "no_bit",
        BIT_ORIGIN,
        ALTERNATING_BIT.format(fresh="TRUE"),
        """
        PROPERTY in_step : accepted = acknowledged OR accepted = (acknowledged + 1) MOD 4;
        """,
        {"in_step": False},
        shortest={"in_step": 2},
    ),
    TextbookSystem(
        "water_level",
        WATER_ORIGIN,
        WATER_LEVEL.format(delay="4"),
        "PROPERTY in_range : level >= 2 AND level <= 24; REACHABLE full : level = 24;",
        {"in_range": True, "full": False},
        scan="T#500ms",
        shortest={"full": 22},
    ),
    TextbookSystem(
        "water_level_late",
        WATER_ORIGIN,
        WATER_LEVEL.format(delay="6"),
        "PROPERTY in_range : level >= 2 AND level <= 24;",
        {"in_range": False},
        scan="T#500ms",
        shortest={"in_range": 23},
    ),
    TextbookSystem(
        "philosophers_alike",
        FORKS_ORIGIN,
        PHILOSOPHERS.format(one="right", other="left"),
        "PROPERTY no_deadlock : NOT stuck;",
        {"no_deadlock": False},
        shortest={"no_deadlock": 2},
    ),
    TextbookSystem(
        "philosophers_in_one_order",
        FORKS_ORIGIN,
        PHILOSOPHERS.format(one="left", other="right"),
        "PROPERTY no_deadlock : NOT stuck;",
        {"no_deadlock": True},
    ),
    TextbookSystem(
        "river_crossing",
        "wolf, goat and cabbage: Alcuin, Propositiones 18, in seven crossings; from memory",
        RIVER,
        "REACHABLE all_across : across;",
        {"all_across": False},
        shortest={"all_across": 7},
    ),
    TextbookSystem(
        "jugs",
        "four litres from jugs of three and five in six steps; L. Lamport's course; from memory",
        JUGS,
        "REACHABLE four : five = 4; PROPERTY fits : three <= 3 AND five <= 5;",
        {"four": False, "fits": True},
        shortest={"four": 6},
    ),
    TextbookSystem(
        "vigilance",
        "vigilance device of a locomotive; common practice",
        VIGILANCE.format(patience="T#4ms"),
        BRAKES,
        {"brakes": True, "keeps_braking": True, "not_early": True},
        scan="T#1ms..T#2ms",
    ),
    TextbookSystem(
        "vigilance_too_patient",
        "vigilance device of a locomotive; common practice",
        VIGILANCE.format(patience="T#8ms"),
        BRAKES,
        {"brakes": False, "keeps_braking": True, "not_early": True},
        scan="T#1ms..T#2ms",
    ),
    TextbookSystem(
        "bounded_buffer",
        BUFFER_ORIGIN,
        BUFFER.format(room=" AND filled < 3"),
        "PROPERTY in_range : filled >= 0 AND filled <= 3;",
        {"in_range": True},
    ),
    TextbookSystem(
        "buffer_without_a_guard",
        BUFFER_ORIGIN,
        BUFFER.format(room=""),
        "PROPERTY in_range : filled >= 0 AND filled <= 3;",
        {"in_range": False},
        shortest={"in_range": 4},
    ),
)
