"""The search for the least changes after which no claim of a sheet fails: what may change, what it does, its cost."""
