"""The trade's words and starting figures, and the one reader of plain words.

The tables stand as CSV in `data/words` of the repository, where people read and change them;
`python tests/compile_words.py` makes the JSON files beside this one, which every answer loads.
Nothing here imports another part of the project.
"""
