"""Random specs of small two-hand blocks: hands, stations, a hazard, assumptions over the past, a
plant with a timer, bounds in scans and in time, findings, power cycles.

The blocks are a correct one with a few of its tokens changed, so that requirements hold, fail and
say nothing in about equal parts; their windows are a few scans, so that every state can be visited.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from random import Random

BLOCK = """
FUNCTION_BLOCK Press
VAR_INPUT %(inputs)s : BOOL; END_VAR
VAR_OUTPUT stroke, lamp : BOOL; END_VAR
VAR window : TON; armed : BOOL; n : SINT; END_VAR
window(IN := left OR right, PT := T#%(preset)sms);
IF NOT left AND NOT right THEN armed := TRUE; END_IF;
IF left AND right AND NOT %(stop)s THEN
    IF armed AND NOT window.Q THEN stroke := TRUE; END_IF;
    armed := FALSE;
ELSE
    stroke := FALSE;
    IF window.Q THEN armed := FALSE; END_IF;
END_IF;
%(finding)s
lamp := stroke AND (armed OR window.Q OR left);
END_FUNCTION_BLOCK
"""
PLANT = """
FUNCTION_BLOCK Rod
VAR_INPUT coil, sticks : BOOL; END_VAR
VAR_OUTPUT away, moving : BOOL; END_VAR
VAR run : %(timer)s; END_VAR
run(IN := coil%(sticks)s, PT := T#%(preset)sms);
moving := run.Q AND NOT away OR away AND NOT coil;
away := run.Q;
END_FUNCTION_BLOCK
"""
SWAPS = (
    ("AND", "OR"), ("OR", "AND"), ("NOT ", ""), ("TON", "TOF"), ("TON", "TP"), ("TRUE", "FALSE"),
    ("left", "right"), ("right", "left"), ("armed", "stroke"), ("window.Q", "armed"),
)  # fmt: skip
FINDINGS = (
    "IF stroke THEN n := 4 / (n - 1); ELSE n := n + 1; END_IF;",
    "n := n + 1; IF n > 3 THEN n := 0; END_IF; IF lamp THEN n := 7 MOD n; END_IF;",
    "IF armed THEN n := 126; END_IF; IF stroke AND window.Q THEN n := n + 2; END_IF;",
)
ASSUMED = (
    "NOT (left AND right) OR prev(left OR right)",
    "fell(left) -> prev(right)",
    "rose(right) -> NOT prev(rose(left))",
    "NOT (left AND FIRST_SCAN)",
    "right -> once(left)",
    "NOT since(left, fell(right))",
    "left OR held(NOT right)",
    "prev(left, 2) -> NOT rose(right)",
    "rose(left) -> prev(NOT left, 2)",
    "(NOT left) SINCE FIRST_SCAN OR right",
    "left <> prev(left) OR FIRST_SCAN OR prev(left, 2) = right",
    "once(left) -> right",
)
MACHINE = (
    "stop (condition := window.Q)",
    "stop (condition := lamp AND NOT armed)",
    "stop (condition := prev(stroke, 2), start := right)",
    "manual_reset (reset := left, ready := lamp, safeguards := NOT window.Q)",
    "manual_reset (reset := right, ready := stroke, safeguards := left OR armed, start := left)",
    "two_hand_trip (complete := window.Q, scans := 1, unchanged := T#3ms)",
    "single_stroke (complete := NOT armed, unchanged := T#4ms)",
    "two_hand_trip (complete := prev(window.Q, 2) AND left)",
)
"""What is asked of stop, reset and the end of a stroke beside the hands."""
PROPERTIES = (
    "stroke -> once(left, T#2ms)",
    "fell(stroke) -> NOT stroke WITHIN 1 SCANS",
    "rose(left) -> stroke OR NOT left WITHIN T#3ms",
    "fell(stroke) -> NOT stroke UNTIL NOT left",
    "stroke BEFORE lamp",
    "FIRST_SCAN -> left BEFORE stroke",
    "lamp -> held(stroke, 2 SCANS)",
    "NEVER lamp AND NOT prev(stroke, 2)",
    "stroke -> NOT since(right, rose(right), T#4ms..)",
    "n < 3",
    "prev(n) <= n OR stroke",
)
REACHED = (
    "lamp AND NOT armed",
    "stroke AND held(left)",
    "fell(stroke) AND NOT once(fell(left), 3 SCANS)",
    "rose(stroke) AND prev(stroke, 2)",
    "n = 3",
)


@dataclass(frozen=True)
class SpecText:
    block: str
    plant: str
    spec: str


class SpecDraw:
    """Draws one spec; every choice comes from ``random``."""

    def __init__(self, random: Random) -> None:
        self.random = random
        self.inputs: list[str] = []

    def chance(self, share: float) -> bool:
        return self.random.random() < share

    def pick(self, *choices: str) -> str:
        return self.random.choice(choices)

    def draw(self) -> SpecText:
        scan = self.pick("T#1ms", "T#1ms", "T#2ms", "T#1500us", "T#1ms..T#2ms")
        stations = self.chance(0.15)
        if stations:
            self.inputs += ["l2", "r2"]
        plant = not stations and self.chance(0.35)
        surroundings = ["stop"] if plant or self.chance(0.3) else []
        self.inputs += surroundings
        contact = not stations and not surroundings and self.chance(0.25)
        if contact:
            self.inputs.append("leftNC")
        power = not stations and self.chance(0.15)
        statements = [f"SCAN {scan};", *self._hands(stations, contact), *self._outputs()]
        if power:
            statements.append("POWER CYCLES;")
        if self.chance(0.4):
            statements.append(f"READING edge_call_counts {self.pick('TRUE', 'FALSE')};")
        if plant:
            statements += self._plant()
        statements += self._control(bool(surroundings), stations)
        statements += self._own()
        text = "\n    ".join(["SPEC Drawn", "SOURCE 'block.st';", *statements]) + "\nEND_SPEC\n"
        stop = "stop" if surroundings else "FALSE"
        return SpecText(self._block(stop, stations), self._plant_text(), text)

    # --- texts --------------------------------------------------------------------------------

    def _block(self, stop: str, stations: bool) -> str:
        text = BLOCK % {
            "inputs": ", ".join(["left", "right", *self.inputs]),
            "preset": self.random.randint(2, 4),
            "stop": f"{stop} AND l2 AND r2" if stations and self.chance(0.7) else stop,
            "finding": self.pick(*FINDINGS) if self.chance(0.3) else "",
        }
        if stations:
            text = text.replace("left AND right AND NOT FALSE", "left AND right AND l2 AND r2", 1)
            text = text.replace("NOT left AND NOT right T", "NOT (left OR right OR l2 OR r2) T", 1)
        head, _, body = text.partition("window(IN")
        for _ in range(self.random.choice((0, 0, 1, 1, 2))):
            body = self._changed(body)
        return f"{head}window(IN{body}" if self.chance(0.9) else self._changed(text)

    def _changed(self, text: str) -> str:
        """One token swapped."""
        old, new = self.random.choice(SWAPS)
        places = [m.start() for m in re.finditer(rf"(?<![\w.]){re.escape(old)}", text)]
        if not places:
            return text
        place = self.random.choice(places)
        return text[:place] + new + text[place + len(old) :]

    def _plant_text(self) -> str:
        return PLANT % {
            "timer": self.pick("TON", "TOF", "TP"),
            "sticks": self.pick("", " AND NOT sticks"),
            "preset": self.random.randint(1, 3),
        }

    # --- statements ---------------------------------------------------------------------------

    def _hands(self, stations: bool, contact: bool) -> list[str]:
        further = ", NOT leftNC" if contact else ""
        hands = [f"HAND left = left{further};", "HAND right = right;"]
        if stations:
            hands += ["HAND l2 = l2;", "HAND r2 = r2;"]
            hands += ["STATION front = left, right;", "STATION back = l2, r2;"]
        return hands

    def _outputs(self) -> list[str]:
        return ["OUTPUT stroke, lamp;"] if self.chance(0.2) else ["OUTPUT stroke;"]

    def _plant(self) -> list[str]:
        given = ", sticks := FALSE" if self.chance(0.5) else ""
        fed = self.pick("rod.away", "rod.moving", "NOT rod.away")
        return [
            f"PLANT rod : Rod IN 'rod.st' (coil := stroke{given});",
            f"FEEDBACK stop := {fed};",
        ]

    def _control(self, surroundings: bool, stations: bool) -> list[str]:
        kind = self.pick("I", "II", "III", "III")
        options = ""
        if kind == "III":
            word = "WINDOW" if self.chance(0.6) else "TRUE_LAG"
            options += f", {word} T#{self.random.randint(3, 5)}ms"
        if self.chance(0.3):
            options += f", RELEASE WITHIN {self.random.randint(1, 2)} SCANS"
        statements = [f"REQUIRE TWO_HAND LOGIC TYPE {kind}{options};"]
        if self.chance(0.3):
            dangerous = self.pick("NOT armed", "NOT window.Q", "lamp", "prev(stroke)")
            statements.append(f"HAZARD {dangerous};")
        if self.chance(0.6):
            bound = self.pick("0 SCANS", "1 SCANS", "T#2ms")
            lag = self.pick("", "", " LAG T#1ms")
            condition = self.pick("", " WHEN NOT stop") if surroundings else ""
            statements.append(f"AVAILABLE WITHIN {bound}{lag}{condition};")
        return statements

    def _own(self) -> list[str]:
        statements = []
        for formula in self.random.sample(ASSUMED, self.random.choice((0, 0, 1, 1, 2))):
            statements.append(f"ASSUME {formula};")
        for number, formula in enumerate(self.random.sample(PROPERTIES, 2)):
            statements.append(f"PROPERTY p{number} : {formula};")
        if self.chance(0.5):
            statements.append(f"REACHABLE r : {self.pick(*REACHED)};")
        return statements


def drawn_spec(seed: int, more: bool = False) -> SpecText:
    """One spec; with ``more`` its contacts bounce, or one of its stations is not always in use."""
    text = SpecDraw(Random(seed)).draw()
    if not more:
        return _of_a_machine(text, seed)
    if "STATION" in text.spec:
        block = text.block.replace(", r2 :", ", r2, sel :")
        return replace(text, block=block, spec=text.spec.replace("l2, r2;", "l2, r2 WHEN sel;"))
    bounce = f"BOUNCE T#{Random(seed).randint(1, 2)}ms;"
    return replace(text, spec=text.spec.replace("OUTPUT", f"{bounce}\n    OUTPUT", 1))


def _of_a_machine(text: SpecText, seed: int) -> SpecText:
    """With some seeds something is asked of stop, reset or the end of a stroke as well."""
    random = Random(f"machine {seed}")
    if random.random() < 0.5:
        return text
    asked = f"REQUIRE {random.choice(MACHINE)};"
    return replace(text, spec=text.spec.replace("\nEND_SPEC", f"\n    {asked}\nEND_SPEC"))
