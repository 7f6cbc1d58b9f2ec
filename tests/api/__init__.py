"""The interface for programs: ``import twohand``."""
