"""The requirement language, as monitors and as a direct evaluator on finite traces."""
