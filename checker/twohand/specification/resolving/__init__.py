"""Names and formulas of a spec, held against the block."""
