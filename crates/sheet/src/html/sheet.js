// Keeps what is ticked off for the next time the sheet is opened, where the browser lets it.
(() => {
  const key = `build sheet ${document.title} ${document.querySelector("header").textContent}`;
  const boxes = [...document.querySelectorAll("input[type=checkbox]")];
  const kept = () => {
    try { return new Set(JSON.parse(localStorage.getItem(key) ?? "[]")); } catch { return new Set(); }
  };
  const keep = () => {
    const ticked = boxes.filter((box) => box.checked);
    document.getElementById("done").textContent = `${ticked.length} of ${boxes.length} ticked`;
    try { localStorage.setItem(key, JSON.stringify(ticked.map((box) => box.id))); } catch { /* Then only until it is closed. */ }
  };
  const known = kept();
  for (const box of boxes) {
    box.checked = known.has(box.id);
    box.addEventListener("change", keep);
  }
  document.getElementById("print").addEventListener("click", () => window.print());
  document.getElementById("clear").addEventListener("click", () => {
    for (const box of boxes) box.checked = false;
    keep();
  });
  keep();
  document.documentElement.dataset.ready = "yes";
})();
