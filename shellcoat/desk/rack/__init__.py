"""The Rack page: what needs a person now, and what comes next."""
