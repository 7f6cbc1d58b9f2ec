"""twohand: a model checker for the PLC logic behind two-hand controls."""

__version__ = "0.1.0"
