"""Cues: the lines of a clogging description, and what each says: figures, rows of codes, marks, repeats."""
