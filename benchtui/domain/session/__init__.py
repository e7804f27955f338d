"""One bench session: its events, their fold into a state, and what may happen next."""
