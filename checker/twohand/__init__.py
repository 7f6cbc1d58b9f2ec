"""twohand: a model checker for the PLC logic behind two-hand controls.

The rooms, each of which imports only those before it (``specification`` and ``engine`` do not know
each other):

- ``text``: characters, places, comments, diagnostics and their pages
- ``program``: the typed program, its types and expressions
- ``syntax``: structured text as a tree
- ``files``: files on disk, folders as libraries, XML documents
- ``typecheck``: names and types, from the tree to the typed program
- ``exchange``: exchange files and their diagrams, as structured text
- ``scan``: what one scan means, as z3 terms and as a concrete executor
- ``specification``: the spec language and what it asks
- ``engine``: transition system and bad term to an answer
- ``evidence``: answers to evidence, replayed and rechecked
- ``report``: what all reports share
- ``analyses``: check, faults, measure, compare, inspect
- ``commands``: the command line
"""

__version__ = "0.1.0"
