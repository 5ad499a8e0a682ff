"""The evidence before burnout, check by check, from records and answers; a person decides."""
