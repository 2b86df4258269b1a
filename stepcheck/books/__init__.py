"""Books of figures: how they are written and read, those that are shipped, and what a figure does to the feet."""
