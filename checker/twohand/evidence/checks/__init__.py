"""One module for each kind of question that is asked of a block."""
