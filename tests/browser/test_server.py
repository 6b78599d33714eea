"""The server: no kernel left behind, no silent failure, nothing from outside, nothing open that need not be.

The expected behaviour is that of the requirements (common practice, no source); accessible names follow the
WAI-ARIA 1.2 recommendation, sections 5.2 (roles) and 6.6 (aria-pressed, aria-label), and WCAG 2.2, 1.1.1 and 4.1.2.
"""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path
from urllib.parse import urlparse

import pytest
from serving import Server, free_port, until, write_notebook

from hvaclib import errors
from hvaclib.cli.server.locate import template_folder
from hvaclib.house.demo import demo_folder

pytestmark = pytest.mark.browser

SLIDER = """
import ipywidgets as w
slider = w.IntSlider(description="Range hood", max=10)
said = w.Label("untouched")
slider.observe(lambda change: setattr(said, "value", f"twice is {2 * change['new']}"), "value")
w.VBox([slider, said])
"""
RAISING = """
import ipywidgets as w
from hvaclib.errors import InputError
good, bad, ours = (w.Button(description=text) for text in ("good", "bad", "ours"))
said = w.Label("untouched")
good.on_click(lambda _: setattr(said, "value", "worked"))
bad.on_click(lambda _: 1 / 0)
def refuse(_):
    raise InputError("the flow is negative", where="Range hood")
ours.on_click(refuse)
w.VBox([good, bad, ours, said])
"""
CONTROLS = """
import ipywidgets as w
from traitlets import Unicode
class Picture(w.Image):
    description = Unicode("").tag(sync=True)
picture = bytes.fromhex("89504e470d0a1a0a0000000d4948445200000001000000010802000000907753de"
                        "0000000c4944415408d763f8cfc000000301010018dd8db00000000049454e44ae426082")
alternative = w.Label("Draft: drawing").add_class("suite-alt")
change = w.Button(description="Reverse")
change.on_click(lambda _: setattr(alternative, "value", "Draft: reversed"))
w.VBox([
    w.IntSlider(tooltip="Dryer, cfm"), w.IntSlider(description="Bath fan"),
    w.Label("Outdoor temperature"), w.FloatSlider(), w.FloatRangeSlider(tooltip="Range"),
    w.FloatText(tooltip="Wind, mph"), w.Label("Speed"), w.Dropdown(options=["low", "high"]),
    w.ToggleButton(description="Door"), w.ToggleButtons(options=["SI", "field"], tooltip="Units"),
    w.RadioButtons(options=["open", "closed"], tooltip="Window"),
    Picture(value=picture, tooltip="The dwelling with its pressures"), alternative, w.Image(value=picture),
    change, w.FileUpload(description="Load a dwelling"),
])
"""
LINK = """
import ipywidgets as w
from voila.utils import get_query_string
w.Label("link: " + get_query_string())
"""
ENVIRONMENT = """
import os, pathlib
import ipywidgets as w
dwelling = pathlib.Path(os.environ.get("HVACLIB_DWELLING", "none")).name
w.Label(" ".join([os.environ.get("SECRET_OF_THE_SHELL", "nothing"), pathlib.Path.cwd().name, dwelling]))
"""


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("notebooks")
    door = "The door\n\n[to the slider](classroom/slider.ipynb?from=door)"
    write_notebook(folder / "start.ipynb", door, "print('welcome')")
    write_notebook(folder / "classroom" / "slider.ipynb", "One slider $E=mc^2$", SLIDER)
    write_notebook(folder / "raising.ipynb", "Raising", RAISING)
    write_notebook(folder / "controls.ipynb", "Controls", CONTROLS)
    write_notebook(folder / "broken.ipynb", "Broken", "print('before')", "1 / 0", "print('after')")
    write_notebook(folder / "dying.ipynb", "Dying", "import os; os._exit(1)")
    write_notebook(folder / "classroom" / "link.ipynb", "Link", LINK)
    write_notebook(folder / "classroom" / "environment.ipynb", "Environment", ENVIRONMENT)
    (folder / "secret.csv").write_text("not served", encoding="utf-8")
    (folder / "secret.png").write_text("not served", encoding="utf-8")
    return folder


@pytest.fixture(scope="module")
def server(suite_server, folder: Path) -> Server:
    return suite_server(folder)


def open_slider(page, server: Server) -> None:
    page.goto(server.page("classroom/slider.ipynb"))
    page.wait_for_selector(".noUi-handle")
    page.wait_for_timeout(300)  # the page's line to its calculation opens just after the widgets appear


