"""The report: the log as one page to be read at home or with the teacher, and pieces of it for other pages."""
