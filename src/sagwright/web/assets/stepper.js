// Buttons beside a number that has a step: one step down, one step up. Without script the number is typed.

const places = (step) => (step.split(".")[1] ?? "").length;

function moved(input, sign) {
  const mark = input.dataset.mark ?? ".";
  const written = input.value.trim() || input.placeholder; // empty: from what holds while it is empty
  const now = Number(written.replace(mark, ".").replace("−", "-"));
  const step = Number(input.dataset.step);
  if (!Number.isFinite(now)) return;
  const [low, high] = [input.dataset.low, input.dataset.high].map((end) => (end === undefined || end === "" ? null : Number(end)));
  let next = Math.round(now / step) * step + sign * step;
  if (low !== null) next = Math.max(low, next);
  if (high !== null) next = Math.min(high, next);
  input.value = next.toFixed(places(input.dataset.step)).replace(".", mark);
  input.dispatchEvent(new Event("input", { bubbles: true }));
}

function button(input, sign, text) {
  const made = document.createElement("button");
  made.type = "button";
  made.textContent = text;
  made.className = "step";
  made.setAttribute("aria-label", `${sign < 0 ? "less" : "more"}: ${input.dataset.label ?? input.name}`);
  made.id = `${input.id}-${sign < 0 ? "less" : "more"}`;
  made.addEventListener("click", () => moved(input, sign));
  return made;
}

export function steppers(root) {
  for (const input of root.querySelectorAll("input[data-step]:not([data-stepped])")) {
    input.dataset.stepped = "";
    input.before(button(input, -1, "−"));
    input.after(button(input, 1, "+"));
    input.addEventListener("keydown", (event) => {
      if (event.key !== "ArrowUp" && event.key !== "ArrowDown") return;
      event.preventDefault();
      moved(input, event.key === "ArrowUp" ? 1 : -1);
    });
  }
}
