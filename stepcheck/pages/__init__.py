"""Pages: how a step description stands on its page: its layout, header, heads of parts, and order."""
