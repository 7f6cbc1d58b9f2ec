"""What to try at a machine by hand, derived from a proved block, played before it is written."""
