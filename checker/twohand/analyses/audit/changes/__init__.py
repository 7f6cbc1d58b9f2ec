"""Small changes of a block: edits of its text, and the specs of what they give."""
