"""The firing board in a real browser: a story, a move in time, wrong input, a phone."""

import re
import statistics

import pytest

pytestmark = pytest.mark.browser

BOARD = "classroom/firing.ipynb"


@pytest.fixture
def board(page, suite_server):
    """Open the board by link and wait for its answer; nothing may go to another host, and nothing may fail."""
    server = suite_server()

    def opened(query=""):
        page.goto(server.page(BOARD, query))
        page.wait_for_selector(".board-answer p", timeout=60_000)
        page.wait_for_selector(".board-figure svg", timeout=60_000)
        return page

    yield opened
    assert not page.errors
    assert all(
        f"127.0.0.1:{server.port}" in address for address in page.requested if re.match(r"(http|ws)", address)
    )


def expect(page, beginning):
    page.wait_for_function(
        "text => document.querySelector('.board-answer p')?.innerText.startsWith(text)",
        arg=beginning,
        timeout=15_000,
    )


def write(page, label, text):
    box = page.get_by_label(label, exact=True).first
    box.fill(text)
    box.press("Tab")


WATCH = """() => { window.moves = []; let began = null;
  window.addEventListener('keydown', () => { began = performance.now(); }, true);
  const place = document.querySelector('.board-figure svg').closest('.jupyter-widgets');
  const drawn = () => place.querySelector('svg')?.innerHTML;
  let last = drawn();
  new MutationObserver(() => { const now = drawn();
    if (began !== null && now && now !== last) { last = now; window.moves.push(performance.now() - began); began = null; } })
    .observe(place, {childList: true, subtree: true, attributes: true, characterData: true}); }"""


def moved(page, label, count):
    """Milliseconds from the key to the new picture, for some steps of a slider."""
    page.wait_for_timeout(1500)
    page.evaluate(WATCH)
    page.get_by_role("slider", name=re.compile(label)).first.focus()
    for step in range(1, count + 1):
        page.keyboard.press("ArrowRight")
        page.wait_for_function(f"window.moves.length >= {step}", timeout=10_000)
        page.wait_for_timeout(200)
    return page.evaluate("window.moves")


def test_the_watch_decides_what_may_be_set(board):
    page = board()
    expect(page, "No: overfired by 8.9 %")
    write(page, "Time for all turns", "90 s")
    expect(page, "No: overfired by 4.0 %")
    assert "Permitted: set the manifold" in page.locator("body").inner_text()
    write(page, "Time for all turns", "94")
    expect(page, "Yes: the burner takes")
    assert "leave at once" in page.locator(".board-cautions").first.inner_text()
    write(page, "Altitude", "5000 ft")
    expect(page, "No: overfired")
    assert "Two readings of the 4 % rule" in page.locator("body").inner_text()
    page.get_by_label("Altitude rule", exact=True).select_option(label="10 %: Canadian plates")
    expect(page, "The rule of Canadian plates has no figure at 5,000 ft")
    words = page.locator(".board-figure svg").first.get_attribute("aria-label")
    assert words.startswith("Test dial of 2 ft³")


def test_wrong_input_a_phone_and_the_time_from_control_to_picture(board):
    page = board("time=94%20s")
    said = page.locator(".board-answer p").first.inner_text()
    write(page, "Heating value", "1000 Btu/lb")
    page.wait_for_function(
        "() => [...document.querySelectorAll('.board-message p')].some(p => p.innerText.includes('Heating value'))",
        timeout=10_000,
    )
    assert page.locator(".board-answer p").first.inner_text() == said
    times = moved(page, "Altitude", 12)
    # a loose bound for a busy machine; 80 ms is the aim of every board
    assert statistics.median(times) < 250, times
    page.set_viewport_size({"width": 390, "height": 844})
    page.wait_for_timeout(500)
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
