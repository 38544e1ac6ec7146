// The print buttons of the record and the blank sheet; without script the browser's own menu prints.
for (const button of document.querySelectorAll("[data-print]")) {
  button.hidden = false;
  button.addEventListener("click", () => window.print());
}
