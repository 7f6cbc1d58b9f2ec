"""One folder for each analysis: its question, its check, its text and its document."""
