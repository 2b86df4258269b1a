"""Files: what is read is fit to be read, and what is written is whole or not at all, and never one that is read."""

import json
import os
import signal
import stat
import subprocess
import sys
import threading
from pathlib import Path

import pytest

from stepcheck import check_file
from stepcheck.faces import cli
from stepcheck.language import files
from stepcheck.language.parser import parse, read, take
from stepcheck.model.source import MAX_BYTES, MAX_COLUMNS, MAX_LINES, Source, SourceError

SHEET = "routine: Late Ferry\nbook: clogging\npart Verse: 8 beats\n  Triple\ndance:\n  Verse\n"
ASKED = Path(__file__).parents[3] / "specs" / "faulty" / "eight_bells.routine"  # whose repair asks the solver something
OLD = "what somebody wants to keep\n"
posix = pytest.mark.skipif(os.name != "posix", reason="links and pipes of POSIX")


@pytest.fixture
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The current folder, with a sheet that has a mistake."""
    monkeypatch.chdir(tmp_path)
    (tmp_path / "a.routine").write_text(SHEET)
    return tmp_path


def everything(folder: Path) -> dict[str, bytes]:
    """Return the files below a folder with their bytes."""
    return {str(path.relative_to(folder)): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def run(*words: str, given: str = "", out: int = subprocess.PIPE) -> tuple[int, bytes, str]:
    """Run the command and return its status, and what it said to stdout and stderr."""
    command = [sys.executable, "-W", "error", "-m", "stepcheck.faces.cli", *words]
    done = subprocess.run(command, input=given.encode(), stdout=out, stderr=subprocess.PIPE, timeout=120, check=False)
    return done.returncode, done.stdout or b"", done.stderr.decode()


# -- a source is never an output -------------------------------------------------------------------------------------


@posix
@pytest.mark.parametrize("force", [(), ("--force",)])
@pytest.mark.parametrize(
    "words",
    [
        ("check", "a.routine", "-o", "a.routine"),
        ("check", ".", "-o", "./a.routine"),
        ("check", "a.routine", "-o", "soft"),
        ("check", "a.routine", "-o", "hard"),
        ("check", "soft", "-o", "a.routine"),
        ("check", "hard", "-o", "a.routine"),
        ("check", "a.routine", "-o", "weir.book"),
        ("check", "a.routine", "-o", "to-book"),
        ("check", "a.routine", "-o", "pyproject.toml"),
        ("check", "a.routine", "other.routine", "-o", "other.routine"),
        ("check", "plain/a.routine", "plain/a.smt2", "--smt2", "plain"),
        ("check", "a.routine", "plain/a.smt2", "-o", "plain/a.smt2"),
        ("check", "a.routine", "--smt2", "a.routine"),
        ("check", "a.routine", "--smt2", "to-hard"),
        ("repair", "a.routine", "--smt2", "a.routine"),
        ("repair", "a.routine", "--smt2", "to-repair"),
        ("check", "a.routine", "-o", "s/a.smt2", "--smt2", "s"),
        ("check", "a.routine", "--certificate", "a.routine"),
        ("check", "a.routine", "--certificate", "to-hard"),
        ("repair", "a.routine", "--certificate", "to-repair"),
        ("check", "a.routine", "-o", "s/a.certificate.json", "--certificate", "s"),
    ],
)
def test_what_is_read_is_never_written_over(
    words: tuple[str, ...], force: tuple[str, ...], here: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """By whatever name it goes, a source stays as it is: exit status 2, a reason, and nothing is touched."""
    (here / "other.routine").write_text(SHEET)
    (here / "weir.book").write_text("book: weir\n")
    (here / "pyproject.toml").write_text("")
    (here / "soft").symlink_to("a.routine")
    (here / "to-book").symlink_to("weir.book")
    os.link("a.routine", "hard")
    for name in ("plain", "to-hard", "to-repair"):
        (here / name).mkdir()
    for name in ("a.smt2", "a.routine"):
        (here / "plain" / name).write_text(SHEET)
    for ending in ("smt2", "certificate.json"):
        os.link("a.routine", f"to-hard/a.{ending}")
        (here / "to-repair" / f"a.repair.{ending}").symlink_to("../a.routine")
    before = everything(here)

    assert 2 == cli.main([*words, *force])
    said = capsys.readouterr().err
    assert any(word in said for word in ("written over", "is a file")) and words[-1].split("/")[0] in said
    assert before == everything(here)


@posix
def test_what_stdin_and_stdout_are_counts(here: Path) -> None:
    """A sheet that comes by stdin is a source, and one that stdout is appended to is not written to."""
    command = [sys.executable, "-m", "stepcheck.faces.cli", "check", "-"]
    for words, name in (((*command, "-o", "keep", "--force"), os.devnull), (command, "keep")):
        (here / "keep").write_text(SHEET)
        with open("keep", "rb") as given, open(name, "ab") as out:
            done = subprocess.run(words, stdin=given, stdout=out, stderr=subprocess.PIPE, timeout=60, check=False)
        assert (2, SHEET) == (done.returncode, (here / "keep").read_text())
        assert b"is read in this run" in done.stderr


# -- nor is another file, unless it is forced ------------------------------------------------------------------------


@pytest.mark.parametrize(("force", "status"), [((), 2), (("--force",), 1)])
def test_another_file_is_written_over_by_force_only(force: tuple[str, ...], status: int, here: Path) -> None:
    """Reports and scripts alike: without --force what is there stays, and nothing else is touched."""
    (here / "s").mkdir()
    (here / "a.routine").write_bytes(ASKED.read_bytes())
    names = ["a.smt2", "a.repair.smt2", "a.certificate.json", "a.repair.certificate.json"]
    written = {"report", *(os.path.join("s", name) for name in names)}
    for name in written:
        (here / name).write_text(OLD)
    before = everything(here)
    kinds = [(command, option, "s") for command in ("check", "repair") for option in ("--smt2", "--certificate")]
    for words in (("check", "-o", "report"), *kinds):
        assert (status if words[0] == "check" else 0 if force else 2) == cli.main([*words, "a.routine", *force])
    after = everything(here)

    assert set(before) == set(after)
    assert {name for name in after if before[name] != after[name]} == (written if force else set())


@pytest.mark.parametrize("force", [(), ("--force",)])
@pytest.mark.parametrize("path", ["nosuch", "nosuch*", "empty", "."])
def test_a_run_without_an_answer_leaves_the_file(path: str, force: tuple[str, ...], here: Path) -> None:
    """Where no sheet is found, what is there stays, and nothing comes that was not there."""
    (here / "a.routine").unlink()
    (here / "empty").mkdir()
    (here / "keep.txt").write_text(OLD)
    for name in ("keep.txt", "new.txt"):
        assert 2 == cli.main(["check", path, "--format", "json", "-o", name, *force])

    assert {"keep.txt": OLD.encode()} == everything(here)


def test_a_run_that_is_stopped_leaves_the_file(here: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """After Ctrl-C the old report is whole, and there is nothing beside it."""
    from stepcheck.catalogue import workers

    def stopped(*_: object, **__: object) -> None:
        raise KeyboardInterrupt

    (here / "keep.txt").write_text(OLD)
    before = everything(here)
    monkeypatch.setattr(workers.pipeline, "examine", stopped)
    for name in ("keep.txt", "new.txt"):
        assert 130 == cli.main(["check", "a.routine", "-o", name, "--force"])

    assert before == everything(here)


# -- how a file is written -------------------------------------------------------------------------------------------


@posix
@pytest.mark.parametrize("nameless", [True, False])
def test_links_lead_to_their_target_and_permissions_stay(
    nameless: bool, here: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The target of a link is replaced, also one that is not there yet; a new file has the permissions that all new
    ones have."""
    if not nameless:
        monkeypatch.delattr(os, "O_TMPFILE", raising=False)
    (here / "real").write_text(OLD)
    (here / "real").chmod(0o640)
    os.link("real", "copy")
    (here / "link").symlink_to("real")
    (here / "dangling").symlink_to("new")
    files.write("link", b"new", force=True)
    files.write("dangling", b"fresh")
    usual = os.umask(0)
    os.umask(usual)

    assert (b"new", b"fresh", OLD) == (
        (here / "real").read_bytes(),
        (here / "new").read_bytes(),
        (here / "copy").read_text(),
    )
    assert [0o640, 0o666 & ~usual] == [stat.S_IMODE((here / name).stat().st_mode) for name in ("real", "new")]
    assert (here / "link").is_symlink() and (here / "dangling").is_symlink()
    assert {"a.routine", "copy", "dangling", "link", "new", "real"} == set(os.listdir())


