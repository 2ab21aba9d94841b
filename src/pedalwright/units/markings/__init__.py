"""Markings on parts, in both directions: one file per marking system, `reading` puts them together."""
