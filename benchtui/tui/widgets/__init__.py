"""Pictures made of plain values: big words, the ruler, the map of the valves, the slot."""
