"""A small block, and a spec of which one thing holds and one does not."""

KEY = """\
FUNCTION_BLOCK Key
VAR_INPUT key, off : BOOL; END_VAR
VAR_OUTPUT lamp : BOOL; END_VAR
lamp := (lamp OR key) AND NOT off;
END_FUNCTION_BLOCK
"""
SPEC = """\
SPEC Key
    SOURCE 'key.st';
    SCAN T#10ms;
    PROPERTY lit_by_key : lamp -> once(key);
    PROPERTY lit_with_key : lamp -> key;
END_SPEC
"""
