"""The command line: one file per verb. A file that holds a click command named `command` is a verb."""
