"""What came out, as plain data: numbers, words, tuples of them, and no term or program in it."""
