"""A teacher's pages: classes, and where each is weak."""
