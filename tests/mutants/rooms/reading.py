"""What is read of forms outside of the standard, and of the older exchange schema."""

from __future__ import annotations

from tests.mutants.mutant import Change, mutants

ROOM = "reading"
SAMPLES = ("typecheck/test_language_samples.py",)
SCHEMA = ("exchange/test_older_schema.py",)
NEEDED = ("files/test_only_what_is_needed.py",)
ASSIGNED = ("typecheck/test_assigned_inputs.py",)
REALS = ("typecheck/test_real_inputs.py",)
CALLS = ("typecheck/test_calls_from_outside.py",)

MUTANTS = (
    *mutants(
        ROOM,
        "typecheck/reals/numbers.py",
        REALS,
        Change(
            "a constant has no neighbour above",
            "(down, down) if down == number else (down, down + step)",
            "(down, down)",
        ),
        Change(
            "a literal without a type is one with it",
            'form = (found[1] or "").upper()',
            'form = (found[1] or "REAL").upper()',
        ),
        Change(
            "the step of a power of two is that below it",
            "if Fraction(2) ** exponent > size:",
            "if Fraction(2) ** exponent >= size:",
        ),
        Change(
            "constants beyond the format are read",
            "if not (_in_range(number.exact, own) and",
            "if False and not (_in_range(number.exact, own) and",
        ),
    ),
    *mutants(
        ROOM,
        "typecheck/reals/classes.py",
        REALS,
        Change(
            "constants that touch are told apart",
            "if lower >= higher or not apart:",
            "if not apart:",
        ),
        Change(
            "constants with a value between them on some platforms are told apart",
            "if lower >= higher or not apart:",
            "if lower >= higher:",
        ),
        Change(
            "a REAL may be any number without a type",
            "lowest < highest and bits < 64 and constant.form in WITHOUT_TYPE",
            "False",
        ),
        Change(
            "an LREAL may be no number without a type",
            "lowest < highest and bits < 64 and constant.form",
            "lowest < highest and constant.form",
        ),
        Change(
            "a REAL may be no number of its type",
            "bits < 64 and constant.form in WITHOUT_TYPE",
            "bits < 64",
        ),
        Change(
            "an interval without a value is a class",
            "if _holds_one_between(lowest, _range(following)[1], bits):",
            "if True:",
        ),
        Change(
            "a constant that the format has not is a class",
            "there = neighbours(highest, bits)[0] >= lowest",
            "there = True",
        ),
        Change(
            "negative numbers are next to each other as positive ones are",
            "low, high = -high, -low",
            "low, high = -low, -high",
        ),
    ),
    *mutants(
        ROOM,
        "typecheck/reals/inputs.py",
        ("analyses/compare/test_reals_in_two_versions.py",),
        Change(
            "two versions have classes of their own",
            "both = [*comparisons, *compared[1][other]]",
            "both = [*comparisons]",
        ),
    ),
    *mutants(
        ROOM,
        "typecheck/reals/inputs.py",
        REALS,
        Change(
            "both sides of a number that no REAL is are told from it",
            "(len(sides) > 1 or None in sides)",
            "(None in sides)",
        ),
        Change(
            "a REAL is equal to a number that none is",
            "(len(sides) > 1 or None in sides)",
            "(len(sides) > 1)",
        ),
    ),
    *mutants(
        ROOM,
        "typecheck/expressions/real_comparisons.py",
        REALS,
        Change(
            "a comparison from the right is one from the left",
            "left, right, operator = right, left, TURNED[operator]",
            "left, right = right, left",
        ),
        Change(
            "any integer is a constant of REAL",
            "if kind.bits <= _WIDENS[name]:",
            "if kind.bits <= 64:",
        ),
    ),
    *mutants(
        ROOM,
        "scan/symbolic/expressions.py",
        REALS,
        Change(
            "not-a-number is above all",
            "return both(negation(at_most), is_number)",
            "return negation(at_most)",
        ),
        Change(
            "not-a-number is at or above all",
            "return both(negation(less), is_number)",
            "return negation(less)",
        ),
        Change(
            "a constant is below itself",
            "first = sum(each < place for each in kind.places)",
            "first = sum(each <= place for each in kind.places)",
        ),
    ),
    *mutants(
        ROOM,
        "scan/arithmetic.py",
        REALS,
        Change(
            "not-a-number is zero when executed",
            'float("nan") if sample is None else sample',
            "0 if sample is None else sample",
        ),
    ),
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
        "files/project.py",
        SAMPLES,
        Change(
            "the case of other letters means nothing",
            "if _folded(first.text) != _folded(span.text):",
            "if False:",
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
)
