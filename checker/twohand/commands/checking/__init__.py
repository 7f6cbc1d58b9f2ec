"""The commands that check something."""
