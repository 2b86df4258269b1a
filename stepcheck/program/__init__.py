"""A sheet's syntax turned into its program: header, names, claims and repeats, laid out over the music."""
