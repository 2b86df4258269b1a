"""The command `fit`, as options and what it prints."""

import sys

import click

from stepcheck.catalogue.discovery import STDIN
from stepcheck.faces.offers import LEVEL
from stepcheck.faces.options import FORCE, FORM, IN_PLACE, NUMBER, SHEET, SMT2, written_json
from stepcheck.faces.streams import complain, write
from stepcheck.language import writer
from stepcheck.model.source import SearchError


@click.command("fit", short_help="Lay a dance out over another song, or cut it to a length.")
@SHEET
@click.option("--music", metavar="SONG", help="A file (ABC, MusicXML, MIDI), or sections: `verse 32, chorus 32`.")
@click.option("--beats", type=NUMBER, help="Cut the dance to so many beats.")
@click.option("--length", metavar="TIME", help="Cut it to a track that lasts so long, such as 120s or 2:00.")
@click.option("--level", metavar="LEVEL", type=LEVEL, help="The hardest level of figures in breaks.")
@click.option("--apply", is_flag=True, help="Write it into the file.")
@SMT2
@FORCE
@IN_PLACE
@FORM
def fit(
    path: str,
    music: str | None,
    beats: int | None,
    length: str | None,
    level: str | None,
    apply: bool,
    smt2: str | None,
    force: bool,
    in_place: bool,
    form: str,
) -> int:
    """Lay the parts of a sheet out so that they fill a song and every claim of the sheet holds, with the fewest breaks,
    the least new in them, and the fewest passes cut short.

    Without --music it is the song of the sheet. --beats and --length leave out repeats and parts instead. The answer is
    a diff, where breaks and restarts stand, and the report on the sheet after it. The exit status is 0 if
    there is a layout in which nothing is refuted, 1 if there is none, which comes with the reason.
    """
    from stepcheck.floor.fit import fit as fitted
    from stepcheck.formats.fitted import SCHEMA, fitted_text, fitted_value
    from stepcheck.report import pipeline

    if path == STDIN and apply:
        raise click.UsageError("stdin cannot be written to; name the file")
    routine = pipeline.loads(sys.stdin.buffer.read(), path="<stdin>") if path == STDIN else pipeline.load(path)
    script = writer.beside((path,), smt2, f".fit{writer.SCRIPT}").get(path, "")
    if smt2 is not None:
        writer.permit(script, writer.inodes((writer.STDIN if path == STDIN else path,)), force=force)
        writer.folder(smt2)
    found = fitted(routine, music=music, beats=beats, length=length, level=level)
    if apply and found.reason:
        raise SearchError(f"nothing is written: {found.reason}")
    write(written_json(SCHEMA, **fitted_value(found, path)) if form == "json" else fitted_text(found))
    if script and found.script:
        writer.write(script, found.script.encode(), force=force)
    elif script:
        complain("no script is written, since there was nothing to ask the solver")
    if apply and found.diff:
        from stepcheck.program.formatter import replace

        replace(routine.sheet.source, found.text, in_place=in_place)
        complain(f"{path}: the dance is laid out anew")
    return 1 if found.reason else 0
