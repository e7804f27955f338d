"""What other programs read: JSON, CSV, calendar."""
