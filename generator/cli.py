"""The `handbook` command: parses words, calls one function a verb, turns faults into one plain message.

Exit statuses: 0 done; 1 a fault in the input or in the words of the command; 2 a finding of severity stop without
a decision that holds (`check`, `release`), or a change that touches safety (`changes`); 130 a run that was interrupted.
"""

from __future__ import annotations

import gc
import os
import sys
from importlib import import_module
from io import TextIOWrapper
from pathlib import Path

import click

from generator import __version__
from generator.errors import HandbookError, Interrupted, ProgramFaultElsewhere, in_words

EPILOG = """\b
Exit status:
  0  done, and nothing stands against it
  1  a fault in the data, the templates or the words of the command
  2  check: a stop without a decision that holds
     changes: something that touches safety has moved, or the card asked for is not current
     release: a stop without a decision that holds; nothing is written
  130  interrupted: what is done is whole
"""

# The verbs in the order in which they are used: the module of generator/command/ that each is loaded from when it is
# asked for, so that no verb and no help waits for another, and what the list of verbs says of it.
VERBS = {
    "new": ("new", "Begin a handbook, or a model, a site or a file of one."),
    "check": ("check", "Judge every site: what is wrong, unsafe or open."),
    "build": ("build", "Write the handbook to build/site/."),
    "serve": ("serve", "Show the handbook in a browser while you work."),
    "card": ("print", "Print the quick card of each SITE, or of all."),
    "label": ("print", "Print the labels of each SITE, or of all."),
    "print": ("book", "Print the whole handbook as one bound PDF."),
    "record": ("record", "Print what to test at each SITE, or begin its record."),
    "receive": ("receive", "Take the short lines that the field sends."),
    "changes": ("changes", "Say what moved, what to do, and which cards to exchange."),
    "release": ("changes", "Freeze the handbook as it went out."),
    "publish": ("publish", "Put the handbook and its releases where others read them."),
    "export": ("export", "Write findings, circuits and registers as tables."),
    "schema": ("schema", "Write schemas for editors that check as you type."),
}
DEBUG = "handbook.debug"  # where the context keeps the word `--debug`


class Verbs(click.Group):
    """The verbs; each loads when it is called."""

    def list_commands(self, _context: click.Context) -> list[str]:
        """Return the verbs in the order in which they are used."""
        return list(VERBS)

    def get_command(self, _context: click.Context, name: str) -> click.Command | None:
        """Return the verb of that name, or None."""
        if name in self.commands or name not in VERBS:
            return self.commands.get(name)
        module = import_module(f"generator.command.{VERBS[name][0]}")
        command: click.Command = getattr(module, f"{name}_command")
        return command

    def format_commands(self, _context: click.Context, formatter: click.HelpFormatter) -> None:
        """Write the list of verbs, without loading one."""
        with formatter.section("Commands"):
            formatter.write_dl([(name, said) for name, (_, said) in VERBS.items()])

    def invoke(self, context: click.Context) -> object:
        """Call the verb. HandbookError for whatever goes wrong, foreseen or not (`in_words`).

        With `--debug`, the exception itself, or what a process of its own told of it.
        """
        try:
            return super().invoke(context)
        except ProgramFaultElsewhere as fault:
            if context.meta.get(DEBUG):
                click.echo(fault.traceback, err=True)
            raise
        except (HandbookError, click.ClickException, click.exceptions.Exit, click.Abort, BrokenPipeError):
            raise
        except (KeyboardInterrupt, GeneratorExit):
            raise
        except BaseException as error:  # a library may leave by an exception that is no Exception, or by SystemExit
            if context.meta.get(DEBUG):
                raise
            raise in_words(error) from None


@click.group(cls=Verbs, epilog=EPILOG, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, prog_name="handbook")
@click.option(
    "--root",
    type=click.Path(file_okay=False, path_type=Path),
    default=".",
    help="The folder of the handbook, which holds site_data/ (default: here).",
)
@click.option("--debug", is_flag=True, help="Show the traceback of a fault of the program itself.")
@click.pass_context
def cli(context: click.Context, root: Path, debug: bool) -> None:
    """Turn heater models and sites, written in YAML, into a handbook and printed cards.

    Start with `handbook check`, which reads site_data/ and says what is wrong or unsafe. Then `handbook build` writes
    the handbook to build/site/ (open index.html) and `handbook card --all` the cards to build/print/. A handbook of
    your own begins with `handbook new FOLDER --name NAME --contact WHOM`.
    """
    context.obj, context.meta[DEBUG] = root, debug


def main() -> None:
    """Run the command, print what is wrong in plain words, and exit with the status that the fault says."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, TextIOWrapper):
            stream.reconfigure(errors="replace")  # a sign that a terminal cannot show must not end the list of stops
    gc.set_threshold(100_000, 20, 20)  # results are trees that stay: to look at them for rings took a third of a run
    try:
        status = cli.main(standalone_mode=False) or 0  # an int where click itself has said all, as for --help
    except HandbookError as error:
        click.echo(str(error), err=True)
        status = error.exit_status
    except BrokenPipeError:  # whoever reads has read enough, as `head` does
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        status = HandbookError.exit_status
    except click.Abort:
        click.echo(str(stopped := Interrupted()), err=True)
        status = stopped.exit_status
    except click.ClickException as error:
        error.show()
        status = HandbookError.exit_status
    sys.exit(status)
