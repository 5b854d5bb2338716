"""The one wording of every answer: finished sentences and rows from finished numbers.

Terminal, page, report, tag and phone file lay them out and say nothing of their own. A `view` takes
the answer as `--json` gives it and the `place` (currency sign and settings that are shown), both
plain tables, and returns a plain table. Plain Python only, without classes and imports of others,
so that the phone file says the very same sentences.

    kind       go, if or pass: how the plate is drawn
    headline   the decision
    lead       the next sentences, the most needed first
    dangers    cautions that come before the money
    short      what the first eight lines may hold, as {text, need}: the least needed goes first
    read       what was understood
    picture    {low, high, marks: [{sign, at, words, said}]}, None where nothing is drawn
    sections   {name, title, form: facts | table | text | answers, …}, in the order of need
    open       how many sections stand before the fold
    cautions, warnings, legend   sentences
"""
