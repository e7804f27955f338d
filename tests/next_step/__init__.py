"""What to do now: the table of situations, and the laws that hold in all of them."""
