// A clock beside each pump-up run: one tap starts it, the next writes the seconds into its field.
document.querySelectorAll("[data-clock]").forEach((button) => {
  let since = 0;
  button.hidden = false;
  button.addEventListener("click", () => {
    if (!since) {
      since = performance.now();
      button.textContent = "Stop";
      return;
    }
    const field = document.getElementById(button.dataset.clock);
    field.value = ((performance.now() - since) / 1000).toFixed(1);
    field.dispatchEvent(new Event("input", { bubbles: true }));
    since = 0;
    button.textContent = "Start again";
  });
});
