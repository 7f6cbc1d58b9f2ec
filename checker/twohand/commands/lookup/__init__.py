"""The commands that show what is known and check nothing."""
