"""Helpers stand beside the tests, where any of them can import them."""
