"""The language server with a real editor as its client: Neovim, as Debian packages it, without a window."""

import json
import shutil
import subprocess
import sys
from typing import Any

import pytest

pytestmark = pytest.mark.neovim

SHEET = """\
routine: Lock Gates
book: clogging

part Verse: 8 beats
  Basik x2
  Triple, turn 1/2 right (𝄞 to the drum)
  expect left foot

dance:
  Verse
"""
# What somebody does with the sheet open: each step is Neovim's own function for it, or a request that it sends.
SCRIPT = """
local python, answers = ...
local seen = {}
local function wait(what) return vim.wait(20000, what, 5) end
local function codes()
  local found = vim.tbl_map(function(one) return one.code end, vim.diagnostic.get(0))
  table.sort(found)
  return table.concat(found, " ")
end
local function text() return table.concat(vim.api.nvim_buf_get_lines(0, 0, -1, false), "\\n") end
local id = vim.lsp.start_client({ cmd = { python, "-m", "stepcheck.faces.cli", "editor" }, name = "stepcheck" })
vim.lsp.buf_attach_client(0, id)
seen.ready = wait(function() return #vim.diagnostic.get(0) > 0 end)
seen.opened = codes()
local client = vim.lsp.get_client_by_id(id)
local function ask(method, more)
  local params = { textDocument = vim.lsp.util.make_text_document_params() }
  local cursor = vim.lsp.util.make_position_params(0, client.offset_encoding)
  params.position = cursor.position
  params = vim.tbl_extend("force", params, more or {})
  local got = vim.lsp.buf_request_sync(0, method, params, 20000)
  return got[id].result, got[id].error
end
local function at(line, column) vim.api.nvim_win_set_cursor(0, { line, column }) end
local function spread(line) return { start = { line = line, character = 0 }, ["end"] = { line = line, character = 1 } } end

-- Everything with a single way out, by the action that is asked for when a sheet is saved.
local fix = ask("textDocument/codeAction", { range = spread(0), context = { diagnostics = {}, only = { "source.fixAll" } } })
seen.fixes = vim.tbl_map(function(one) return one.kind end, fix)
vim.lsp.util.apply_workspace_edit(fix[1].edit, client.offset_encoding)
wait(function() return codes() ~= seen.opened end)
seen.fixed, seen.after = vim.api.nvim_buf_get_lines(0, 4, 5, false)[1], codes()

-- A key at a time: the foot that is claimed is put right.
local begun = vim.loop.hrtime()
vim.api.nvim_buf_set_text(0, 6, 9, 6, 13, { "right" })
wait(function() return codes() ~= seen.after end)
seen.typed, seen.milliseconds = codes(), (vim.loop.hrtime() - begun) / 1e6

at(6, 4)
seen.hover = ask("textDocument/hover").contents.value
seen.hints = vim.tbl_map(function(one) return one.label end, ask("textDocument/inlayHint", {
  range = { start = { line = 0, character = 0 }, ["end"] = { line = 20, character = 0 } } }))
seen.folds = vim.tbl_map(function(one) return { one.startLine, one.endLine } end, ask("textDocument/foldingRange"))
seen.symbols = vim.tbl_map(function(one) return one.name end, ask("textDocument/documentSymbol"))

at(10, 3)
vim.lsp.buf.references()
seen.listed = wait(function() return #vim.fn.getqflist() > 0 end)
seen.references = vim.tbl_map(function(one) return { one.lnum, one.col } end, vim.fn.getqflist())
vim.cmd("cclose")
at(10, 3)
local _, refused = ask("textDocument/rename", { newName = "Triple" })
seen.refused = refused and refused.message
vim.lsp.buf.rename("Opening")
wait(function() return text():find("Opening") ~= nil end)
seen.text = text()
vim.fn.writefile({ vim.fn.json_encode(seen) }, answers)
vim.lsp.stop_client(id)
wait(function() return vim.lsp.get_client_by_id(id) == nil or client.is_stopped() end)
vim.cmd("qall!")
"""


@pytest.fixture(scope="module")
def seen(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Any]:
    """What came of one session; a machine without the editor can't run these tests, and says so."""
    neovim = shutil.which("nvim")
    if neovim is None:
        pytest.skip("needs Debian's neovim")
    folder = tmp_path_factory.mktemp("neovim")
    (folder / "gates.routine").write_text(SHEET, "utf-8")
    (folder / "script.lua").write_text(SCRIPT, "utf-8")
    start = f"lua assert(loadfile('script.lua'))({json.dumps(sys.executable)}, 'answers.json')"
    command = [neovim, "--headless", "--clean", "-n", "gates.routine", "-c", start, "-c", "cquit"]
    environment = {"HOME": str(folder), "PATH": "/usr/bin:/bin", "XDG_STATE_HOME": str(folder), "LANG": "C.UTF-8"}
    done = subprocess.run(
        command, cwd=folder, env=environment, capture_output=True, text=True, timeout=120, check=False
    )
    assert (folder / "answers.json").exists(), done.stderr
    found = json.loads((folder / "answers.json").read_text("utf-8"))
    assert isinstance(found, dict)
    return found


def test_findings_come_and_go(seen: dict[str, Any]) -> None:
    """A misspelt name is found; mended, the wrong claim is; mended as well, nothing is left."""
    assert (True, "SR301") == (seen["ready"], seen["opened"])
    assert "SR502" in seen["after"]
    assert "" == seen["typed"].replace("SR803", "").strip()


def test_a_key_is_answered_soon(seen: dict[str, Any]) -> None:
    """From the key to the findings in the editor, whatever else the machine does, well within a second."""
    assert 0 < seen["milliseconds"] < 1000


def test_everything_is_fixed_at_once(seen: dict[str, Any]) -> None:
    """The one action for a save writes the only name that can be meant."""
    assert (["source.fixAll"], "  Basic x2") == (seen["fixes"], seen["fixed"])


def test_the_editor_is_told_what_it_asks(seen: dict[str, Any]) -> None:
    """Hover, hints at the lines, folds and symbols, as the same requests have them from another client."""
    assert "Triple (book clogging)" in seen["hover"]
    assert ["1 · left · front", "5 · left · front"] == seen["hints"][:2]
    assert [[3, 6], [8, 9]] == seen["folds"]
    assert ["Verse", "dance"] == seen["symbols"]


def test_a_part_is_found_and_renamed(seen: dict[str, Any]) -> None:
    """Neovim's own commands list the places and rename them all; a name that is taken is refused with a sentence."""
    assert [[4, 6], [10, 3]] == seen["references"]
    assert seen["refused"] == "Triple is already the name of a figure of the book clogging"
    expected = SHEET.replace("Basik", "Basic").replace("left foot\n", "right foot\n").replace("Verse", "Opening")
    assert expected == seen["text"] + "\n"
