"""The executor: one scan with plain values. It never imports z3."""
