// A form with data-live asks the server as soon as something in it changes, and puts the parts that come back where
// data-live points. The server renders the same page either way; this only fetches it sooner. One question is on its
// way at a time; what was asked before the last change is dropped. Without script a button does the same.
import { steppers } from "./stepper.js";

const WAIT = 140; // ms after the last key
const TELL = 300; // ms after which the wait is worth saying
const asking = new Map(); // by the form's id: the request under way, the timer, the count of changes

export function live(root) {
  root.addEventListener("input", (event) => {
    const form = event.target.closest?.("form[data-live]");
    if (form) soon(form, event.target.type === "radio" ? 0 : WAIT);
  });
  root.addEventListener("submit", (event) => {
    const form = event.target;
    if (!form.hasAttribute("data-live") || event.submitter?.hasAttribute("formaction") || form.method !== "get") return;
    event.preventDefault();
    soon(form, 0, event.submitter);
  });
}

function soon(form, wait, submitter = null) {
  const state = asking.get(form.id) ?? { changes: 0 };
  asking.set(form.id, state);
  state.changes += 1;
  clearTimeout(state.timer);
  state.timer = setTimeout(() => ask(form.id, state, submitter), wait);
}

async function ask(id, state, submitter) {
  const form = document.getElementById(id);
  state.request?.abort();
  state.request = new AbortController();
  const mine = state.changes;
  const waiting = setTimeout(() => busy(form.dataset.live, true), TELL);
  try {
    const { url, options } = request(form, submitter);
    const answer = await fetch(url, { ...options, signal: state.request.signal, credentials: "same-origin" });
    const page = new DOMParser().parseFromString(await answer.text(), "text/html");
    if (mine !== state.changes) return;
    if (!page.querySelector(form.dataset.live)) return answer.ok ? location.assign(answer.url) : say(form, text(page));
    const words = page.querySelector("[data-announce]")?.textContent ?? "";
    put(page, form.dataset.live);
    announce(words);
    if (form.method === "get") history.replaceState(null, "", answer.url);
  } catch (error) {
    if (error.name !== "AbortError") say(form, "The server cannot be reached. What you set is still here; change anything to try again.");
  } finally {
    clearTimeout(waiting);
    if (mine === state.changes) busy(form.dataset.live, false);
  }
}

function request(form, submitter) {
  const data = new FormData(form, submitter);
  if (form.dataset.ask) return { url: form.dataset.ask, options: { method: "POST", body: data } };
  return { url: `${form.action.split("?")[0]}?${new URLSearchParams(data)}`, options: {} };
}

function put(page, selector) {
  for (const fresh of page.querySelectorAll(selector)) {
    const old = document.getElementById(fresh.id);
    if (!old) continue;
    const focus = kept(old), beside = unsent(old);
    const open = [...old.querySelectorAll("details[open] > summary")].map((one) => one.textContent);
    old.replaceWith(fresh);
    steppers(fresh);
    for (const summary of fresh.querySelectorAll("summary")) if (open.includes(summary.textContent)) summary.parentElement.open = true;
    carry(beside, fresh);
    restore(focus);
  }
}

// What was typed or ticked in other forms of the part, and not sent yet, stays.
const FIELDS = "form:not([data-live]) :is(input:not([type=hidden]), textarea)[name]";
const ticked = (field) => field.type === "checkbox" || field.type === "radio";
const key = (field) => [field.form.action.split("?")[0], field.form.elements.about?.value, field.name, ticked(field) && field.value].join("\n");

function unsent(part) {
  const changed = (field) => (ticked(field) ? field.checked !== field.defaultChecked : field.value !== field.defaultValue);
  return new Map([...part.querySelectorAll(FIELDS)].filter(changed).map((field) => [key(field), field]));
}

function carry(fields, part) {
  for (const field of part.querySelectorAll(FIELDS)) {
    const typed = fields.get(key(field));
    if (!typed) continue;
    if (ticked(field)) field.checked = typed.checked;
    else field.value = typed.value;
  }
}

// What changed, for who does not see it: a part that was replaced is not read out, a place that stays is.
function announce(words) {
  const place = document.getElementById("announce");
  if (place && place.textContent !== words) place.textContent = words;
}

function kept(part) {
  const active = document.activeElement;
  if (!active || !part.contains(active)) return null;
  const caret = typeof active.selectionStart === "number" ? [active.selectionStart, active.selectionEnd] : null;
  return { id: active.id, label: active.getAttribute("aria-label"), caret };
}

function restore(focus) {
  if (!focus) return;
  const again = focus.id ? document.getElementById(focus.id) : focus.label && document.querySelector(`[aria-label="${CSS.escape(focus.label)}"]`);
  again?.focus({ preventScroll: true });
  if (again && focus.caret) again.setSelectionRange(...focus.caret);
}

function busy(selector, is) {
  for (const part of document.querySelectorAll(selector)) part.toggleAttribute("aria-busy", is) && part.setAttribute("aria-busy", "true");
}

function text(page) {
  return page.querySelector("main")?.innerText.trim() ?? "The server could not read that. Reload the page.";
}

function say(form, words) {
  const place = form.querySelector("[data-said]");
  if (place && place.textContent !== words) place.textContent = words;
}
