"""Forms: what is asked, how an answer is read, and the file that comes of it."""
