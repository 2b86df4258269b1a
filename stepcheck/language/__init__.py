"""A sheet's text read into syntax, and syntax printed and changed as text again."""
