"""The Review page, and the review on paper."""
