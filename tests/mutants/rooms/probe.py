"""What a controller's number is taken to say."""

from __future__ import annotations

from tests.mutants.mutant import Change, mutants

ROOM = "probe"
NUMBER = ("probe/test_probe_number.py",)
COMMAND = ("commands/test_probe_command.py",)

MUTANTS = (
    *mutants(
        ROOM,
        "probe/number.py",
        NUMBER,
        Change("check digits are not looked at", "check_digits(body) != check", "False"),
        Change("any version will do", "if version != VERSION:", "if False:"),
        Change("any rounds will do", "if rounds != ROUNDS:", "if False:"),
        Change("one start is enough", "if len(observations) < ASKED_NUMBERS:", "if False:"),
        Change("starts may differ", "(len(seen) > 1 or Seen.NOT_CLEAR in seen)", "len(seen) > 2"),
        Change(
            "what is not modelled is passed over",
            "for name, seen in readings.items() if Seen.NEITHER in seen]",
            "for name, seen in readings.items() if False]",
        ),
        Change(
            "a first scan may have time where no edge call counts any",
            "if edges == {Seen.FALSE} and Seen.TRUE in first:",
            "if False:",
        ),
        Change("a clock may move", "{Seen.FALSE, Seen.NEITHER}", "set()"),
        Change("a clock that was not seen is still", "if Seen.NOT_CLEAR in clock:", "if False:"),
        Change(
            "the rest is fixed where something is open",
            "if not_modelled or not_clear:",
            "if not_modelled:",
        ),
    ),
    *mutants(
        ROOM,
        "specification/reading/platform.py",
        COMMAND,
        Change("nothing needs to be filled in", 'if not text or "?" in text:', "if not text:"),
    ),
)
