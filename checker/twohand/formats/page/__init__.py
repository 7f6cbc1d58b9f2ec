"""An answer as one page that is read, printed and signed."""
