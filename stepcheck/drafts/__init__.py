"""Drafts: a customary step description, as plain text, becomes a sheet."""
