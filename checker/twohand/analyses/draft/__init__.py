"""A first spec for a block: what its inputs and outputs are for, guessed and marked as guesses."""
