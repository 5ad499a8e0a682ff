"""Labels for shells: sizes, drawing, and the dialog that makes them."""
