"use strict";
// Folding: a button for all steps at once; what is folded opens for print, and where a link leads into it.
(() => {
  const folds = [...document.querySelectorAll("details.fold")];
  const button = document.getElementById("fold");
  if (folds.length) {
    button.parentElement.hidden = false;
    const name = () => { button.textContent = folds.some((fold) => fold.open) ? "Fold all steps" : "Unfold all steps"; };
    button.addEventListener("click", () => {
      const open = !folds.some((fold) => fold.open);
      folds.forEach((fold) => { fold.open = open; });
    });
    folds.forEach((fold) => fold.addEventListener("toggle", name));
  }
  let folded = [];
  addEventListener("beforeprint", () => { folded = folds.filter((fold) => !fold.open); folded.forEach((fold) => { fold.open = true; }); });
  addEventListener("afterprint", () => folded.forEach((fold) => { fold.open = false; }));
  const reveal = () => {
    const target = location.hash && document.getElementById(location.hash.slice(1));
    const fold = target && target.closest("details.fold");
    if (fold && !fold.open) { fold.open = true; target.scrollIntoView(); }
  };
  addEventListener("hashchange", reveal);
  reveal();
  if (matchMedia("(max-width: 68rem)").matches) document.querySelector("details.contents").open = false;
})();
