"""The blocks of the standard on Python values: timers, bistables, edges, counters.

IEC 61131-3 Ed. 2, Tables 34 to 38 (Ed. 3, Tables 43 to 46); where platforms read them
differently, ``Readings`` says which way.
"""

from __future__ import annotations

from collections.abc import MutableMapping
from dataclasses import dataclass
from typing import TypeAlias

from twohand.program import StandardBlock, StandardInstance
from twohand.program.durations import NO_TIME, Units
from twohand.program.types import Integer, Value
from twohand.scan.clocking import Readings

TIMERS = frozenset({StandardBlock.TON, StandardBlock.TOF, StandardBlock.TP})

OUTPUT_PINS: dict[StandardBlock, tuple[str, ...]] = {
    StandardBlock.TON: ("Q", "ET"),
    StandardBlock.TOF: ("Q", "ET"),
    StandardBlock.TP: ("Q", "ET"),
    StandardBlock.R_TRIG: ("Q",),
    StandardBlock.F_TRIG: ("Q",),
    StandardBlock.SR: ("Q1",),
    StandardBlock.RS: ("Q1",),
    StandardBlock.CTU: ("Q", "CV"),
    StandardBlock.CTD: ("Q", "CV"),
    StandardBlock.CTUD: ("QU", "QD", "CV"),
}


@dataclass
class InstanceMemory:
    """What an instance remembers besides its pins.

    ``last`` is the last IN of a timer, M of an edge block, the last CU or CD of a counter;
    ``last_down`` is the last CD of a CTUD. ``running`` says that a timer has an age: TON while IN
    is TRUE, TOF since IN fell, TP while its pulse was not yet seen over. ``age`` counts from
    the edge, ``preset`` is the PT that was read there (kept only where that is the reading).
    ``begun`` says of a timer that its program's first scan is over, and the first one after a
    restart.
    """

    last: bool = False
    last_down: bool = False
    running: bool = False
    age: Units = NO_TIME
    preset: Units = NO_TIME
    begun: bool = False

    def stop(self) -> None:
        """A timer without a past: nothing of its age is ever looked at again."""
        self.running, self.age, self.preset = False, NO_TIME, NO_TIME


Frozen: TypeAlias = tuple[bool, bool, bool, Units, Units, bool]


def frozen(memory: InstanceMemory) -> Frozen:
    began = (memory.last, memory.last_down, memory.running)
    return (*began, memory.age, memory.preset, memory.begun)


def first_memory(instance: StandardInstance, readings: Readings) -> InstanceMemory:
    """What an instance remembers before its first call."""
    if instance.block is StandardBlock.F_TRIG:
        return InstanceMemory(last=not readings.falling_edge_at_first_call)
    return InstanceMemory()


