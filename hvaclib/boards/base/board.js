/* Folded parts of a page. Tables are <details> elements whose HTML the calculation replaces as a whole: what a person has
   opened stays open, and the keyboard stays where it was. Groups of controls fold by the button in their heading. */
(() => {
  if (window.boardFolds) return;
  const folds = (window.boardFolds = new Map());
  let held = null;
  const phone = () => window.innerWidth <= 700;
  const fold = (button, open) => {
    button.setAttribute("aria-expanded", String(open));
    const group = button.closest(".board-group");
    if (group) group.classList.toggle("board-folded", !open);
  };
  document.addEventListener("toggle", (event) => {
    const part = event.target;
    if (part instanceof HTMLDetailsElement && part.dataset.fold) folds.set(part.dataset.fold, part.open);
  }, true);
  document.addEventListener("focusin", (event) => {
    const part = event.target.closest("details[data-fold] > summary");
    held = part ? part.parentElement.dataset.fold : null;
  });
  document.addEventListener("click", (event) => {
    const button = event.target.closest(".board-fold-button");
    if (button) fold(button, button.getAttribute("aria-expanded") !== "true");
  });
  const look = (root) => {
    for (const part of root.querySelectorAll("details[data-fold]")) {
      const key = part.dataset.fold;
      if (folds.has(key)) part.open = folds.get(key);
      if (key === held && document.activeElement === document.body) part.firstElementChild.focus({ preventScroll: true });
    }
    if (phone()) for (const button of root.querySelectorAll(".board-fold-button:not([data-seen])")) {
      button.dataset.seen = "yes";
      fold(button, button.dataset.kept === "yes");
    }
  };
  // 'Larger type' is ticked once for a phone; a widget gets its class after its content, so it is asked for in turns
  let turns = 0;
  const enlarge = () => {
    const tick = document.querySelector(".board-input-large_type input");
    if (tick && phone() && !tick.checked) tick.click();
    else if (!tick && turns++ < 100) setTimeout(enlarge, 100);
  };
  // the calculation waits until the page can hear it: a widget on the page means that all models are there
  const arrive = () => {
    const ready = document.querySelector("button.board-arrival");
    if (ready) ready.click();
    else setTimeout(arrive, 100);
  };
  new MutationObserver((changes) => {
    for (const change of changes) if (change.addedNodes.length) look(change.target);
  }).observe(document.body, { childList: true, subtree: true });
  look(document);
  enlarge();
  arrive();
})();
