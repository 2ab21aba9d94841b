"""Stages: what each group of parts is for. One recogniser a file in `kinds`; one place arbitrates; every
claim is proved.
"""
