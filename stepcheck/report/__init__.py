"""One sheet from its text to its report: both engines, the judge of their evidence, and what is said of it in sentences."""
