"""A typed program as a whole."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from twohand.program.durations import Nanoseconds
from twohand.program.nodes import Literal, Routine
from twohand.program.types import Enumeration
from twohand.program.variables import Role, StandardInstance, Variable
from twohand.text.source_text import SourceText, Span


@dataclass(frozen=True, eq=False)
class LeftOut:
    """Something that the program says and the model does not have, in words for the report;
    ``variable`` is the name of a variable that is missing altogether."""

    what: str
    span: Span = field(repr=False)
    variable: str | None = None


@dataclass(frozen=True, eq=False)
class Task:
    """A task of a configuration; ``interval`` is None for one that an event starts;
    ``programs`` are those of its programs that have the block in them."""

    name: str
    interval: Nanoseconds | None
    programs: tuple[str, ...]
    span: Span = field(repr=False)


@dataclass(frozen=True, eq=False)
class Program:
    """The block to check, ready to be given a meaning.

    ``inputs`` are read anew at each scan (VAR_INPUT and VAR_IN_OUT of the top block, of a plant
    those that nothing drives). ``variables`` are all variables, inputs, pins and function
    variables included, in order of declaration. ``routine`` is one scan's work.
    """

    name: str
    inputs: tuple[Variable, ...]
    outputs: tuple[Variable, ...]
    variables: tuple[Variable, ...]
    instances: tuple[StandardInstance, ...]
    routine: Routine
    constants: Mapping[str, Literal] = field(default_factory=dict)
    enumerations: Mapping[str, Enumeration] = field(default_factory=dict)
    sources: tuple[SourceText, ...] = ()
    read: tuple[SourceText, ...] = ()
    """All files that were read for it: those that have a part of it (``sources``), and those that
    were searched for one."""
    left_out: tuple[LeftOut, ...] = ()
    real_constants: Mapping[str, str] = field(default_factory=dict)
    """In words, the constants of REAL and LREAL by name, which only the program itself can name."""
    tasks: tuple[Task, ...] = ()
    """The tasks in which the block runs; all of the configuration where it names no block."""
    changed_inputs: frozenset[Variable] = frozenset()
    """Inputs that the block writes too: variables shared with others."""
    aliases: Mapping[str, str] = field(default_factory=dict)
    """Further names of variables, with small letters, and the name that each means."""
    addresses: Mapping[str, str] = field(default_factory=dict)
    """The direct addresses of the variables that have one, by their names."""

    @property
    def sampled(self) -> tuple[Variable, ...]:
        """The inputs whose value in a scan is what was sampled. An in-out variable is read anew as
        well, but its value is what the body leaves in it; the clock goes on by itself."""
        changed = self.changed_inputs
        read = (v for v in self.inputs if v.role is not Role.IN_OUT and v not in changed)
        return tuple(v for v in read if not v.keeps_clock)

    @property
    def clock(self) -> Variable | None:
        """The scan's clock, where the program reads it."""
        return next((v for v in self.inputs if v.keeps_clock), None)

    @property
    def stamps(self) -> tuple[Variable, ...]:
        """The variables that keep readings of the clock."""
        return tuple(v for v in self.variables if v.keeps_clock and v is not self.clock)

    @property
    def older(self) -> tuple[Variable, ...]:
        """The inputs that were there before the first scan, and were as they were: what is sampled,
        apart from what the surroundings choose."""
        return tuple(v for v in self.sampled if not v.surroundings)

    @property
    def uncomputed(self) -> tuple[Variable, ...]:
        """The inputs that stand for what nobody computes."""
        return tuple(v for v in self.inputs if v.uncomputed)

    def variable(self, name: str) -> Variable | None:
        """The variable of this path, in any letter case."""
        wanted = self.aliases.get(name.casefold(), name).casefold()
        return next((v for v in self.variables if v.name.casefold() == wanted), None)
