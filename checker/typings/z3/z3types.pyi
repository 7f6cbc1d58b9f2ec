"""Handles of the C interface."""

from ctypes import c_void_p

class Z3Exception(Exception):
    value: object
    def __init__(self, value: object) -> None: ...

class _Handle(c_void_p):
    def from_param(obj) -> object: ...  # type: ignore[override, unused-ignore]

class ContextObj(_Handle):
    def __init__(self, context: object) -> None: ...

class Ast(_Handle):
    value: int  # type: ignore[assignment, unused-ignore]  # null only where z3 has no answer, and then falsy
    def __init__(self, ast: object) -> None: ...

class Model(_Handle):
    def __init__(self, model: object) -> None: ...

class SolverObj(_Handle):
    def __init__(self, solver: object) -> None: ...

class StatsObj(_Handle):
    def __init__(self, statistics: object) -> None: ...

class FuncDecl(_Handle):
    def __init__(self, decl: object) -> None: ...

class AstVectorObj(_Handle):
    def __init__(self, vector: object) -> None: ...
