"""The command `stepcheck`: what it is called with, and how it ends whatever happens."""

import os
import sys
from collections.abc import Sequence
from difflib import get_close_matches
from importlib import import_module

import click

from stepcheck.faces import options
from stepcheck.language import files
from stepcheck.model.source import StepcheckError
from stepcheck.model.statuses import FAILED, PROVED, STATUSES, STOPPED

EPILOG = (
    "\b\nExit status, whatever the format; of several the worst, in the order 2, 1, 3, 0:\n"
    + "".join(f"  {status:<4} {about}\n" for status, about in STATUSES)
    + "\n\b\nCompletion of words in the shell (bash; zsh and fish alike):\n"
    + '  eval "$(_STEPCHECK_COMPLETE=bash_source stepcheck)"\n'
)

# Where each command lives: a module is loaded only when its command is called, so that `check` starts at once.
COMMANDS = {
    "break": ("suggest", "find"),
    "call": ("sheets", "call"),
    "catalogue": ("catalogue", "ask"),
    "check": ("check", "check"),
    "draft": ("sheets", "draft"),
    "editor": ("check", "serve"),
    "explain": ("books", "explain"),
    "figures": ("books", "figures"),
    "fill": ("suggest", "fill"),
    "fit": ("sheets", "fit"),
    "format": ("check", "layout"),
    "new": ("sheets", "new"),
    "practise": ("sheets", "practise"),
    "repair": ("suggest", "repair"),
    "sheet": ("sheets", "sheet"),
}

SILENT = ("editor", "format")  # commands that answer with no text of their own: with a protocol, and in the sheets


# What to say where an argument is left out, by its name.
MISSING = {
    "paths": "name at least one sheet or folder",
    "path": "name the sheet",
    "title": "say what the routine is called",
    "question": "say what to ask: figures, medleys, twins, level, parts, touched or graph",
}


class Commands(click.Group):
    """The commands, each loaded when it is asked for."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """Return the names of the commands."""
        return sorted(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """Return the command of this name, or None."""
        if cmd_name not in COMMANDS:
            return None
        module, name = COMMANDS[cmd_name]
        command: click.Command = getattr(import_module(f"stepcheck.faces.{module}"), name)
        if cmd_name in SILENT or any(param.name == "output" for param in command.params):
            return command
        return options.answering(command)

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """Return the command that the words begin with, and the words behind it."""
        name = args[0]
        if name not in COMMANDS and not name.startswith("-") and not ctx.resilient_parsing:
            near = get_close_matches(name, COMMANDS, 1)
            advice = f"did you mean {near[0]}?" if near else f"there are {', '.join(sorted(COMMANDS))}"
            if os.path.exists(name):
                from shlex import quote

                advice = f"to check a sheet: stepcheck check {quote(name)}"
            raise click.UsageError(f"there is no command {name!r}; {advice}", ctx)
        return super().resolve_command(ctx, args)


def _version(context: click.Context, option: click.Parameter, wanted: bool) -> None:
    if not wanted or context.resilient_parsing:
        return
    from importlib.metadata import version

    options.write(f"stepcheck {version('stepcheck')} (z3 {version('z3-solver')}, Python {sys.version.split()[0]})\n")
    context.exit()


@click.group(
    cls=Commands,
    epilog=EPILOG,
    invoke_without_command=True,
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100},
)
@click.option(
    "--version", is_flag=True, is_eager=True, expose_value=False, callback=_version, help="Show the versions and exit."
)
@click.pass_context
def stepcheck(context: click.Context) -> int:
    """Check before anybody dances it whether a step-dance routine works: feet, walls and beats."""
    if context.invoked_subcommand is None:
        click.echo(context.get_help(), err=True)
    return FAILED


def main(arguments: Sequence[str] | None = None) -> int:
    """Run the command and return its exit status; no exception leaves here.

    Args:
        arguments: the words after the command's name; those of the process if left out.
    """
    options.ready()
    stdout = sys.stdout
    try:
        status = stepcheck.main(args=arguments, prog_name="stepcheck", standalone_mode=False)
        return int(status or PROVED)
    except (click.Abort, KeyboardInterrupt):
        options.complain("stopped")
        return STOPPED
    except SystemExit:  # by click: to complete words in a shell, or since nobody reads its help any more
        if sys.stdout is stdout:
            raise
        sys.stdout = stdout
        options.forsake(stdout.fileno())
        return PROVED
    except click.ClickException as error:
        options.complain(_reworded(error, sys.argv[1:] if arguments is None else arguments))
    except StepcheckError as error:
        options.complain(str(error))
    except OSError as error:
        about = f"{error.filename}: " if error.filename else ""
        options.complain(about + files.reason(error))
    except MemoryError:
        options.complain("there is not enough memory")
    except Exception as error:
        options.complain(options.failure(f"{type(error).__name__}: {error}", None, error))
    return FAILED


def _reworded(error: click.ClickException, arguments: Sequence[str]) -> str:
    """Return click's message in plain words, with where to read on."""
    said = error.format_message()
    context = getattr(error, "ctx", None)
    name = context.command_path if context else "stepcheck"
    if not context and arguments and arguments[0] in COMMANDS:
        name += f" {arguments[0]}"
    if isinstance(error, click.MissingParameter) and isinstance(error.param, click.Argument):
        said = MISSING.get(error.param.name or "", MISSING["paths"])
    if isinstance(error, click.NoSuchOption):
        near = " or ".join(error.possibilities or ())
        said = f"there is no option {error.option_name}" + (f"; did you mean {near}?" if near else "")
        if any(word.startswith("-") and os.path.exists(word) for word in arguments):
            said += "; a file whose name begins with a dash is written ./ and its name"
    said = said[:1].lower() + said[1:].rstrip(".")
    return f"{said} (see `{name} --help`)"


if __name__ == "__main__":
    sys.exit(main())
