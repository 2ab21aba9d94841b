"""Every rule, a folder for each subject, a file for each rule."""
