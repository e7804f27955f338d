"""The whole engine: stops, completeness, spot-check, the record that is kept."""