class InstanceCall:
    """A call of an instance that is made again and again, its input pins assigned before."""

    def __init__(
        self, instance: StandardInstance, values: MutableMapping[str, Value], readings: Readings
    ) -> None:
        self.instance = instance
        self.readings = readings
        self._values = values
        self._names = {pin: variable.name for pin, variable in instance.pins.items()}
        self.memory = first_memory(instance, readings)
        self.elapsed = NO_TIME

    def run(self, memory: InstanceMemory, elapsed: Units) -> None:
        """One call; ``elapsed`` is the time since the scan before."""
        self.memory, self.elapsed = memory, elapsed
        match self.instance.block:
            case StandardBlock.TON:
                self._on_delay()
            case StandardBlock.TOF:
                self._off_delay()
            case StandardBlock.TP:
                self._pulse()
            case StandardBlock.R_TRIG:
                self.set("Q", self.on("CLK") and not self.memory.last)
                self.memory.last = self.on("CLK")
            case StandardBlock.F_TRIG:
                self.set("Q", not self.on("CLK") and not self.memory.last)
                self.memory.last = not self.on("CLK")
            case StandardBlock.SR:
                self.set("Q1", self.on("S1") or (not self.on("R") and self.on("Q1")))
            case StandardBlock.RS:
                self.set("Q1", not self.on("R1") and (self.on("S") or self.on("Q1")))
            case StandardBlock.CTU:
                self._count_up()
            case StandardBlock.CTD:
                self._count_down()
            case StandardBlock.CTUD:
                self._count_both()

    def get(self, pin: str) -> Value:
        return self._values[self._names[pin]]

    def on(self, pin: str) -> bool:
        return bool(self.get(pin))

    def set(self, pin: str, value: Value) -> None:
        self._values[self._names[pin]] = value

    # --- timers -------------------------------------------------------------------------------

    def _start(self) -> None:
        """The edge call."""
        self.memory.running = True
        counts = self.readings.edge_call_counts and not self.instance.surroundings
        passed = self.memory.begun or self.readings.first_scan_has_time
        self.memory.age = self.elapsed if counts and passed else NO_TIME
        latched = self.readings.preset_latched
        self.memory.preset = Units(self.get("PT")) if latched else NO_TIME

    def _preset(self) -> Units:
        return self.memory.preset if self.readings.preset_latched else Units(self.get("PT"))

    def _over(self, edge: bool) -> bool:
        """Whether the preset time is over; ``edge`` in the edge call."""
        preset = self._preset()
        in_time = not edge or preset > 0 or bool(self.readings.zero_preset_at_once)
        return self.memory.age >= preset and in_time

    def _show(self, output: bool) -> None:
        self.set("Q", output)
        self.set("ET", max(0, min(self.memory.age, self._preset())))

    def _rest(self, output: bool) -> None:
        self.memory.stop()
        self.set("Q", output)
        self.set("ET", 0)

    def _on_delay(self) -> None:
        edge = self.on("IN") and not self.memory.last
        self.memory.last = self.on("IN")
        if not self.on("IN"):
            self._rest(False)
            return
        if edge:
            self._start()
        self._show(self._over(edge))

    def _off_delay(self) -> None:
        edge = not self.on("IN") and self.memory.last
        self.memory.last = self.on("IN")
        if edge:
            self._start()
        if self.on("IN") or not self.memory.running:
            self._rest(self.on("IN"))
        else:
            self._show(not self._over(edge))

    def _pulse(self) -> None:
        # A pulse found over in the call in which IN rises starts no new one: Table 38 wants IN
        # FALSE seen after the pulse.
        edge = self.on("IN") and not self.memory.last and not self.memory.running
        self.memory.last = self.on("IN")
        if edge:
            self._start()
        if self.memory.running:
            over = self._over(edge)
            self._show(not over)
            if over:
                self.memory.stop()
                if not self.on("IN"):
                    self.set("ET", 0)
        elif self.on("IN"):
            self.set("Q", False)
        else:
            self._rest(False)

    # --- counters -----------------------------------------------------------------------------

    def _edges(self, *pins: str) -> tuple[bool, ...]:
        """Which of the count inputs rose since the last call; remembers them."""
        before = (self.memory.last, self.memory.last_down)
        now = tuple(self.on(pin) for pin in pins)
        self.memory.last = now[0]
        self.memory.last_down = now[1] if len(now) > 1 else False
        return tuple(on and not was for on, was in zip(now, before, strict=False))

    def _step_up(self) -> None:
        value, limit = self.get("CV"), self._range.highest
        if self.readings.counter_stops_at_preset:
            limit = min(limit, self.get("PV"))
        if value < limit:
            self.set("CV", value + 1)

    def _step_down(self) -> None:
        limit = 0 if self.readings.counter_stops_at_preset else self._range.lowest
        if self.get("CV") > limit:
            self.set("CV", self.get("CV") - 1)

    @property
    def _range(self) -> Integer:
        kind = self.instance.pins["CV"].type
        if not isinstance(kind, Integer):
            raise TypeError(f"a counter counts integers, not {kind.name}")
        return kind

    def _count_up(self) -> None:
        (up,) = self._edges("CU")
        if self.on("R"):
            self.set("CV", 0)
        elif up:
            self._step_up()
        self.set("Q", self.get("CV") >= self.get("PV"))

    def _count_down(self) -> None:
        (down,) = self._edges("CD")
        if self.on("LD"):
            self.set("CV", self.get("PV"))
        elif down:
            self._step_down()
        self.set("Q", self.get("CV") <= 0)

    def _count_both(self) -> None:
        up, down = self._edges("CU", "CD")
        if self.on("R"):
            self.set("CV", 0)
        elif self.on("LD"):
            self.set("CV", self.get("PV"))
        elif up and not down:
            self._step_up()
        elif down and not up:
            self._step_down()
        self.set("QU", self.get("CV") >= self.get("PV"))
        self.set("QD", self.get("CV") <= 0)