def moved(page, seconds: float = 5.0) -> str:
    page.locator(".noUi-handle").first.press("ArrowRight")
    page.wait_for_selector("text=twice is", timeout=seconds * 1000)
    return page.locator("text=twice is").first.inner_text()


def test_kernel_ends_with_its_page(page, server: Server) -> None:
    begin = len(server.kernels())
    open_slider(page, server)
    assert moved(page) == "twice is 2"
    assert len(server.kernels()) == begin + 1
    page.reload()
    page.wait_for_selector(".noUi-handle")
    assert until(lambda: len(server.kernels()) == begin + 1, 5), "a reload left a kernel behind"
    page.goto(server.page("start.ipynb"))
    page.wait_for_selector("text=welcome")
    assert until(lambda: len(server.kernels()) == begin + 1, 5), (
        "leaving for another page left a kernel behind"
    )
    with page.expect_event("close"):
        page.close(run_before_unload=True)
    assert until(lambda: len(server.kernels()) == begin, 5), "closing left a kernel behind"


def test_killed_kernel_is_told(page, server: Server) -> None:
    before = set(server.kernels())
    open_slider(page, server)
    (kernel,) = set(server.kernels()) - before
    assert page.locator(".suite-notice").count() == 0
    kernel.kill()
    page.wait_for_selector("text=This page has lost its calculation. Reload the page.", timeout=10_000)
    assert len(set(server.kernels()) - before) == 0, (
        "a new, empty kernel was started for a page that cannot use it"
    )


def test_silent_calculation_is_told(page, server: Server) -> None:
    before = server.kernels()
    page.clock.install()
    open_slider(page, server)
    (kernel,) = [one for one in server.kernels() if one not in before]
    kernel.suspend()
    try:
        page.locator(".noUi-handle").press("ArrowRight")
        page.clock.fast_forward(35_000)
        page.wait_for_selector("text=The calculation of this page does not answer", timeout=5000)
    finally:
        kernel.resume()
    page.wait_for_selector("text=twice is 2", timeout=5000)
    page.wait_for_selector("#suite-notices .suite-notice", state="detached", timeout=5000)


def test_lost_line_is_told(page, suite_server, folder: Path) -> None:
    other = suite_server(folder, "--idle", "601")
    open_slider(page, other)
    other.stop()
    page.wait_for_selector("text=This page has lost its calculation. Reload the page.", timeout=10_000)


def test_raising_callback_is_told(page, server: Server) -> None:
    page.goto(server.page("raising.ipynb"))
    page.get_by_role("button", name="bad").click()
    page.wait_for_selector("text=The last change could not be worked out", timeout=5000)
    assert "Traceback" not in page.content()
    page.get_by_role("button", name="ours").click()
    page.wait_for_selector("text=Range hood: the flow is negative.", timeout=5000)
    page.wait_for_timeout(3200)  # a sentence stays long enough to be read
    page.get_by_role("button", name="good").click()
    page.wait_for_selector("text=worked", timeout=5000)
    page.wait_for_selector("#suite-notices .suite-notice", state="detached", timeout=5000)


def test_failing_cell_is_told(page, server: Server) -> None:
    page.goto(server.page("broken.ipynb"))
    page.wait_for_selector("text=A part of this page could not be prepared", timeout=15_000)
    assert page.locator("text=before").is_visible()
    assert "ZeroDivisionError" not in page.content()
    assert "ZeroDivisionError" in server.said(), "the sentence says that the reason is in the server's log"


def test_kernel_that_dies_in_a_cell_is_told(page, server: Server) -> None:
    page.goto(server.page("dying.ipynb"))
    page.wait_for_selector("text=stopped while it was being prepared", timeout=20_000)


def test_large_upload_is_refused_in_place(page, server: Server, tmp_path: Path) -> None:
    large, small = tmp_path / "large.toml", tmp_path / "small.toml"
    large.write_bytes(bytes(40_000_000))
    small.write_bytes(bytes(1000))
    page.goto(server.page("controls.ipynb"))
    button = page.locator("button.widget-upload")
    for file, shown in ((large, "(0)"), (small, "(1)")):
        with page.expect_file_chooser() as chooser:
            button.click()
        chooser.value.set_files(file)
        if file is large:
            page.wait_for_selector("text=This file has 40.0 MB; the limit is 5 MB, so nothing was sent.")
        page.wait_for_selector(f"button.widget-upload:has-text('{shown}')", timeout=5000)
    assert page.locator(".suite-upload-refused").count() == 0, "the sentence outlived the mistake"
    assert page.locator("#suite-notices .suite-notice").count() == 0


