// A text with numbered lines: it stays as high as it is long, so that numbers and lines stand beside each other, and a
// fault leads to its line. Without script the same links lead to the line's number.

export function editors(root) {
  for (const text of root.querySelectorAll(".editor textarea")) {
    const fit = () => (text.rows = Math.max(text.value.split("\n").length + 3, 12));
    text.addEventListener("input", fit);
    fit();
  }
  root.addEventListener("click", (event) => {
    const link = event.target.closest?.("a[data-line]");
    const text = link && document.querySelector(".editor textarea");
    if (!text) return;
    event.preventDefault();
    const before = text.value.split("\n").slice(0, Number(link.dataset.line) - 1).join("\n");
    const start = before.length + (before ? 1 : 0);
    const end = text.value.indexOf("\n", start);
    text.focus({ preventScroll: true });
    text.setSelectionRange(start, end < 0 ? text.value.length : end);
    document.getElementById(`line-${link.dataset.line}`)?.scrollIntoView({ block: "center" });
  });
}
