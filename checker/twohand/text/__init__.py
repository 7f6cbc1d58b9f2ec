"""Characters, places, comments, diagnostics and their pages: what every reader of text shares."""