@pytest.mark.parametrize("nameless", [True, False])
@pytest.mark.parametrize("error", [KeyboardInterrupt, SourceError, ZeroDivisionError])
def test_what_fails_on_the_way_leaves_everything_as_it_was(
    error: type[BaseException], nameless: bool, here: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The old file is whole, a new one is not there, nothing lies beside them, and the failure goes on as it is."""
    if not nameless:
        monkeypatch.delattr(os, "O_TMPFILE", raising=False)
    (here / "old").write_text(OLD)
    before = everything(here)
    for name in ("old", "new"):
        with pytest.raises(error), files.writing(name, force=True) as put:
            put(b"half")
            raise error("on the way")

    assert before == everything(here)


@posix
@pytest.mark.parametrize("nameless", [True, False])
def test_a_full_disk_leaves_the_old_file(nameless: bool, here: Path) -> None:
    """The system takes no more than so many bytes: status 2 with the reason, and the old file is whole."""
    (here / "old").write_text(OLD)
    before = everything(here)
    without = "" if nameless else "vars(os).pop('O_TMPFILE', None); "
    code = (
        f"import os, resource; {without}resource.setrlimit(resource.RLIMIT_FSIZE, (1000, 1000)); "
        "from stepcheck.faces import cli; raise SystemExit(cli.main(['check', 'a.routine', '--format', 'html', '-o', 'old', '--force']))"
    )
    done = subprocess.run([sys.executable, "-B", "-c", code], capture_output=True, text=True, timeout=60, check=False)

    assert (2, "stepcheck: old cannot be written: file too large\n") == (done.returncode, done.stderr)
    assert before == everything(here)


@posix
@pytest.mark.parametrize("signum", [signal.SIGKILL, signal.SIGTERM, signal.SIGINT])
def test_a_process_that_is_ended_in_the_middle_leaves_the_old_file(signum: signal.Signals, here: Path) -> None:
    """Ended while it writes, it leaves the old file whole; and nothing beside it, where files without a name are to be
    had."""
    (here / "old").write_text(OLD)
    before = everything(here)
    code = (
        "import sys, time\nfrom stepcheck.language import files\nwith files.writing('old', force=True) as put:\n"
        "    put(b'half' * 100_000)\n    print('written', flush=True)\n    time.sleep(60)\n"
    )
    child = subprocess.Popen([sys.executable, "-c", code], stdout=subprocess.PIPE, stderr=subprocess.DEVNULL)
    assert child.stdout is not None
    assert b"written\n" == child.stdout.readline()
    child.send_signal(signum)
    child.communicate(timeout=60)

    assert 0 != child.returncode
    assert OLD == (here / "old").read_text()
    if signum is signal.SIGINT or hasattr(os, "O_TMPFILE"):
        assert before == everything(here)


@posix
def test_what_is_no_plain_file_is_written_to_as_it_comes(here: Path) -> None:
    """A pipe with a name, /dev/null, and /dev/stdout as a pipe or a file get the bytes that stdout would, and stay what
    they are."""
    words = ("check", "--format", "json", "a.routine")
    _, right, _ = run(*words)
    os.mkfifo("pipe")
    got: list[bytes] = []
    reader = threading.Thread(target=lambda: got.append((here / "pipe").read_bytes()))
    reader.start()
    assert (1, b"") == run(*words, "-o", "pipe")[:2]
    reader.join(60)
    assert [right] == got and stat.S_ISFIFO(os.stat("pipe").st_mode)
    assert (1, b"") == run(*words, "-o", "/dev/null")[:2] and stat.S_ISCHR(os.stat("/dev/null").st_mode)
    assert (1, right) == run(*words, "-o", "/dev/stdout")[:2]
    with open("out", "wb") as out:
        out.write(b"before\n")
        out.flush()
        assert 1 == run(*words, "-o", "/dev/stdout", out=out.fileno())[0]
    assert b"before\n" + right == (here / "out").read_bytes()
    assert json.loads(right)["sheets"]


@posix
def test_a_file_that_may_not_be_written_is_not_replaced(here: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The rights of the file count, not only those of its folder."""
    (here / "old").write_text(OLD)
    real = os.access
    monkeypatch.setattr(os, "access", lambda path, mode: path != "old" and real(path, mode))
    with pytest.raises(SourceError, match="old cannot be written: permission denied"):
        files.write("old", b"new", force=True)

    assert OLD == (here / "old").read_text()


def test_a_file_that_comes_meanwhile_is_not_replaced(here: Path) -> None:
    """What somebody else has written since is kept, unless it is forced."""
    said = "new cannot be written: it has come into being meanwhile"
    with pytest.raises(SourceError, match=said), files.writing("new") as put:
        put(b"ours")
        (here / "new").write_text("theirs")

    assert "theirs" == (here / "new").read_text()
    assert {"a.routine", "new"} == set(os.listdir())


# -- a fix, an answer or a layout goes into the sheet ----------------------------------------------------------------


@pytest.mark.parametrize(
    ("words", "text"),
    [
        (("repair", "--apply", "1"), SHEET),
        (("fill", "--apply", "1"), SHEET.replace("Triple", "Triple x?")),
        (("format",), SHEET.replace("  Triple", "     Triple")),
    ],
)
def test_a_sheet_that_was_changed_meanwhile_is_left(
    words: tuple[str, ...], text: str, here: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """What an editor has saved while a fix was looked for is not undone: status 2 and the reason."""
    from stepcheck.program import formatter

    (here / "a.routine").write_text(text)
    saved, real = text + "# a thought\n", formatter.replace

    def replace(source: Source, new: str, *, in_place: bool) -> None:
        (here / "a.routine").write_text(saved)
        real(source, new, in_place=in_place)

    monkeypatch.setattr(formatter, "replace", replace)
    assert 2 == cli.main([words[0], "a.routine", *words[1:]])
    assert "a.routine was changed meanwhile" in capsys.readouterr().err
    assert saved == (here / "a.routine").read_text()


# -- scripts ---------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("paths", "names"),
    [
        (["a/b/x.routine"], ["x"]),
        (["d/x.routine", "d/y.routine"], ["x", "y"]),
        (["d1/x.routine", "d2/x.routine"], ["d1-x", "d2-x"]),
        (["x.routine", "d/x.routine"], ["x", "d-x"]),
        (["d-x.routine", "d/x.routine"], ["d-x", "d-x-2"]),
        (["x", "x.routine", "./x.routine"], ["x", "x-2", "x-3"]),
        (["../e/x.routine", "x.routine"], ["e-x", "here-x"]),
        (["-", "a.routine"], ["stdin", "a"]),
        (["X.routine", "x.routine"], ["X", "x-2"]),
    ],
)
def test_each_sheet_has_a_script_of_its_own(
    paths: list[str], names: list[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A script is called after its sheet, with the folders in which the sheets differ; no two have one name."""
    (tmp_path / "here").mkdir()
    monkeypatch.chdir(tmp_path / "here")

    assert [os.path.join("s", f"{name}.smt2") for name in names] == list(files.beside(paths, "s").values())


def test_the_command_writes_one_script_a_sheet(here: Path) -> None:
    """Sheets of one name in two folders get two scripts; a cache that has the answers changes nothing of it."""
    for folder in ("d1", "d2"):
        (here / folder).mkdir()
        (here / folder / "x.routine").write_text(SHEET.replace("8 beats", f"{folder[1]} beats"))
    for number in ("1", "2"):
        words = ["check", "d1", "d2", "--smt2", f"s{number}", "--cache-file", "a.sqlite", "-o", f"o{number}"]
        assert 1 == cli.main(words)
    one, two = (sorted((here / f"s{number}").iterdir()) for number in (1, 2))

    assert ["d1-x.smt2", "d2-x.smt2"] == [path.name for path in one] == [path.name for path in two]
    assert one[0].read_bytes() == two[0].read_bytes() and b"(check-sat)" in one[0].read_bytes()
    assert (here / "o1").read_bytes() == (here / "o2").read_bytes()


def test_repair_and_check_write_into_one_folder(here: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The folder is made, and the two questions about a sheet are two files."""
    (here / "a.routine").write_bytes(ASKED.read_bytes())
    assert 1 == cli.main(["check", "a.routine", "--smt2", "deep/s"])
    assert 0 == cli.main(["repair", "a.routine", "--smt2", "deep/s"])

    assert {"a.smt2", "a.repair.smt2"} == {path.name for path in (here / "deep" / "s").iterdir()}
    assert b"(check-sat)" in (here / "deep" / "s" / "a.repair.smt2").read_bytes()


def test_the_library_writes_no_script_over_another(here: Path) -> None:
    """`check_file` makes the folder, and refuses what is there."""
    check_file("a.routine", smt2="s")
    before = everything(here)
    assert b"(check-sat)" in before[os.path.join("s", "a.smt2")]
    with pytest.raises(SourceError, match=r"a\.smt2 cannot be written: it is there already"):
        check_file("a.routine", smt2="s")

    assert before == everything(here)


def test_a_folder_is_there_before_it_is_written_to(monkeypatch: pytest.MonkeyPatch, here: Path) -> None:
    """A folder for scripts is made at once; one that takes no file, or is one, is refused before a sheet is checked."""
    files.folder("a/b")
    assert (here / "a" / "b").is_dir()
    with pytest.raises(SourceError, match=r"a\.routine cannot be written: file exists"):
        files.folder("a.routine")
    monkeypatch.setattr(os, "access", lambda path, mode: False)
    with pytest.raises(SourceError, match="a cannot be written: no permission"):
        files.folder("a")


LINES = "routine: X\npart A:\n  Vine\n"


def reading(tmp_path, data):
    """Return the text that is kept of a file with these bytes, and its findings as code, line and column."""
    path = tmp_path / "x.routine"
    path.write_bytes(data)
    source, findings = read(path)
    return source, [(f.code.name, f.span.line, f.span.column) for f in findings]


@pytest.mark.parametrize(
    "data",
    [
        LINES.encode(),
        b"\xef\xbb\xbf" + LINES.encode(),
        LINES.replace("\n", "\r\n").encode(),
        LINES.replace("\n", "\r").encode(),
    ],
    ids=["plain", "byte-order mark", "CRLF", "CR"],
)
def test_line_ends_and_marks_do_not_matter(tmp_path, data):
    """The same sheet comes out whatever the editor wrote around it."""
    source, findings = reading(tmp_path, data)
    assert (LINES, []) == (source.text, findings)


def test_tabs_are_kept(tmp_path):
    """Tabs indent; they are no stray characters."""
    assert [] == reading(tmp_path, LINES.replace("  ", "\t").encode())[1]


def test_bytes_that_are_not_utf8_have_a_place(tmp_path):
    """The first bad byte is found at its line and column, and the other lines are still read."""
    source, findings = reading(tmp_path, "routine: Mühle\npart É:\n  Vine\n".encode("latin-1"))
    assert [("not-text", 1, 11)] == findings
    assert 3 == len([line for line in parse(source)[0].lines if line.node or line.broken]) + 1


def test_utf16_is_named(tmp_path):
    """A file of the commonest wrong encoding is refused with its name, and says nothing more."""
    source, findings = reading(tmp_path, LINES.encode("utf-16"))
    assert [("not-text", 1, 1)] == findings
    assert () == parse(source)[1]


@pytest.mark.parametrize("char", ["\0", "\x07", "\x0b", "\x1b", "\x85", "\u200b", "\u202e", "\u00ad", "\ufeff"])
def test_stray_characters_have_a_place(tmp_path, char):
    """A character that can't be seen is found where it first stands; every other place stays as it is."""
    source, findings = reading(tmp_path, f"routine: X\npart A:\n  Vine{char}{char} x2\n".encode())
    assert [("stray-character", 3, 7)] == findings
    assert "  Vine   x2" == source.line(3)
    assert () == parse(source)[1]


def test_what_is_no_text_at_all_is_refused_whole(tmp_path):
    """A file of bytes that mean something else gives one finding at the first, not thousands."""
    source, findings = reading(tmp_path, b"routine: X\n" + b"\0" * 100_000)
    assert [("not-text", 2, 1)] == findings
    assert () == parse(source)[1]


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (b"PK\x03\x04" + bytes(200), "word processor"),
        (b"{\\rtf1 routine: X\n}", "word processor"),
        (b"%PDF-1.7\n", "word processor"),
        (b"\x89\xff\x00\x01\n" * 40, "no text"),
    ],
)
def test_what_another_program_wrote_is_one_finding(tmp_path, data, said):
    """A document, a picture or the like is named as what it is, once; its bytes are not read as lines."""
    path = tmp_path / "x.routine"
    path.write_bytes(data)
    source, (finding,) = read(path)
    assert ("not-text", 1, True) == (finding.code.name, finding.span.line, said in finding.message)
    assert () == parse(source)[1]


def test_half_a_character_is_stray():
    """A lone half of a surrogate pair in a text from memory can't break what is printed later."""
    source, findings = take("routine: X\ud800\n")
    assert ["stray-character"] == [finding.code.name for finding in findings]
    assert source.text.encode()


def test_a_file_that_is_too_large_is_refused(tmp_path):
    """More bytes than any sheet has are refused with one finding."""
    source, findings = reading(tmp_path, b"x" * (MAX_BYTES + 1))
    assert [("too-large", 1, 1)] == findings
    assert () == parse(source)[1]


def test_a_million_lines_are_refused(tmp_path):
    """Too many lines are refused with one finding."""
    source, findings = reading(tmp_path, b"Vine\n" * 1_000_000)
    assert [("too-large", MAX_LINES + 1, 1)] == findings
    assert () == parse(source)[1]


def test_a_long_line_is_refused_and_the_rest_is_read(tmp_path):
    """A line of ten million letters, or of one too many, doesn't hide the lines after it."""
    text = f"routine: X\n# {'y' * MAX_COLUMNS}\npart A:\n  Vine, tun 1/4 left\n"
    source, findings = reading(tmp_path, text.encode())
    assert [("too-large", 2, MAX_COLUMNS + 1)] == findings
    assert [4] == [finding.span.line for finding in parse(source)[1]]
    assert ["too-large"] == [finding[0] for finding in reading(tmp_path, b"x" * 10_000_000)[1]]


def test_one_finding_stands_for_many_of_a_kind():
    """A text full of one fault gives one finding that counts the others."""
    findings = take("\0" * 50 + "\n" + ("y" * 3000 + "\n") * 7)[1]
    assert ["stray-character", "too-large"] == [finding.code.name for finding in findings]
    assert ["and 49 more" in findings[0].message, "and 6 more" in findings[1].message] == [True, True]
    assert (("count", 50),) == findings[0].args


@pytest.mark.parametrize("name", [".", "missing.routine", "nul\0.routine"])
def test_what_cannot_be_opened_is_raised(name):
    """A folder, a missing file and a name that can't be are errors, not sheets."""
    with pytest.raises(SourceError):
        read(name)


def test_bytes_are_read_as_a_file_is(tmp_path):
    """Bytes that an editor hands over give the same text and findings as the file that holds them."""
    data = b"\xef\xbb\xbfroutine: M\xfchle\r\npart A:\n  Vine\0\n"
    source, findings = files.decode(data, "x")
    assert (source.text, [(f.code.name, f.span.line, f.span.column) for f in findings]) == (
        (lambda kept, found: (kept.text, found))(*reading(tmp_path, data))
    )
    assert ["not-text", "stray-character"] == [finding.code.name for finding in findings]


def test_a_refused_text_is_not_called_empty():
    """One fault gives one finding: a refused file is not reported as an empty sheet too."""
    assert () == parse(Source("x", files.REFUSED))[1]
    assert ["empty-sheet"] == [finding.code.name for finding in parse(Source("x", ""))[1]]
