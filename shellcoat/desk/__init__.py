"""The Qt windows: one folder a page, with its models beside it."""
