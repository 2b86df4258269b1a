"""Many sheets at once: which files, what is kept of earlier answers, who checks them, and questions about them all."""
