"""From records to answers with a spread: when a coat is dry, and how thick the wall is."""