def test_controls_have_names(page, server: Server) -> None:
    page.goto(server.page("controls.ipynb"))
    page.wait_for_selector("img.widget-image", state="attached")
    page.wait_for_timeout(300)
    handles = [one.get_attribute("aria-label") for one in page.locator(".noUi-handle").all()]
    assert handles == ["Dryer, cfm", "Bath fan", "Outdoor temperature", "Range, from", "Range, to"]
    assert all(one.get_attribute("aria-label") for one in page.locator(".widget-readout").all())
    for role, name in [
        ("spinbutton", "Wind, mph"),
        ("combobox", "Speed"),
        ("group", "Units"),
        ("radiogroup", "Window"),
    ]:
        assert page.get_by_role(role, name=name).count() == 1, f"{role} {name}"
    assert page.get_by_role("img", name="The dwelling with its pressures").count() == 1
    assert page.get_by_role("img", name="Draft: drawing").count() == 1
    page.get_by_role("button", name="Reverse").click()
    page.get_by_role("img", name="Draft: reversed").wait_for(state="attached", timeout=5000)
    inner = page.evaluate(
        "[...document.querySelectorAll('main, main *')].filter(e => e.scrollHeight > innerHeight).length"
    )
    whole = page.evaluate(
        "document.scrollingElement.scrollHeight > document.querySelector('#rendered_cells').scrollHeight"
    )
    assert inner
    assert whole, "a part of the page scrolls for itself, so that the rest of it does not print"
    door = page.get_by_role("button", name="Door")
    assert door.get_attribute("aria-pressed") == "false"
    door.click()
    page.wait_for_selector("button[aria-pressed=true]:has-text('Door')", timeout=5000)
    assert page.get_by_role("button", name="SI").get_attribute("aria-pressed") == "true"


def test_page_is_whole_and_asks_no_other_host(page, server: Server) -> None:
    open_slider(page, server)
    page.wait_for_timeout(700)
    own = urlparse(server.url).netloc
    outside = [
        url
        for url in page.requested
        if urlparse(url).scheme != "data" and own not in (urlparse(url).netloc, url)
    ]
    outside = [url for url in outside if urlparse(url).scheme != "blob"]
    assert outside == []
    assert page.errors == []
    assert page.title().startswith("One slider")
    assert page.locator("main .noUi-handle").count() == 1
    sizes = page.eval_on_selector_all(
        "main *", "all => all.filter(e => e.children.length === 0 && e.textContent.trim() && e.getBoundingClientRect().width)"
        ".map(e => parseFloat(getComputedStyle(e).fontSize))"
    )  # fmt: skip
    assert sizes
    assert min(sizes) >= 14
    page.get_by_role("link", name="All boards").click()
    page.get_by_role("link", name="to the slider").click()
    page.wait_for_selector(".noUi-handle")
    assert page.url == server.page("classroom/slider.ipynb", "from=door")


@pytest.mark.parametrize(
    "path",
    [
        "/voila/tree", "/voila/tree/classroom", "/voila/api/contents", "/voila/api/contents/classroom", "/api/contents",
        "/api/kernels", "/api/sessions", "/voila/files/secret.csv", "/voila/files/secret.png", "/files/secret.png",
        "/voila/files/start.ipynb", "/voila/render/secret.csv", "/voila/render/classroom", "/voila/render/",
        "/voila/render/../secret.csv", "/voila/render/missing.ipynb", "/nonsense",
    ],
)  # fmt: skip
def test_nothing_else_is_open(server: Server, path: str) -> None:
    status, text = server.get(path)
    assert status in (403, 404)
    assert "start.ipynb" not in text
    assert "not served" not in text
    assert "http" not in re.sub(r"http://www\.w3\.org/\S+", "", text), "an error page refers to another host"


def test_bare_address_opens_the_start_page(server: Server) -> None:
    status, text = server.get("/")
    assert status == 200
    assert "<title>The door" in text


def test_other_names_of_this_machine_are_refused(server: Server) -> None:
    """A page of another site that points its own name here must get nothing (DNS rebinding)."""
    assert server.get("/", {"Host": f"elsewhere.example:{server.port}"})[0] == 403


def test_calculation_gets_a_lean_environment(page, server: Server) -> None:
    page.goto(server.page("classroom/environment.ipynb"))
    page.wait_for_selector("text=nothing classroom none", timeout=10_000)


