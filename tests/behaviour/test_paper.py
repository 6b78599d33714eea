"""The papers: everything that was found is on them, the gravest first, and both settings say the same."""

from __future__ import annotations

import dataclasses
import datetime as dt
import re
from html.parser import HTMLParser
from io import BytesIO
from pathlib import Path

import matplotlib as mpl
import pypdf
import pytest
from matplotlib.ft2font import FT2Font

from hvaclib.cli import main
from hvaclib.errors import InputError
from hvaclib.paper import (
    PAPERS,
    findings_letter,
    html_of,
    job_sheet,
    label,
    label_lines,
    pdf_of,
    punch_list,
    write_paper,
)
from hvaclib.paper.document import Bullets, Cautions, Heading, Lines, Signatures
from hvaclib.paper.label import WIDEST
from hvaclib.review import Remark, review_visit
from hvaclib.rules import load
from hvaclib.visit import Appliance, Entry, Job, Visit, demands, steps, write_visit
from hvaclib.visit.sheets import write_csv

HOSTILE = "<script>alert(1)</script> & =1+1"
STOP = Remark(
    kind="wrong-answer", severity="stop and call", sentence="A gas leak was found.", item="gas-leak-test",
    acts="gas fitter", do=("Shut the gas off.",), cautions=("Gas can explode.",), source="program decision",
)  # fmt: skip
FAIL = Remark(
    kind="rule", severity="fail", sentence="The rise is too high.", item="temperature-rise", where="furnace",
    acts="installer", do=("Check the filter.",), source="manufacturer's rating plate", rule="rise-within-nameplate",
)  # fmt: skip
LOOK = Remark(
    kind="fuel-triangle", severity="look again", sentence="O₂ and CO₂ cannot both be true.", acts="gas fitter",
    suspects=("flue-oxygen", "flue-carbon-dioxide"), false_alarm=0.01, source="balance of carbon",
)  # fmt: skip
NOTE = Remark(kind="rule", severity="note", sentence="The appliance is sealed.")


@pytest.fixture(scope="module")
def visit() -> Visit:
    furnace = Appliance(
        name="furnace", kind="two-pipe sealed furnace", fuel="natural gas", zone="basement", condensing=True,
        input="60000 Btu/h", rise=("40 °F", "70 °F"), maximum_static="0.50 in. w.c.", new=True,
    )  # fmt: skip
    entries = [
        ("flue-oxygen", "6.0 %"), ("flue-co-air-free", "23 ppm"), ("stack-temperature", "118 °F"),
        ("clocked-input", "59800 Btu/h"), ("supply-temperature", "125 °F"), ("return-temperature", "70 °F"),
        ("external-static", "0.42 in. w.c."), ("filter-size", f"16x25x1 {HOSTILE}"), ("filter-arrow", "yes"),
    ]  # fmt: skip
    job = Job(id="A-1", contractor="Invented Heating & Sons", technician="R. T.", date=dt.date(2026, 3, 4))
    return Visit(
        job=job,
        appliance=(furnace,),
        entry=tuple(Entry(item=i, value=v, where="furnace") for i, v in entries),
    )


@pytest.fixture(scope="module")
def review(visit):
    found = review_visit(visit, load("plain"))
    return dataclasses.replace(found, remarks=(STOP, FAIL, LOOK, NOTE))


@pytest.fixture(scope="module")
def papers(review):
    return {name: make(review, "field") for name, make in PAPERS.items()}


