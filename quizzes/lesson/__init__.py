"""What a teacher takes into the lesson: worksheets, the sheet of a demonstration, a question on the wall."""
