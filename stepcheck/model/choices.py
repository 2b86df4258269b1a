"""What may be chosen: who decides, how words are read, what is printed.  Type checkers know the words."""

from typing import Literal, TypeAlias, get_args

Engine: TypeAlias = Literal["walk", "z3", "both"]
"""Who decides: the walk through all states, the solver, or both, which must agree."""
Reading: TypeAlias = Literal["usual", "all", "report"]
"""How words with several readings are read: as usual, in all ways at once, or as usual with a report on the others."""
Format: TypeAlias = Literal["text", "lines", "json", "jsonl", "sarif", "junit", "github", "html"]
"""What an answer is printed as; specs/formats.md has the table."""

ENGINES: tuple[Engine, ...] = get_args(Engine)
READINGS: tuple[Reading, ...] = get_args(Reading)
FORMATS: tuple[Format, ...] = get_args(Format)
