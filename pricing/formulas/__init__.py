"""Formulas that the program and the phone's file share: plain functions over numbers, lists and
tables, as tests/to_js.py turns them into JavaScript. A function that needs the fit is given it."""
