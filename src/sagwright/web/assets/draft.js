// What is typed into a form with data-draft is kept on the server as it is typed, so that a dead tablet loses nothing.
// Parts that depend on what is typed are put in place from the answer; what stands in their fields stays.

const WAIT = 500; // ms after the last key
const AGAIN = 2000; // ms until a failed try is repeated

export function drafts(root) {
  for (const form of root.querySelectorAll("form[data-draft]")) attach(form);
}

function attach(form) {
  let timer = 0;
  let going = false;
  let changed = false;
  let sent = false;
  const soon = (wait) => {
    clearTimeout(timer);
    timer = setTimeout(keep, wait);
  };
  form.addEventListener("input", (event) => {
    if (event.target.type !== "file") soon(WAIT);
  });
  form.addEventListener("change", () => soon(0));
  form.addEventListener("submit", () => {
    clearTimeout(timer);
    sent = true;
  });
  addEventListener("pageshow", () => (sent = false));

  // One after the other, so that what was typed last is what is kept.
  async function keep() {
    if (going) return void (changed = true);
    if (sent) return;
    const by = form.querySelector("[name=by]");
    if (by && !by.value.trim()) return tell(form, "Nothing is saved yet: enter who is at this device.");
    going = true;
    changed = false;
    try {
      const options = { method: "POST", body: new FormData(form), credentials: "same-origin" };
      const answer = await fetch(form.dataset.draft, options);
      const page = new DOMParser().parseFromString(await answer.text(), "text/html");
      if (sent) return;
      if (answer.ok) kept(form, page, new URL(answer.url));
      else tell(form, page.querySelector("#faults li, .fault p")?.textContent ?? "Not saved.");
    } catch {
      tell(form, "Not saved: the server cannot be reached. What you typed is still here, and saving is tried again.");
      soon(AGAIN);
    } finally {
      going = false;
      if (changed) soon(0);
    }
  }
}

function kept(form, page, address) {
  put(form, page);
  history.replaceState(null, "", address.pathname + address.search);
  tell(form, page.querySelector("[data-saved]")?.textContent ?? "");
}

function put(form, page) {
  for (const fresh of page.querySelectorAll("form[data-draft] [data-part]")) {
    const old = document.getElementById(fresh.id);
    if (!old || old.dataset.part === fresh.dataset.part) continue;
    const typed = new Map([...old.querySelectorAll("[name]")].map((field) => [field.name + field.value, field]));
    const texts = new Map([...old.querySelectorAll("[name]")].map((field) => [field.name, field.value]));
    const active = old.contains(document.activeElement) ? document.activeElement.id : "";
    for (const field of fresh.querySelectorAll("[name]")) {
      if (field.type === "file") continue;
      if (field.type === "radio" || field.type === "checkbox") {
        const before = typed.get(field.name + field.value);
        if (before) field.checked = before.checked;
      } else if (texts.has(field.name)) field.value = texts.get(field.name);
    }
    old.replaceWith(document.adoptNode(fresh));
    if (active) document.getElementById(active)?.focus({ preventScroll: true });
  }
}

function tell(form, text) {
  const place = form.querySelector("[data-saved]");
  if (place && place.textContent !== text) place.textContent = text;
}
