"""One file per kind of device; the folder is the list."""
