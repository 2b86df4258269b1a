"""Checks certificates, with nothing but the standard library: no engine, no solver, no parser, no other room."""
