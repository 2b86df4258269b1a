"""What a teacher does around a sheet: calls, practice, a sheet for the class, care, and sheets made by a program."""
