"""What is wrong with a text, each cause once, and how to mend it."""
