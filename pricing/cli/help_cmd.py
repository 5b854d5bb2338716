"""`pricing help`: a page of the guide."""

from __future__ import annotations

from datetime import date

import click

from pricing.basis.home import Home
from pricing.basis.problems import refused
from pricing.cli import COMMANDS, completing
from pricing.cli.common import home_options, say
from pricing.cli.completing import folder, pages
from pricing.formulas.nearest_word import nearest

# the page on which a command is explained
PAGE_OF = {
    "offer": "before-the-drive", "read": "before-the-drive", "bench": "on-the-bench",
    "ask": "at-listing", "unsold": "at-listing", "card": "at-listing", "compare": "what-pays",
    "accuracy": "report", "web": "phone", "member": "club", "cautions": "safety",
    "demo": "first-evening", "setup": "first-evening", "backup": "moving", "restore": "moving",
    "export": "moving", "verify": "troubleshooting", "completion": "commands", "fit": "numbers",
}  # fmt: skip


@click.command(name="help", short_help="A page of the guide.")
@click.argument("topic", required=False, default="index", shell_complete=completing.topics)
@home_options
def help_page(topic: str, home: Home, as_of: date) -> None:
    """A page of the guide. Without a topic the list of pages; a command's name finds its page.

    \b
    pricing help
    pricing help settings
    pricing help reading-a-guess
    """
    known = pages()
    name = topic.lower().replace(" ", "-").replace("_", "-")
    if name not in known:
        name = PAGE_OF.get(name) or ("keeping-a-list" if name in COMMANDS else name)
    if name not in known:
        guess = nearest(name, known, cutoff=0.4)
        raise refused(
            f"there is no page {topic!r}",
            f"did you mean pricing help {guess}?" if guess else "pricing help lists them",
        )
    text = (folder() / f"{name}.md").read_text(encoding="utf-8")
    say({"topic": name, "text": text}, text.rstrip("\n"))
