"""The Learned page: what the shop's checks have taught the forecast, check by check."""