class Words(HTMLParser):
    """The words of a page, its tags and every address that it would fetch."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.found: list[str] = []
        self.tags: list[str] = []
        self.addresses: list[str] = []
        self.open: list[str] = []
        self.feed(text)
        self.close()
        assert not self.open

    def handle_starttag(self, tag, attrs):
        self.tags.append(tag)
        self.addresses += [value for name, value in attrs if name in ("src", "href", "action")]
        if tag not in ("meta", "col", "br"):
            self.open.append(tag)

    def handle_endtag(self, tag):
        assert self.open.pop() == tag

    def handle_data(self, data):
        if "style" not in self.open:
            self.found.append(data)


def squeezed(text: str) -> str:
    return re.sub(r"\s+", "", text)


@pytest.mark.parametrize("name", PAPERS)
def test_both_settings_say_every_word(papers, name) -> None:
    document = papers[name]
    page = Words(html_of(document))
    shown = squeezed("".join(page.found))
    content = pdf_of(document)
    sheets = pypdf.PdfReader(BytesIO(content)).pages
    printed = squeezed("".join(sheet.extract_text() for sheet in sheets))
    for words in document.words():
        assert squeezed(words) in shown
        # A table cell may be broken over lines that others stand between, so the PDF is asked word by word.
        for word in words.split():
            assert word in printed
    assert "script" not in page.tags
    assert page.addresses == []
    assert content == pdf_of(document), "two settings of one paper differ"
    assert f"page{len(sheets)}" in printed


@pytest.mark.parametrize("name", PAPERS)
def test_the_letters_of_the_pdf_have_every_sign(papers, name) -> None:
    folder = Path(mpl.get_data_path()) / "fonts" / "ttf"
    files = ("DejaVuSans", "DejaVuSans-Bold", "DejaVuSansMono-Bold")
    known = [set(FT2Font(str(folder / f"{file}.ttf")).get_charmap()) for file in files]
    for block in papers[name].blocks:
        fonts = known[2:] if isinstance(block, Lines) else known[:2]
        only = dataclasses.replace(papers[name], title="", below="", foot="", blocks=(block,))
        missing = {sign for text in only.words() for sign in text for font in fonts if ord(sign) not in font}
        assert not missing


def test_the_stop_and_call_list_comes_first(papers) -> None:
    for name in ("findings", "punch list"):
        blocks = papers[name].blocks
        lists = [block for block in blocks if isinstance(block, Bullets)]
        assert lists[0].entries[0][0] == STOP.sentence
        heading = next(block for block in blocks if isinstance(block, Heading))
        assert "call the program office" in heading.text


def test_the_letter_names_everything_found_with_its_cautions_and_false_alarms(papers, review) -> None:
    words = papers["findings"].words()
    for remark in review.remarks:
        assert remark.sentence in words
        for sentence in remark.do:
            assert f"Do: {sentence}" in words
    assert any("1.0 % of sound sheets" in text for text in words)
    (cautions,) = [block for block in papers["findings"].blocks if isinstance(block, Cautions)]
    assert cautions.sentences == ("Gas can explode.",)
    assert review.findings.digest[:12] in papers["findings"].below
    # Every reading that a rule judged is in the table, passed or not.
    judged = [finding for finding in review.findings.items if finding.reading is not None]
    assert judged
    for finding in judged:
        assert finding.rule.title in words


def test_the_punch_list_is_grouped_by_who_must_act(papers) -> None:
    blocks = papers["punch list"].blocks
    heads = [block.text for block in blocks if isinstance(block, Heading)]
    assert heads[1:] == ["Installer", "Gas fitter"]
    lists = [block for block in blocks if isinstance(block, Bullets)]
    assert all(block.boxes for block in lists)
    assert [block.entries[0][0] for block in lists] == [
        STOP.sentence,
        FAIL.sentence,
        f"Look again: {LOOK.sentence}",
    ]
    assert NOTE.sentence not in papers["punch list"].words()


def test_a_punch_list_of_several_jobs_names_each(review, visit) -> None:
    other = dataclasses.replace(
        review, visit=visit.model_copy(update={"job": visit.job.model_copy(update={"id": "A-2"})})
    )
    words = punch_list([review, other]).words()
    assert f"Job A-1: {STOP.sentence}" in words
    assert f"Job A-2: {FAIL.sentence}" in words


def test_nothing_to_do_is_said(review) -> None:
    clean = dataclasses.replace(review, remarks=())
    assert "Nothing is left to do." in punch_list([clean]).words()
    assert any("within the rules" in text for text in findings_letter(clean).words())


def test_the_label_has_what_the_next_technician_needs(visit) -> None:
    lines = label_lines(visit)
    text = "\n".join(lines)
    assert all(len(line) <= WIDEST for line in lines)
    for part in (
        "2026-03-04",
        "O₂ 6 %",
        "CO₂ ______",
        "23 ppm",
        "118 °F",
        "STATIC",
        "0.5",
        "16x25x1",
        "►",
        "R. T.",
    ):
        assert part in text
    # 125 − 70: the rise follows from the two thermometers where the sheet leaves it out.
    assert re.search(r"RISE 55(\.0)? °F", text)
    metric = "\n".join(label_lines(visit, system="si"))
    assert "°C" in metric
    assert "Pa" in metric


def test_the_job_sheet_has_every_step_that_the_job_needs_in_order(visit) -> None:
    document = job_sheet(visit)
    heads = [block.text for block in document.blocks if isinstance(block, Heading)][1:]
    numbers = [int(text.split()[0]) for text in heads]
    assert numbers == sorted(numbers)
    wanted = {demand.item.step.number for demand in demands(visit)}
    assert wanted <= set(numbers) <= {step.number for step in steps()}
    words = document.words()
    for demand in demands(visit):
        assert any(text.endswith(demand.item.title) for text in words), demand.item.title
    (signatures,) = [block for block in document.blocks if isinstance(block, Signatures)]
    assert len(signatures.who) == 3
    blank = job_sheet(visit.model_copy(update={"entry": ()}))
    assert "118 °F" in words
    assert "118 °F" not in blank.words()


def test_files_are_written_under_names_that_every_system_takes(review, visit, tmp_path) -> None:
    odd = visit.model_copy(update={"job": visit.job.model_copy(update={"id": "../A:1?"})})
    written = write_paper(dataclasses.replace(review, visit=odd), tmp_path)
    assert {path.parent for path in written} == {tmp_path}
    assert sorted(path.name for path in tmp_path.iterdir()) == sorted(path.name for path in written)
    assert {path.suffix for path in written} == {".html", ".pdf", ".txt"}
    assert len(written) == 2 * len(PAPERS) + 1
    for path in written:
        assert not re.search(r'[\\/:*?"<>|]', path.name)


def test_other_papers_and_sizes_are_refused(review, tmp_path) -> None:
    with pytest.raises(InputError, match="no such paper; found 'diploma'; expected job sheet or findings"):
        write_paper(review, tmp_path, ["diploma"])
    with pytest.raises(InputError, match="no such size of paper; found 'A3'; expected letter or A4"):
        pdf_of(label(review.visit), "A3")
    sizes = [
        pypdf.PdfReader(BytesIO(pdf_of(label(review.visit), sheet))).pages[0].mediabox
        for sheet in ("letter", "A4")
    ]
    # ISO 216: A4 is 210 mm x 297 mm; letter, ANSI/ASME Y14.1: 8.5 in x 11 in; a point is 1/72 in.
    assert [round(float(size.width) / 72, 2) for size in sizes] == [8.5, round(210 / 25.4, 2)]
    assert [round(float(size.height) / 72, 2) for size in sizes] == [11.0, round(297 / 25.4, 2)]


def test_the_command_writes_and_refuses(visit, tmp_path, capsys) -> None:
    write_visit(visit, tmp_path / "visit.toml")
    assert main(["paper", str(tmp_path / "visit.toml"), "--out", str(tmp_path), "--only", "label"]) == 0
    printed = capsys.readouterr().out.splitlines()
    assert [Path(line).name for line in printed] == ["A-1 label.html", "A-1 label.pdf", "A-1 label.txt"]
    assert "RISE 55" in Path(printed[2]).read_text("utf-8")
    for arguments, words in (
        (["paper", str(tmp_path / "none.toml")], "there is no such file"),
        (
            ["paper", str(tmp_path / "visit.toml"), "--out", str(tmp_path / "no")],
            "--out: there is no such folder",
        ),
        (["paper", str(tmp_path / "visit.toml"), "--rules", "plane"], "no such rule set; found 'plane'"),
    ):
        assert main(arguments) == 2
        refused = capsys.readouterr()
        assert words in refused.err
        assert refused.err.count("\n") == 1
        assert not refused.out


def test_one_job_of_a_table(visit, tmp_path, capsys) -> None:
    other = visit.model_copy(update={"job": visit.job.model_copy(update={"id": "A-2"})})
    write_csv([visit, other], tmp_path / "pile.csv", form="wide")
    asked = ["paper", str(tmp_path / "pile.csv"), "--out", str(tmp_path), "--only", "label"]
    assert main([*asked, "--job", "A-2"]) == 0
    assert Path(capsys.readouterr().out.splitlines()[0]).name == "A-2 label.html"
    for more, words in (
        ([], "2 visits could be meant; expected --job with one of A-1, A-2"),
        (["--job", "A-3"], "found 'A-3'"),
    ):
        assert main([*asked, *more]) == 2
        assert words in capsys.readouterr().err
