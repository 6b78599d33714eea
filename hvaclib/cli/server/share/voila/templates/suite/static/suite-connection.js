/* Tells the visitor when the page and its calculation have lost each other, when a control failed, and when a file is
 * too large. Loaded before anything else of the page, because it watches the sockets that the page opens later.
 *
 * What shows a sentence, and what it takes away again:
 *   lost         the calculation's process has ended, or the line to it is down and was not restored
 *   no answer    a control was moved and nothing at all came back for NO_ANSWER ms; goes with the next message
 *   failed       a control's function raised an error; goes when a later control has worked.
 *                An error of the suite's own kinds (SUITE_ERRORS) shows its sentence, any other a general one.
 *                This needs nothing of the page's notebook: ipywidgets reports such errors to the page by itself.
 *                It does not see errors in threads or asyncio tasks: those must be caught where they happen.
 *   too large    a file chosen for upload exceeds data-upload-limit-mb of <body>; it is not sent
 *   still busy   the page was not ready after SLOW_START ms
 */
"use strict";
(() => {
  const LOST = "This page has lost its calculation. Reload the page.";
  const NO_ANSWER_TEXT = "The calculation of this page does not answer. Wait a moment, or reload the page.";
  const FAILED = "The last change could not be worked out, so what is shown may not fit the controls. " +
    "Change a control again or reload the page.";
  const SLOW = "This page is still being prepared. If it does not appear within a minute, reload it.";
  const SUITE_ERRORS = new Set(["HvacError", "InputError", "UnitError", "FileError", "ConvergenceError"]);
  const RECONNECT = 4000;
  const NO_ANSWER = 30000;
  const SLOW_START = 20000;
  const FAILED_LEAST = 3000;

  let leaving = false;
  let dead = false;
  let waitingSince = 0;
  let reconnecting = 0;
  let failedMessage = "";
  let failedAt = 0;
  let openSockets = 0;

  function show(kind, text) {
    const place = document.getElementById("suite-notices");
    if (!place || leaving) return;
    let notice = place.querySelector(`[data-kind="${kind}"]`);
    if (!notice) {
      notice = document.createElement("p");
      notice.className = "suite-notice";
      notice.dataset.kind = kind;
      notice.setAttribute("role", "alert");
      place.append(notice);
    }
    if (notice.textContent !== text) notice.textContent = text;
  }

  function hide(kind) {
    document.querySelector(`#suite-notices [data-kind="${kind}"]`)?.remove();
  }

  /* A message of the kernel: JSON text, or the binary form with a table of offsets at its start. */
  function decode(data) {
    if (typeof data === "string") return JSON.parse(data);
    if (!(data instanceof ArrayBuffer)) return null;
    const view = new DataView(data);
    const count = Number(view.getBigUint64(0, true));
    const at = Array.from({ length: count }, (_, i) => Number(view.getBigUint64(8 * (i + 1), true)));
    const part = (i) => JSON.parse(new TextDecoder().decode(new Uint8Array(data, at[i], at[i + 1] - at[i])));
    return {
      get header() { return part(1); },
      get parent_header() { return part(2); },
      get content() { return part(4); },
    };
  }

  function heard(data) {
    waitingSince = 0;
    hide("no-answer");
    const message = decode(data);
    const kind = message?.header.msg_type;
    if (kind === "error") {
      const { ename, evalue } = message.content;
      failedMessage = message.parent_header.msg_id ?? "";
      failedAt = Date.now();
      show("failed", SUITE_ERRORS.has(ename) ? evalue : FAILED);
    } else if (kind === "status") {
      const state = message.content.execution_state;
      const cause = message.parent_header ?? {};
      if (state === "dead" || state === "restarting" || state === "autorestarting") {
        dead = true;
        show("lost", LOST);
      } else if (state === "idle" && failedMessage && cause.msg_type === "comm_msg" &&
                 cause.msg_id !== failedMessage && Date.now() - failedAt > FAILED_LEAST) {
        failedMessage = "";
        hide("failed");
      }
    }
  }

  class WatchedSocket extends window.WebSocket {
    constructor(url, protocols) {
      super(url, protocols);
      this.suiteWatched = /\/api\/kernels\/[^/]+\/channels/.test(String(url));
      if (!this.suiteWatched) return;
      this.addEventListener("message", (event) => heard(event.data));
      this.addEventListener("open", () => {
        openSockets += 1;
        this.suiteOpen = true;
        window.clearTimeout(reconnecting);
        if (!dead) hide("lost");
      });
      this.addEventListener("close", () => {
        if (this.suiteOpen) openSockets -= 1;
        this.suiteOpen = false;
        window.clearTimeout(reconnecting);
        reconnecting = window.setTimeout(() => { if (!openSockets) show("lost", LOST); }, RECONNECT);
      });
    }

    send(data) {
      if (this.suiteWatched && !waitingSince) waitingSince = Date.now();
      super.send(data);
    }
  }
  window.WebSocket = WatchedSocket;

  window.setInterval(() => {
    if (waitingSince && !dead && Date.now() - waitingSince > NO_ANSWER) show("no-answer", NO_ANSWER_TEXT);
  }, 1000);
  window.setTimeout(() => {
    if (document.getElementById("loading")) show("slow", SLOW);
  }, SLOW_START);
  window.addEventListener("DOMContentLoaded", () => {
    const main = document.querySelector("main");
    if (main) new MutationObserver(() => {
      if (!document.getElementById("loading")) hide("slow");
    }).observe(main, { childList: true });
  });
  window.addEventListener("beforeunload", () => { leaving = true; window.setTimeout(() => { leaving = false; }, 3000); });
  window.addEventListener("pagehide", () => { leaving = true; });
  /* A page that the browser brings back out of its store has ended its calculation when it was left. */
  window.addEventListener("pageshow", (event) => {
    leaving = false;
    if (event.persisted) { dead = true; show("lost", LOST); }
  });

  /* A token in the address has become a cookie by now; links that people copy are to hold none. */
  const address = new URL(window.location.href);
  if (address.searchParams.has("token")) {
    address.searchParams.delete("token");
    window.history.replaceState(null, "", address);
  }

  /* Uploads. The input of the upload button is not part of the document, so it is caught when it is opened. */
  const guarded = new WeakSet();

  function guard(input, button) {
    if (guarded.has(input)) return;
    guarded.add(input);
    input.addEventListener("change", (event) => {
      const limit = Number(document.body.dataset.uploadLimitMb || 5);
      const files = Array.from(input.files ?? []);
      const size = files.reduce((sum, file) => sum + file.size, 0) / 1e6;
      const place = button ?? input;
      place.parentElement?.querySelector(":scope > .suite-upload-refused")?.remove();
      if (size <= limit) return;
      event.stopImmediatePropagation();
      input.value = "";
      const said = document.createElement("p");
      said.className = "suite-notice suite-upload-refused";
      said.setAttribute("role", "alert");
      said.textContent = `${files.length === 1 ? "This file has" : "These files have"} ${size.toFixed(1)} MB; ` +
        `the limit is ${limit} MB, so nothing was sent.`;
      place.after(said);
    }, true);
  }

  let pressed = null;
  document.addEventListener("click", (event) => { pressed = event.target?.closest?.("button"); }, true);
  const click = HTMLInputElement.prototype.click;
  HTMLInputElement.prototype.click = function () {
    if (this.type === "file") guard(this, this.isConnected && this.offsetParent ? null : pressed);
    return click.call(this);
  };
  for (const happening of ["pointerdown", "focusin", "dragover", "change"]) {
    document.addEventListener(happening, (event) => {
      if (event.target instanceof HTMLInputElement && event.target.type === "file") guard(event.target, null);
    }, true);
  }
})();
