"""The draft board and the door in a real browser: every control to both ends, wrong input, files, links, a phone."""

import re

import pytest
from on_board import expect_first

from hvaclib.house.demo import demo_dwellings

pytestmark = pytest.mark.browser

BOARD = "classroom/draft.ipynb"
STORY = "house=closed_door_fails&fans.air%20handler=on&doors.basement%20door%20shut=on"


def answer(page):
    return page.locator(".board-answer p").first.inner_text()


def tick(page, label):
    page.get_by_label(label, exact=True).first.check()


def test_the_door_and_the_air_handler_turn_the_vent_around(board):
    page = board("house=closed_door_fails")
    expect_first(page, "Yes: the water heater draws")
    tick(page, "air handler")
    tick(page, "basement door shut")
    expect_first(page, "No: the vent of the water heater runs backwards")
    assert page.locator(".board-answer.suite-fail").count() == 1
    assert "stop the burner" in page.locator(".board-cautions").first.inner_text()
    page.get_by_label("Vent at the start", exact=True).select_option(
        label="warm: has just run with the fans off"
    )
    expect_first(page, "Yes: the water heater draws")


def test_a_link_reproduces_the_view_and_a_bad_one_is_told(board):
    page = board(STORY)
    expect_first(page, "No: the vent of the water heater runs backwards")
    link = page.locator("a.board-link").get_attribute("href")
    assert "air%20handler=on" in link
    page = board(f"{STORY}&outdoor=banana&nonsense=1")
    expect_first(page, "No: the vent of the water heater runs backwards")
    said = page.locator(".board-message").all_inner_texts()
    assert any("banana" in text for text in said)
    assert any("nonsense" in text for text in said)


def test_the_ranking_comes_when_the_hand_rests(board):
    page = board("house=passes")
    page.wait_for_function(
        "() => [...document.querySelectorAll('.board-figure h3')].some(h => h.innerText.includes('combinations'))",
        timeout=20_000,
    )


SLIDERS = (
    "Outdoor temperature",
    "Wind speed",
    "Largest exhaust fan, airflow",
    "Vent blocked, share of its area",
)
MOVED = """([label, before]) => [...document.querySelectorAll('input[type=text]')].some(
  box => box.labels?.[0]?.innerText.trim() === label && box.value !== before)"""
SAID = "part => [...document.querySelectorAll('.board-message p')].some(p => p.innerText.includes(part))"


def test_every_slider_to_both_ends(board):
    page = board("house=passes&fans.range%20hood=on")
    for label in SLIDERS:
        slider = page.get_by_role("slider", name=re.compile(re.escape(label))).first
        for key in ("End", "Home"):
            before = page.get_by_label(label, exact=True).input_value()
            slider.focus()
            slider.press(key)
            page.wait_for_function(MOVED, arg=[label, before], timeout=30_000)
            page.wait_for_timeout(300)
            assert "Something went wrong" not in page.locator("body").inner_text()
            assert answer(page)


def test_what_cannot_be_is_refused_beside_the_control(board):
    page = board("house=passes")
    said = answer(page)
    box = page.get_by_label("Outdoor temperature", exact=True)
    for typed in ("", "banana", "5 Pa", "99999 °F"):
        box.fill(typed)
        box.press("Tab")
        page.wait_for_function(SAID, arg="Outdoor temperature", timeout=30_000)
        assert answer(page) == said
        box.fill("42 °F")
        box.press("Tab")
        page.wait_for_function(f"part => !({SAID})(part)", arg="Outdoor temperature", timeout=30_000)


def upload(page, name, content):
    with page.expect_file_chooser() as chooser:
        page.locator("button.widget-upload").first.click()
    chooser.value.set_files([{"name": name, "mimeType": "text/plain", "buffer": content}])


def test_files_wrong_and_right(board):
    page = board()
    upload(page, "letter.toml", b"Dear reader, this is no dwelling.")
    page.wait_for_function(
        "() => [...document.querySelectorAll('.board-message p')].some(p => p.innerText.includes('letter.toml'))",
        timeout=30_000,
    )
    upload(page, "mine.toml", demo_dwellings()["blocked_vent"].read_bytes())
    expect_first(page, "No: the water heater spills")
    assert any("Loaded" in text for text in page.locator(".board-message").all_inner_texts())


def test_the_view_can_be_taken_away(board):
    page = board(STORY)
    page.get_by_role("button", name="Make files of this view").click()
    page.wait_for_selector("a.board-download", timeout=20_000)
    kinds = {
        link.get_attribute("download").rpartition(".")[2] for link in page.locator("a.board-download").all()
    }
    assert {"png", "svg", "csv", "json"} <= kinds
    with page.expect_download() as arriving:
        page.locator("a.board-download[download$='.csv']").first.click()
    assert "reading" in arriving.value.path().read_text(encoding="utf-8-sig").splitlines()[0]


def test_pictures_speak_and_controls_have_names(board):
    page = board(STORY)
    words = page.locator(".board-figure svg").first.get_attribute("aria-label")
    assert "basement" in words
    assert "water heater" in words
    nameless = page.evaluate(
        """() => [...document.querySelectorAll('input, select, button, [role=slider]')].filter(e => e.offsetParent
             && !(e.getAttribute('aria-label') || e.title || e.innerText || e.labels?.length || e.placeholder)).length"""
    )
    assert nameless == 0


def test_a_phone_scrolls_one_way_only(board):
    page = board()
    page.set_viewport_size({"width": 390, "height": 844})
    page.wait_for_timeout(800)
    assert page.evaluate("document.documentElement.scrollWidth") <= 390


def test_the_door_leads_to_the_board(page, suite_server):
    server = suite_server()
    page.goto(server.url + "/")
    page.get_by_text("Why does one shut door decide").click()
    page.wait_for_selector(".board-answer p", timeout=60_000)
    expect_first(page, "No: the vent of the water heater runs backwards")
    assert not page.errors


def test_the_unit_switch_changes_words_and_no_setting(board):
    """The page's sliders must not push a value of the old unit to the new limit and report that as a move."""
    page = board("house=passes&outdoor=50%20%C2%B0F&exhaust=300%20cfm")
    boxes = ("Outdoor temperature", "Largest exhaust fan, airflow")
    units = page.get_by_label("Units", exact=True)
    for words, value, shown in (
        ("SI: °C, L/s, W", "si", ["10 °C", "142 L/s"]),
        ("field: °F, cfm, Btu/h", "field", ["50 °F", "300 cfm"]),
    ):
        units.select_option(label=words)
        page.wait_for_function(MOVED, arg=[boxes[0], "50 °F" if value == "si" else "10 °C"], timeout=30_000)
        page.wait_for_timeout(1000)  # time for a slider that would answer back
        assert [page.get_by_label(label, exact=True).input_value() for label in boxes] == shown
