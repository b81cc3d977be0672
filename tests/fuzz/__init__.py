"""Random and hostile texts for the grader."""
