"""Routines: a clogging description as a whole, line by line, to its parts and the order in which they are danced."""
