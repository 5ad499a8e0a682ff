"""Pure functions of the physics, on SI floats and arrays."""
