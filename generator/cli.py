"""The `handbook` command: parses words, calls one function a verb, turns faults into one plain message.

Exit statuses: 0 done; 1 a fault in the input or in the words of the command; 2 a finding of severity stop without
a decision that holds (`check`, `release`), or a change that touches safety (`changes`).
"""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import click

from generator import __version__
from generator.build import Folders, Progress, build
from generator.errors import HandbookError, ProgramFault
from generator.read.json_schema import schemas
from generator.render.engine import ENGINES
from generator.render.files import write_if_changed
from generator.render.json_file import pretty_bytes

EPILOG = """\b
Exit status:
  0  done, and nothing stands against it
  1  a fault in the data, the templates or the words of the command
  2  check: a stop without a decision that holds
     changes: something that touches safety has moved, or the card asked for is not current
     release: a stop without a decision that holds; nothing is written
"""

VERBS = ("check", "build", "serve", "card", "label", "print", "changes", "release", "schema")
DEBUG = "handbook.debug"  # where the context keeps the word `--debug`


class Verbs(click.Group):
    """The verbs; those in modules of their own load when they are asked for, so that a build waits for none."""

    def list_commands(self, context: click.Context) -> list[str]:
        """Return the verbs in the order in which they are used."""
        return sorted({*super().list_commands(context), *VERBS}, key=VERBS.index)

    def get_command(self, context: click.Context, name: str) -> click.Command | None:
        """Return the verb of that name, or None."""
        if name == "check":
            from generator.cli_check import check as found
        elif name in ("card", "label", "print"):
            from generator import cli_print

            verbs = {"card": cli_print.card_command, "label": cli_print.label_command}
            found = verbs.get(name, cli_print.print_command)
        elif name in ("changes", "release"):
            from generator import cli_changes

            found = {"changes": cli_changes.changes_command, "release": cli_changes.release_command}[name]
        else:
            return super().get_command(context, name)
        return found

    def invoke(self, context: click.Context) -> object:
        """Call the verb. ProgramFault for whatever it did not foresee; with `--debug`, that itself."""
        try:
            return super().invoke(context)
        except (HandbookError, click.ClickException, click.exceptions.Exit, click.Abort):
            raise
        except Exception as error:
            if context.meta.get(DEBUG):
                raise
            raise ProgramFault(error) from None


@click.group(cls=Verbs, epilog=EPILOG, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, prog_name="handbook")
@click.option(
    "--root",
    type=click.Path(file_okay=False, path_type=Path),
    default=".",
    help="The folder that holds site_data/ and content/ (default: here).",
)
@click.option("--debug", is_flag=True, help="Show the traceback of a fault of the program itself.")
@click.pass_context
def cli(context: click.Context, root: Path, debug: bool) -> None:
    """Turn heater models and sites, written in YAML, into a handbook and printed cards.

    Start with `handbook check`, which reads site_data/ and says what is wrong or unsafe. Then `handbook build` writes
    the handbook to build/site/ (open index.html) and `handbook card --all` the cards to build/print/.
    """
    context.obj, context.meta[DEBUG] = Folders(root), debug


@cli.command("build")
@click.option("--engine", type=click.Choice(ENGINES), default="mkdocs", help="What turns the pages into a site.")
@click.pass_obj
def build_command(folders: Folders, engine: str) -> None:
    """Write the handbook to build/site/ and every figure to build/results.json.

    The new handbook takes the old one's place in one step, when all of it is done: a build that fails, or is stopped,
    leaves the last good one whole. Findings do not stop a build; they are printed on the pages.
    """
    with _progress() as progress:
        build(folders, engine, progress)
    click.echo(f"handbook: {folders.output / 'site' / 'index.html'}")
    click.echo(f"figures:  {folders.output / 'results.json'}")


@cli.command("serve")
@click.option("--host", default="127.0.0.1", show_default=True, help="The address to serve at.")
@click.option("--port", default=8000, show_default=True, help="The port to serve at.")
@click.pass_obj
def serve_command(folders: Folders, host: str, port: int) -> None:
    """Show the handbook in a browser while you work: it rebuilds and reloads when a YAML, template or page changes.

    A fault is printed here, and the last good handbook stays on view.
    """
    from generator.serve import serve  # the server is needed by this verb alone

    serve(folders, host, port, say=click.echo)


@cli.command("schema")
@click.pass_obj
def schema_command(folders: Folders) -> None:
    """Write a JSON Schema for each kind of YAML file to site_data/schema/, for editors that check as you type.

    Beside them stands that of build/results.json, for other programs.

    The first line of each YAML file (`# yaml-language-server: $schema=…`) tells the editor which one to use.
    """
    for kind, schema in schemas().items():
        path = folders.data / "schema" / f"{kind}.schema.json"
        write_if_changed(path, pretty_bytes(schema))
        click.echo(path)


@contextmanager
def _progress() -> Iterator[Progress]:
    """Show the step in hand on a terminal; nothing in a pipe."""
    if not sys.stderr.isatty():
        yield lambda _step: None
        return
    from rich.console import Console  # a build in a pipe does not need it

    with Console(stderr=True).status("starting") as status:
        yield status.update


def main() -> None:
    """Run the command, print what is wrong in plain words, and exit with the status that the fault says."""
    try:
        status = cli.main(standalone_mode=False) or 0  # an int where click itself has said all, as for --help
    except HandbookError as error:
        click.echo(str(error), err=True)
        status = error.exit_status
    except click.Abort:
        click.echo("interrupted; what was published before is untouched", err=True)
        status = HandbookError.exit_status
    except click.ClickException as error:
        error.show()
        status = HandbookError.exit_status
    sys.exit(status)
