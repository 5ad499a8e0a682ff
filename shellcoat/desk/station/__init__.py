"""The dipping station: a full screen for wet or gloved hands, readable across the room."""
