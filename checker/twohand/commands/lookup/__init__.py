"""The commands that show what is there and check nothing."""
