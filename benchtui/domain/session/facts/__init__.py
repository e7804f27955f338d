"""What a session holds: events, commands, the state that the events fold into."""
