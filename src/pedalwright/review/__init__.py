"""The review: what a careful friend would say before you solder. One rule a file, in `rules`."""
