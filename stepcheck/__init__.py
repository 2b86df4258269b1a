"""Checks the structure of step-dance routines."""
