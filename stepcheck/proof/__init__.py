"""The second engine: every claim put to the solver z3 as one question."""
