"""What a teacher does around a sheet: calls, practice, a sheet for the class, and care."""
