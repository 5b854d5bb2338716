"""The trade's words and starting figures, and the one reader of plain words. The tables stand as
CSV in `data/words`, where people change them; `tests/compile_words.py` makes the JSON files beside
this one. Nothing here imports another part of the project."""
