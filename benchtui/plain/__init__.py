"""The bench line by line: questions and answers in plain text, for whoever has no screen to look at."""
