"""What the project uses of z3, with its sorts. What is not used is left out: add it when needed."""

from . import z3 as z3
from .z3 import *
