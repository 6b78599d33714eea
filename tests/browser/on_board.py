"""What every test of a board in a browser does: open it by link, type, and wait for its words."""

import re

import pytest


@pytest.fixture
def board(request, page, suite_server):
    """Open a board by link, the module's ``BOARD`` unless named; nothing may leave for another host, nothing may fail."""
    server = suite_server()

    def opened(query="", notebook=None):
        page.goto(server.page(notebook or request.module.BOARD, query))
        page.wait_for_selector(".board-answer p", timeout=60_000)
        page.wait_for_selector(".board-figure svg", timeout=60_000)
        return page

    yield opened
    assert not page.errors
    assert all(
        f"127.0.0.1:{server.port}" in address for address in page.requested if re.match(r"(http|ws)", address)
    )


def expect(page, part, selector=".board-answer"):
    """Wait until the words of a place hold a part."""
    page.wait_for_function(
        "([part, selector]) => document.querySelector(selector)?.innerText.includes(part)",
        arg=[part, selector],
        timeout=45_000,
    )


def expect_first(page, beginning):
    """Wait until the answer's first sentence begins so."""
    page.wait_for_function(
        "text => document.querySelector('.board-answer p')?.innerText.startsWith(text)",
        arg=beginning,
        timeout=45_000,
    )


def picture_height(page):
    """Height of the first picture, asked in the page: between two questions from here it may be another one."""
    told = page.wait_for_function(
        "() => document.querySelector('.board-figure svg')?.getBoundingClientRect().height"
    )
    return told.json_value()


def expect_pictures(page, number):
    """Wait until so many pictures stand, or more: one that is being drawn anew is not there for a moment."""
    page.wait_for_function(
        "number => document.querySelectorAll('.board-figure svg').length >= number",
        arg=number,
        timeout=30_000,
    )


def fill(page, label, text):
    """Type into the box of a label and leave it."""
    box = page.get_by_label(label, exact=True).first
    box.fill(text)
    box.press("Tab")
