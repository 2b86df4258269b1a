"""The first engine: every claim decided by following all the dancers through the program at once."""
