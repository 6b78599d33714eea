/* Gives every control a name and a state that a screen reader can tell, where the widgets leave them out.
 *
 * The rule for a name, first found (nothing that already has a name is touched):
 *   1. the widget's tooltip               IntSlider(tooltip="Range hood, cfm")
 *   2. its own description                IntSlider(description="Range hood")
 *   3. the text of the Label, HTML or HTMLMath widget just before it in the same box
 *
 * What gets what:
 *   slider handle        aria-label; the two handles of a range get ", from" and ", to"; aria-valuetext = the readout
 *   slider readout       role textbox, aria-label "<name>, value"
 *   input, select, text  aria-label where no label is tied to it
 *   radio buttons        role radiogroup with the name
 *   toggle button(s)     aria-pressed; the group gets role group with the name
 *   image                alt = tooltip (then taken off, it would cover the picture), else the text of the widget with
 *                        class suite-alt just before it in the same box; both follow later changes; rules 2 and 3 do
 *                        not apply. A plain Image breaks when given a tooltip, because it has no description:
 *                            class Picture(Image): description = Unicode("").tag(sync=True)
 *   progress bar         role progressbar with the name
 *
 * The widgets write the text "null" where a tooltip is missing: it is taken off. The front end puts the page beside the
 * main element: it is moved into it.
 *
 * Classes that a notebook may add with widget.add_class(...):
 *   suite-live           aria-live polite: a text that changes and should be read out
 *   suite-alt            a Label that is not shown: the text alternative of the image after it
 *   suite-decoration     an image that says nothing: alt is empty
 */
"use strict";
(() => {
  const CONTROLS = "input:not([type=hidden]):not([type=file]), select, textarea, .noUi-handle, [contenteditable=true]";
  const TEXTS = ".widget-label, .widget-html, .widget-htmlmath, .jupyter-widget-html, .jupyter-widget-label";

  const text = (element) => (element?.textContent ?? "").replace(/\s+/g, " ").trim();

  function nameOf(widget) {
    if (!widget) return "";
    const own = widget.querySelector(":scope > label.widget-label, :scope > .widget-label");
    const tip = widget.getAttribute("title") || own?.getAttribute("title") ||
      widget.querySelector("input[title], select[title], textarea[title]")?.getAttribute("title");
    if (tip || text(own)) return tip || text(own);
    const before = widget.previousElementSibling;
    return before?.matches(TEXTS) ? text(before) : "";
  }

  function set(element, attribute, value) {
    if (value && element.getAttribute(attribute) !== value) element.setAttribute(attribute, value);
  }

  function nameControl(element) {
    const widget = element.closest(".jupyter-widgets");
    if (!widget) return;
    const name = nameOf(widget);
    if (element.matches(".noUi-handle")) {
      const handles = widget.querySelectorAll(".noUi-handle");
      const which = handles.length < 2 ? "" : element === handles[0] ? ", from" : ", to";
      if (name) set(element, "aria-label", name + which);
    } else if (element.matches(".widget-readout")) {
      set(element, "role", "textbox");
      if (name) set(element, "aria-label", `${name}, value`);
    } else if (element.type !== "radio" && !element.labels?.length && !element.title) {
      set(element, "aria-label", name);
    } else if (element.labels?.length && !text(element.labels[0]) && !element.title) {
      set(element, "aria-label", name);
    }
  }

  function nameImage(image) {
    if (image.classList.contains("suite-decoration")) { image.alt = ""; return; }
    const tip = image.getAttribute("title");
    if (tip) { image.alt = tip; image.removeAttribute("title"); return; }
    const before = image.previousElementSibling;
    if (before?.matches(".suite-alt") && image.alt !== text(before)) image.alt = text(before);
  }

  function pressedState(button) {
    set(button, "aria-pressed", String(button.classList.contains("mod-active")));
  }

  function group(widget, role) {
    set(widget, "role", role);
    set(widget, "aria-label", nameOf(widget));
  }

  function each(root, selector, act) {
    if (root.matches?.(selector)) act(root);
    root.querySelectorAll(selector).forEach(act);
  }

  function look(root) {
    if (root.id === "main" && root.parentElement === document.body) document.querySelector("main")?.append(root);
    each(root, '[title="null"]', (element) => element.removeAttribute("title"));
    each(root, CONTROLS, nameControl);
    each(root, "img.widget-image", nameImage);
    each(root, ".widget-toggle-button, .widget-toggle-buttons button", pressedState);
    each(root, ".widget-toggle-buttons", (widget) => group(widget, "group"));
    each(root, ".widget-radio", (widget) => group(widget, "radiogroup"));
    each(root, ".widget-hprogress, .widget-vprogress", (widget) => group(widget, "progressbar"));
    each(root, ".suite-live", (widget) => set(widget, "aria-live", "polite"));
  }

  const changed = new Set();
  let planned = false;
  function plan(element) {
    changed.add(element);
    if (planned) return;
    planned = true;
    window.requestAnimationFrame(() => {
      planned = false;
      const now = Array.from(changed);
      changed.clear();
      now.filter((one) => one.isConnected).forEach(look);
    });
  }

  new MutationObserver((records) => {
    for (const record of records) {
      if (record.type === "attributes") {
        plan(record.target.closest(".jupyter-widgets") ?? record.target);
      } else {
        record.addedNodes.forEach((node) => { if (node.nodeType === Node.ELEMENT_NODE) plan(node); });
        const alternative = record.target.closest?.(".suite-alt");
        if (alternative?.nextElementSibling) plan(alternative.nextElementSibling);
        if (record.target.matches?.("label")) plan(record.target.closest(".jupyter-widgets") ?? record.target);
      }
    }
  }).observe(document, { childList: true, subtree: true, attributes: true, attributeFilter: ["class", "title"] });
})();
