"""What is read of forms outside of the standard, and of the older exchange schema."""

from __future__ import annotations

from tests.mutants.mutant import Change, mutants

ROOM = "reading"
SAMPLES = ("typecheck/test_language_samples.py",)
SCHEMA = ("exchange/test_older_schema.py",)
NEEDED = ("files/test_only_what_is_needed.py",)
ASSIGNED = ("typecheck/test_assigned_inputs.py",)
CALLS = ("typecheck/test_calls_from_outside.py",)

MUTANTS = (
    *mutants(
        ROOM,
        "typecheck/variables/changed_inputs.py",
        ASSIGNED,
        Change(
            "what an action assigns makes no copy",
            "_targets((unit.body, *actions))",
            "_targets((unit.body,))",
        ),
        Change(
            "a constant input is copied too",
            'plain = section.keyword == "VAR_INPUT" and not fixed',
            'plain = section.keyword == "VAR_INPUT"',
        ),
        Change(
            "a call may leave an assigned input out",
            "if variable not in known:",
            "if variable not in known and False:",
        ),
        Change(
            "an assigned input may be named from outside",
            "if member.key in frame.copies:",
            "if member.key in frame.copies and False:",
        ),
        Change(
            "an assigned input is not taken anew",
            "return (*triggers, *copies)",
            "return (*triggers,)",
        ),
    ),
    *mutants(
        ROOM,
        "typecheck/variables/member_scopes.py",
        ASSIGNED,
        Change(
            "an action called from outside sees the copy",
            "name.key in instance.copies and",
            "False and",
        ),
    ),
    *mutants(
        ROOM,
        "text/split_units.py",
        ("files/test_split_units.py",),
        Change(
            "actions go to the last of several blocks",
            "len(_UNIT.findall(blank_comments(first, []))) == 2",
            "True",
        ),
    ),
    *mutants(
        ROOM,
        "syntax/parsing/marked_names.py",
        SAMPLES,
        Change(
            "#x may be a global variable",
            'name.mark == "#" and name.key not in declared',
            'name.mark == "#" and False',
        ),
        Change(
            "a quoted name may be a local variable",
            "name.mark == '\"' and (",
            "name.mark == '\"' and False and (",
        ),
    ),
    *mutants(
        ROOM,
        "syntax/lexing/plain_text.py",
        SAMPLES,
        Change(
            "a keyword with a mark is the keyword",
            "name.upper() not in _KEYWORDS",
            "True",
        ),
        Change(
            "one of several units needs no end",
            "len(words) == 1 and not words[0][0]",
            "len(words) > 0",
        ),
    ),
    *mutants(
        ROOM,
        "syntax/lexing/plain_text.py",
        ("syntax/test_dressed_texts.py",),
        Change(
            "a region may begin within a statement",
            "if not begins or re",
            "if re",
        ),
    ),
    *mutants(
        ROOM,
        "text/comments.py",
        SAMPLES,
        Change(
            "statements may be in a tail",
            "return _TAIL.match(text, start) is not None",
            "return True",
        ),
    ),
    *mutants(
        ROOM,
        "typecheck/variables/declarations.py",
        NEEDED,
        Change(
            "a variable of an unknown type may be named",
            "return self._namings[name.key] == 1",
            "return True",
        ),
        Change(
            "a parameter of an unknown type may be left out",
            'own = section.keyword in ("VAR", "VAR_TEMP") and declaration.address is None',
            "own = declaration.address is None",
        ),
    ),
    *mutants(
        ROOM,
        "typecheck/variables/declarations.py",
        CALLS,
        Change(
            "no instance shares what all share",
            "self.assembly.shared.extend(own)",
            "pass",
        ),
    ),
    *mutants(
        ROOM,
        "exchange/older/drawings.py",
        SCHEMA,
        Change(
            "numbers of elements decide nothing between networks",
            "if any(each.numbered for each in elements) or not",
            "if not",
        ),
        Change(
            "networks may be drawn in any order",
            "above[1] < below[0] for",
            "True for",
        ),
    ),
    *mutants(
        ROOM,
        "exchange/older/elements.py",
        SCHEMA,
        Change(
            "added data may hold logic",
            "if each.name.lower() in _LOGIC:",
            "if False:",
        ),
        Change(
            "added text may be code",
            'if not plain and re.search(r":=|;", each.text):',
            "if False:",
        ),
    ),
    *mutants(
        ROOM,
        "exchange/older/drawn_elements.py",
        SCHEMA,
        Change(
            "a data source is never negated",
            'mark = outputs.new_mark() if flag(element, "negated") else local',
            "mark = local",
        ),
        Change(
            "a data sink never stores",
            'stored = is_given(element, "storage")',
            "stored = False",
        ),
    ),
    *mutants(
        ROOM,
        "exchange/wrapped_text.py",
        ("exchange/test_wrapped_text.py",),
        Change(
            "a declaration may hold several units",
            "if further is not None and head[1]",
            "if False and head[1]",
        ),
        Change(
            "what is in no unit is passed over",
            "if each.name in _TEXTS and each.text.strip():",
            "if False:",
        ),
        Change(
            "a member in another form is passed over",
            "elif any(each.text.strip() for each in (child, *child.below())):\n            raise unsupp",
            "elif False:\n            raise unsupp",
        ),
    ),
    *mutants(
        ROOM,
        "exchange/callees.py",
        SCHEMA,
        Change(
            "the type of a function's value is not known",
            "if pin == unit:",
            "if False:",
        ),
    ),
    *mutants(
        ROOM,
        "typecheck/statements/shared_in_outs.py",
        ("typecheck/test_shared_in_outs.py",),
        Change(
            "variables that are only read are told",
            "changed.intersection(_parts(entity))",
            "set(_parts(entity))",
        ),
        Change(
            "a variable's own name is no other name",
            "if direct:",
            "if False:",
        ),
        Change(
            "two in-out parameters may be one variable",
            "not parts.isdisjoint(own[other])",
            "False",
        ),
    ),
    *mutants(
        ROOM,
        "typecheck/statements/calls.py",
        ("typecheck/test_shared_in_outs.py",),
        Change(
            "what a call calls names nothing",
            "    assembly.naming[-1] |= named\n",
            "",
        ),
    ),
)
