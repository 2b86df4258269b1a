"""The pages of the codes and the schemas, as a program or a person asks for them."""

import json
from pathlib import Path

import jsonschema
import pytest

from stepcheck.formats import reference
from stepcheck.formats.json import SCHEMA, json_text
from stepcheck.formats.lines import json_error, json_line
from stepcheck.formats.reference import NoSuchPage
from stepcheck.model.findings import CODES
from stepcheck.report.pipeline import check_file

SPECS = Path(__file__).parents[3] / "specs"


@pytest.mark.parametrize("code", CODES.values(), ids=lambda code: code.name)
def test_every_code_is_explained_by_id_and_by_name(code: object) -> None:
    """The page of a code is the one in the specification, found in any spelling of its id or name."""
    made = reference.explain(code.id.lower())  # type: ignore[attr-defined]

    assert made == reference.explain(code.name) == reference.explain(code.id[2:])  # type: ignore[attr-defined]
    assert (SPECS / "codes" / f"{made.code}-{made.name}.md").read_text("utf-8") == made.markdown
    assert ["What was found", "Ways out"] == [heading for heading, _ in made.sections[:2]]
    assert all(body for _, body in made.sections)


def test_a_page_as_text_has_no_marks() -> None:
    """In a terminal a page is plain: headings without signs, sheets indented."""
    said = str(reference.explain("SR501"))

    assert said.startswith("SR501 foot-not-free\n\nWhat was found\n")
    assert "\n    routine: Slack Water\n" in said
    assert "##" not in said and "```" not in said


def test_a_code_that_is_none_is_answered_with_the_nearest() -> None:
    """Whoever mistypes a code is told which it may be."""
    with pytest.raises(NoSuchPage, match="there is no code 'foot-not-fre'; did you mean foot-not-free"):
        reference.explain("foot-not-fre")
    with pytest.raises(NoSuchPage, match="`stepcheck explain` lists them all"):
        reference.explain("?")
    with pytest.raises(NoSuchPage, match="there are those of json and jsonl"):
        reference.schema("html")


def test_lines_keep_to_their_schema() -> None:
    """Every line of the demo sheets, and of a file that is not there, keeps to the schema of a line; other things do
    not."""
    schema = json.loads(reference.schema("jsonl"))
    jsonschema.Draft202012Validator.check_schema(schema)
    keeps = jsonschema.Draft202012Validator(schema).is_valid
    sheets = [check_file(path, engine="walk") for path in sorted((SPECS / "faulty").glob("*.routine"))[:6]]
    lines = [*map(json_line, sheets), json_error({"path": "gone.routine", "message": "it is missing"})]

    assert all(keeps(json.loads(line)) for line in lines)
    assert not keeps({"schema": SCHEMA}) and not keeps(json.loads(json_text(sheets)))
    assert not keeps({name: value for name, value in json.loads(lines[0]).items() if name != "verdict"})


def test_the_schema_of_the_document_is_the_published_one() -> None:
    """What is printed is the file in the specification."""
    assert (SPECS / "report.schema.json").read_text("utf-8") == reference.schema("json")
