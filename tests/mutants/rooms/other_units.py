"""Which files and units are needed, and what the others do to a block."""

from __future__ import annotations

from tests.mutants.mutant import Change, mutants

ROOM = "other units"
SAMPLES = ("typecheck/test_language_samples.py",)
NEEDED = ("files/test_only_what_is_needed.py",)
CALLS = ("typecheck/test_calls_from_outside.py",)

MUTANTS = (
    *mutants(
        ROOM,
        "syntax/parsing/readable.py",
        NEEDED,
        Change(
            "a choice among texts may go beyond a member",
            "len(_OPENS.findall(said)) == len(_CLOSES.findall(said)) and",
            "",
        ),
        Change(
            "no method is called at start",
            " and not part.keys & _AT_START",
            "",
        ),
        Change(
            "where a member is means nothing",
            "head, end = _stub(part, said)",
            'head, end = "", ""',
        ),
        Change(
            "parameters may be left out",
            "(?P<begin>VAR|VAR_TEMP|",
            "(?P<begin>VAR|VAR_INPUT|VAR_TEMP|",
        ),
    ),
    *mutants(
        ROOM,
        "files/parsed_parts.py",
        NEEDED,
        Change(
            "what cannot be read may be named",
            "bad = [s for s, parts in unread.items() if any(p.keys & named for p in parts)]",
            "bad: list[Segment] = []",
        ),
        Change(
            "what cannot be read names nothing",
            "tree.UnreadMember(name, names | addresses)",
            "tree.UnreadMember(name, frozenset())",
        ),
    ),
    *mutants(
        ROOM,
        "files/project.py",
        NEEDED,
        Change(
            "a standard block stands for a broken one",
            "any(standard(key) or len(self._declaring[key]) > 1 for key in segment.keys)",
            "any(len(self._declaring[key]) > 1 for key in segment.keys)",
        ),
        Change(
            "one of two stands for the other, which is broken",
            "any(standard(key) or len(self._declaring[key]) > 1 for key in segment.keys)",
            "any(standard(key) for key in segment.keys)",
        ),
        Change(
            "global variables that are broken are read from elsewhere",
            "if any(not own.isdisjoint(other.names) for other in others):",
            "if False:",
        ),
        Change(
            "a second block of the name is passed over",
            "waiting.extend(s for s in self._declaring[block.name.upper()] if s.kind in _WITH_BODY)",
            "pass",
        ),
        Change(
            "types that are not read have no instances",
            "found |= names & segment.types",
            "pass",
        ),
    ),
    *mutants(
        ROOM,
        "typecheck/units/beside.py",
        ("files/test_projects.py",),
        Change(
            "what looks like a circle is one",
            "return [each for each in following if each.name.upper() in names]",
            "return following",
        ),
        Change(
            "a unit is declared once, whatever the files",
            "if len(some) > 1 and",
            "if len(some) > 2 and",
        ),
    ),
    *mutants(
        ROOM,
        "files/index.py",
        ("files/test_projects.py",),
        Change(
            "words in strings begin units",
            "if string is None or match.start() < string.start():",
            "if True:",
        ),
        Change(
            "a structure has the name of what it extends",
            'if piece != "EXTENDS" and base != "EXTENDS":',
            "if True:",
        ),
    ),
    *mutants(
        ROOM,
        "typecheck/variables/outside_calls.py",
        NEEDED,
        Change(
            "what a member names that cannot be read is not written",
            "            written |= set(may_write(each))\n",
            "",
        ),
    ),
    *mutants(
        ROOM,
        "typecheck/variables/outside_calls.py",
        CALLS,
        Change(
            "what a called member calls writes nothing",
            "waiting.extend(n.key for n in nodes_below(part) if isinstance(n, tree.Identifier))",
            "pass",
        ),
        Change(
            "a block that extends the checked one is another",
            "        name = unit.base\n",
            "        name = None\n",
        ),
        Change(
            "a call of an element of an array is of another block",
            "if any(isinstance(s, tree.Identifier) and s.key == key for s in selectors):",
            "if False:",
        ),
        Change(
            "an instance may run between the scans",
            "if next(instances_in(entity), None) is not None:",
            "if False:",
        ),
        Change(
            "reading a property writes nothing",
            "(way for way in (member.get, member.set) if way is not None)",
            "(way for way in (member.set,) if way is not None)",
        ),
    ),
    *mutants(
        ROOM,
        "typecheck/units/outside_writes.py",
        CALLS,
        Change(
            "a string writes",
            "                continue  # a string\n            path = _names_of(use[use.lastgroup])\n",
            "                path = _names_of(use[0])\n            else:\n"
            "                path = _names_of(use[use.lastgroup])\n",
        ),
        Change("what is not declared is no instance", "types is None or", "types is not None and"),
        Change(
            "a block that extends it is another",
            "lambda some: {d for key in some for d in derived[key]}",
            "lambda some: set()",
        ),
        Change("what has an instance in it has none", "for key in keys},", "for key in ()},"),
        Change(
            "every address goes to a pointer",
            "return name in self._block or self.has_one(name, here)",
            "return True",
        ),
    ),
    *mutants(
        ROOM,
        "typecheck/variables/external_writers.py",
        CALLS,
        Change(
            "a call writes only the block's own variables",
            "self._names.update(self.own_written)",
            "self._names.update(self.own_written - asked)",
        ),
        Change(
            "what a function writes for others is nothing",
            "if several or key in elsewhere:",
            "if several:",
        ),
        Change(
            "a member that cannot be read calls nothing",
            "if key in unread or any(",
            "if any(",
        ),
    ),
    *mutants(
        ROOM,
        "files/project.py",
        SAMPLES,
        Change(
            "the case of other letters means nothing",
            "if _folded(first.text) != _folded(span.text):",
            "if False:",
        ),
    ),
)
