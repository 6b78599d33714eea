"""The board of one visit in a real browser: steps to both ends, stop and call, papers to keep, files, a phone."""

import re

import pytest
from on_board import expect, expect_first, fill, picture_height

from hvaclib.house.demo import demo_folder

pytestmark = pytest.mark.browser

BOARD = "inspection/one_visit.ipynb"
SAID = "part => [...document.querySelectorAll('.board-message p')].some(p => p.innerText.includes(part))"


def upload(page, name, body):
    with page.expect_file_chooser() as chooser:
        page.locator("button.widget-upload").first.click()
    chooser.value.set_files([{"name": name, "mimeType": "text/plain", "buffer": body}])


def test_steps_to_both_ends_and_stop_and_call_stays_first(board):
    page = board("sheet=INVENTED-202")
    expect_first(page, "STOP AND CALL")
    heights = set()
    slider = page.get_by_role("slider", name=re.compile("Step")).first
    for key, words in (("End", "Step 24, "), ("Home", "Step 1, ")):
        slider.focus()
        slider.press(key)
        expect(page, words, ".board-reasons")
        expect_first(page, "STOP AND CALL")
        heights.add(picture_height(page))
    assert len(heights) == 1
    slider.focus()
    for number in range(2, 10):  # each whole step, by the slider's own sums
        slider.press("ArrowRight")
        expect(page, f"Step {number}, ", ".board-reasons")
    fill(page, "Step", "5")
    expect(page, "Step 5, Gas connection", ".board-reasons")
    page.wait_for_function(
        "document.querySelector('[data-fold=\"As written in this step\"] table')?.innerText.includes('09:10')"
    )
    fill(page, "Step", "twelve")
    page.wait_for_function(SAID, arg="twelve", timeout=30_000)
    fill(page, "Step", "")
    page.wait_for_function(SAID, arg="Step", timeout=30_000)


def test_rule_set_and_sheet_change_the_answer_and_the_papers_can_be_kept(board):
    page = board("sheet=INVENTED-102&step=18")
    expect_first(page, "INVENTED-102: fail. Step 18, Worst-case draft: wrong.")
    page.get_by_label("Rule set", exact=True).select_option(label="stricter")
    expect_first(page, "STOP AND CALL")
    page.get_by_role("button", name="Make files of this view").click()
    link = page.locator('a.board-download[download="INVENTED-102 punch list.pdf"]')
    link.wait_for(timeout=20_000)
    with page.expect_download() as kept:
        link.click()
    assert kept.value.path().read_bytes().startswith(b"%PDF-")
    names = page.locator("a.board-download").evaluate_all("links => links.map(each => each.download)")
    assert {"INVENTED-102 job sheet.html", "INVENTED-102 findings.pdf", "INVENTED-102 label.txt"} < set(names)


def test_files_wrong_huge_and_right_on_a_phone(board, page):
    page.set_viewport_size({"width": 390, "height": 844})
    board()
    assert page.get_by_role("slider", name=re.compile("Step")).first.is_visible(), (
        "a walk needs its step control"
    )
    page.get_by_role("button", name="Files", exact=True).click()
    said = page.locator(".board-answer p").first.inner_text()
    upload(page, "letter.toml", b"Dear reader, this is no sheet.")
    page.wait_for_function(SAID, arg="letter.toml", timeout=30_000)
    upload(page, "huge.csv", b"x" * 6_000_000)
    page.locator(".suite-notice", has_text="nothing was sent").wait_for(timeout=30_000)
    assert page.locator(".board-answer p").first.inner_text() == said
    name = "invented_301.toml"
    upload(page, name, (demo_folder() / "visits" / name).read_bytes())
    page.wait_for_function(SAID, arg="Loaded invented_301.toml: 1 sheet", timeout=30_000)
    expect_first(page, "INVENTED-301")
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
    assert page.evaluate(
        "[...document.querySelectorAll('.board-cards')].every(t => t.scrollWidth <= t.clientWidth + 1)"
    )
