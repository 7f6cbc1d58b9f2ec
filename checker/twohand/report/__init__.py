"""What all reports share: drawing, cautions, exit codes. No solver here."""
