"""What one scan of a typed program means, as z3 terms and as a concrete executor."""
