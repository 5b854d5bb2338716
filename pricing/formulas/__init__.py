"""Formulas that the program and the phone's file share, as tests/to_js.py turns them into JS."""
