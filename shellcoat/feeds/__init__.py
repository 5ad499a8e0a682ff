"""Air readings from outside: the files that loggers of temperature and humidity write."""
