"""How the desk tells: sound, notification, calendar, broker, and the list of what is open."""
