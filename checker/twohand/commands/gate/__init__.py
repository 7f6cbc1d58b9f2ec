"""The commands for a repository that is checked on every change."""
