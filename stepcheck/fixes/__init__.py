"""The least change of a sheet after which every claim in it is proved, and why no smaller one does."""
