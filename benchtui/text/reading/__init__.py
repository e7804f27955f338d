"""What people type and write, read strictly."""