def test_dwelling_file_reaches_the_pages(page, suite_server, folder: Path) -> None:
    server = suite_server(folder, "--dwelling", str(demo_folder() / "passes.toml"))
    page.goto(server.page("classroom/environment.ipynb"))
    page.wait_for_selector("text=nothing classroom passes.toml", timeout=10_000)


def test_page_knows_the_suites_own_errors() -> None:
    """The page shows the sentence of each error of the suite, and of no other."""
    script = (
        template_folder() / "voila" / "templates" / "suite" / "static" / "suite-connection.js"
    ).read_text("utf-8")
    listed = re.search(r"SUITE_ERRORS = new Set\(\[(.*?)\]\)", script)
    assert listed
    own = {
        name
        for name, one in vars(errors).items()
        if isinstance(one, type) and issubclass(one, errors.HvacError)
    }
    assert set(re.findall(r'"(\w+)"', listed[1])) == own


def test_settings_in_the_link(page, server: Server) -> None:
    page.goto(server.page("classroom/link.ipynb", "hood=250&door=closed"))
    page.wait_for_selector("text=link: hood=250&door=closed", timeout=10_000)


def test_token_guards_everything_beyond_loopback(page, suite_server, folder: Path) -> None:
    server = suite_server(folder, "--ip", "0.0.0.0")
    token = re.search(r"\?token=(\S{20,})", server.said())
    assert token
    kernel = "11111111-1111-1111-1111-111111111111"
    for path in ("/", "/voila/render/start.ipynb", "/voila/render/start.ipynb?token=wrong"):
        status, text = server.get(path)
        assert status == 200
        assert "asks for its token" in text
        assert "welcome" not in text
    assert server.get(f"/api/kernels/{kernel}")[0] == 403
    upgrade = {
        "Connection": "Upgrade",
        "Upgrade": "websocket",
        "Sec-WebSocket-Version": "13",
        "Sec-WebSocket-Key": "a" * 24,
    }
    assert server.get(f"/api/kernels/{kernel}/channels", upgrade)[0] == 403
    assert len(server.kernels()) == 0, "a stranger's request started a calculation"
    status, text = server.get(f"/?token={token[1]}")
    assert status == 200
    assert "welcome" in text
    assert token[1] not in text
    page.goto(server.page("classroom/slider.ipynb", f"token={token[1]}"))
    assert moved(page, 10) == "twice is 2"
    assert "token" not in page.url
    page.goto(server.page("start.ipynb"))
    page.wait_for_selector("text=welcome")


def test_class_mode_keeps_pages_ready_and_stops_clean(page, suite_server, folder: Path) -> None:
    server = suite_server(folder, "classroom/link.ipynb", "--class", "2")
    said = server.wait_for("ready:", 30)
    assert "ready: 2 pages" in said
    assert len(server.kernels()) == 2
    page.goto(f"{server.url}/?hood=120")
    page.wait_for_selector("text=link: hood=120", timeout=5000)
    assert until(lambda: len(server.kernels()) == 3, 10), "the page that was handed out was not replaced"
    page.goto(server.page("classroom/slider.ipynb"))
    assert moved(page, 10) == "twice is 2"
    kernels = server.kernels()
    server.stop()
    assert server.process.returncode == 0
    assert until(lambda: not any(one.is_running() for one in kernels), 5), "kernels outlived the server"
    assert "Traceback" not in server.said()


def refused(*arguments: str) -> str:
    command = [
        sys.executable,
        "-c",
        "import sys; from hvaclib.cli.serve import main; sys.exit(main(sys.argv[1:]))",
    ]
    result = subprocess.run(
        [*command, "--no-browser", *arguments], capture_output=True, text=True, timeout=30, check=False
    )
    assert result.returncode == 2
    assert result.stdout == ""
    assert result.stderr.count("\n") == 1
    assert "Traceback" not in result.stderr
    return result.stderr


def test_refusals_are_one_sentence(server: Server, folder: Path) -> None:
    at = ("--notebooks", str(folder))
    assert "port is in use" in refused(*at, "--port", str(server.port))
    assert "no such notebook" in refused(*at, "missing.ipynb")
    assert "not an address of this machine" in refused(*at, "--ip", "203.0.113.9", "--port", str(free_port()))
    assert "not an address of this machine" in refused(*at, "--ip", "no address")
    assert "whole number" in refused(*at, "--class", "many")
    assert "missing.toml" in refused(*at, "--dwelling", "missing.toml")
    assert "no such folder" in refused("--notebooks", str(folder / "missing"))
