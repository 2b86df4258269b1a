"""The measures of a song in a file beside the sheet, as sections of the music with their beats."""
