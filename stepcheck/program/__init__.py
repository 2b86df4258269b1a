"""A sheet's syntax turned into its program: the header, names, claims and repeats settled, the dance laid out over its music."""
