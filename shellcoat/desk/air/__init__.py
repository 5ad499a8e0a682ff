"""The Air page: what the air of a room is doing, and the readings it rests on."""
