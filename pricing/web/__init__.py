"""The local page: a request -> one story -> a page. Flask and jinja2 are imported only in here."""
