"""A report written out: as lines, SARIF, JUnit, a page, and as changes to the sheet."""
