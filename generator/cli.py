"""The `handbook` command: parses words, calls one function a verb, turns faults into one plain message.

Exit statuses: 0 done; 1 a fault in the input or in the words of the command; 2 a finding of severity stop that its
site has not accepted (`check`), or a change that touches safety (`changes`).
"""

from __future__ import annotations

import sys
from pathlib import Path

import click

from generator import __version__
from generator.errors import HandbookError

EPILOG = """\b
Exit status:
  0  done, and nothing stands against it
  1  a fault in the data, the templates or the words of the command
  2  check: a stop that the site has not accepted
     changes: something that touches safety has moved
"""


class Folder:
    """The folders of a handbook project, from its root."""

    def __init__(self, root: Path) -> None:
        self.root = root
        self.data = root / "site_data"
        self.content = root / "content"
        self.output = root / "build"


@click.group(epilog=EPILOG, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, prog_name="handbook")
@click.option(
    "--root",
    type=click.Path(file_okay=False, path_type=Path),
    default=".",
    help="The folder that holds site_data/ and content/ (default: here).",
)
@click.pass_context
def cli(context: click.Context, root: Path) -> None:
    """Turn heater models and sites, written in YAML, into a handbook and printed cards.

    Start with `handbook check`, which reads site_data/ and says what is wrong or unsafe. Then `handbook build` writes
    the handbook to build/site/ (open index.html) and `handbook card --all` the cards to build/print/.
    """
    context.obj = Folder(root)


def main() -> None:
    """Run the command; print a HandbookError as plain words and exit 1."""
    try:
        status = cli.main(standalone_mode=False)
    except HandbookError as error:
        click.echo(str(error), err=True)
        status = 1
    except click.exceptions.Abort:
        click.echo("interrupted; what was published before is untouched", err=True)
        status = 1
    except click.ClickException as error:
        error.show()
        status = 1
    sys.exit(status if isinstance(status, int) else 0)
