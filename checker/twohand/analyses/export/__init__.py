"""Proofs and runs in files of their own, for whoever believes neither."""
