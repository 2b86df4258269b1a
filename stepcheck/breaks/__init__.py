"""Rows of figures of an exact length that fit where they are asked for: breaks, endings and blanks."""
