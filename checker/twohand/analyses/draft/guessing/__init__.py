"""What the runs, the text and the names of a block show of its variables."""
