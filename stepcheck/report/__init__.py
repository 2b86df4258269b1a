"""One sheet from its text to its report: both engines, the judge of their evidence, and the sentences about it."""
