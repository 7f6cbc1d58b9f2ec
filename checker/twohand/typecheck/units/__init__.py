"""Program organisation units, their types and tasks."""
