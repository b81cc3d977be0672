"""A student's pages: the start page, the run, past questions."""
