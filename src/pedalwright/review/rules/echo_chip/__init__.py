"""The echo chip."""
