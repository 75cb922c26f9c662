// A form with data-live asks the server as soon as something in it changes, and puts what comes back where
// data-live points. The server renders the same page either way; this only fetches it sooner.
import { steppers } from "./stepper.js";

const WAIT = 140; // ms after the last key
const TELL = 300; // ms after which the wait is worth saying

export function live(root) {
  for (const form of root.querySelectorAll("form[data-live]")) attach(form);
}

function attach(form) {
  let asking = null;
  let timer = 0;
  const soon = (wait) => {
    clearTimeout(timer);
    timer = setTimeout(ask, wait);
  };
  form.addEventListener("input", (event) => soon(event.target.type === "radio" ? 0 : WAIT));
  form.addEventListener("submit", (event) => {
    if (form.method !== "get" || event.submitter?.hasAttribute("formaction")) return;
    event.preventDefault();
    soon(0);
  });

  async function ask() {
    asking?.abort();
    const mine = (asking = new AbortController());
    const target = document.querySelector(form.dataset.live);
    const address = request(form);
    const waiting = setTimeout(() => target.setAttribute("aria-busy", "true"), TELL);
    try {
      const answer = await fetch(address.url, { ...address.options, signal: mine.signal, credentials: "same-origin" });
      const page = new DOMParser().parseFromString(await answer.text(), "text/html");
      if (mine !== asking) return;
      put(page, form.dataset.live);
      if (form.method === "get") history.replaceState(null, "", address.url);
      said(form, "");
    } catch (error) {
      if (error.name !== "AbortError") said(form, "The server cannot be reached. What you set is kept here; change anything to try again.");
    } finally {
      clearTimeout(waiting);
      if (mine === asking) document.querySelector(form.dataset.live)?.removeAttribute("aria-busy");
    }
  }
}

function request(form) {
  const data = new FormData(form);
  const url = form.dataset.ask ?? form.action;
  if (form.dataset.ask || form.method === "post") return { url, options: { method: "POST", body: new URLSearchParams(data) } };
  return { url: `${url.split("?")[0]}?${new URLSearchParams(data)}`, options: {} };
}

// Replace each part, unless it holds what is being typed in: then only the parts of it that do not.
function put(page, selector) {
  for (const fresh of page.querySelectorAll(selector)) {
    const old = fresh.id ? document.getElementById(fresh.id) : document.querySelector(selector);
    if (!old) continue;
    const focus = kept(old);
    old.replaceWith(fresh);
    steppers(fresh);
    restore(focus);
  }
}

function kept(part) {
  const active = document.activeElement;
  if (!active || !part.contains(active)) return null;
  const caret = typeof active.selectionStart === "number" ? [active.selectionStart, active.selectionEnd] : null;
  const typed = "value" in active && active.type !== "radio" && active.type !== "checkbox" ? active.value : null;
  return { id: active.id, text: active.textContent, caret, typed };
}

function restore(focus) {
  const again = focus?.id ? document.getElementById(focus.id) : null;
  if (!again) return;
  again.focus({ preventScroll: true });
  if (focus.typed !== null) again.value = focus.typed;
  if (focus.caret) again.setSelectionRange(...focus.caret);
}

function said(form, text) {
  const place = form.querySelector("[data-said]");
  if (place && place.textContent !== text) place.textContent = text;
}
