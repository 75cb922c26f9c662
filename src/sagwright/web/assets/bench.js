// At the stand: keys and pedal, a clock that pauses, limits at once, what waits while the network is gone.
// The page works without any of it.
import { steppers } from "./stepper.js";

const POLL = 1500; // ms between two looks at whether the job has gone on
const IDLE = 120; // s without a touch after which the clock pauses
const RETRY = 2000; // ms
const UNREACHED = 503; // the server answers, but its records cannot be reached
const NEXT = new Set([" ", "ArrowRight", "ArrowDown", "PageDown", "Enter"]);
const BACK = new Set(["ArrowLeft", "ArrowUp", "PageUp"]);
const STORE = `waiting:${location.pathname.split("/").slice(0, 3).join("/")}`;
const box = () => document.getElementById("bench");
const say = (text) => {
  const place = box()?.querySelector("[data-said]");
  if (place) Object.assign(place, { textContent: text, hidden: !text });
};

let sending = false;
let released = true; // a key that is held from one page to the next passes nothing
let active = 0;
let touched = 0;

function put(text, address) {
  const page = new DOMParser().parseFromString(text, "text/html");
  document.querySelector("main").replaceWith(page.querySelector("main"));
  document.querySelector("footer").replaceWith(page.querySelector("footer"));
  const stages = document.querySelector(".stages");
  if (stages && page.querySelector(".stages")) stages.replaceWith(page.querySelector(".stages"));
  document.title = page.title;
  if (address) history.replaceState(null, "", address);
  steppers(document);
  fresh();
  scrollTo(0, 0);
  document.querySelector("main").focus({ preventScroll: true });
}

// what is sent, and what waits

const waiting = () => JSON.parse(sessionStorage.getItem(STORE) ?? "null");
let files = null; // photos of the entry that waits: they are kept in the open page only

async function send(entry) {
  const body = new FormData();
  for (const [name, value] of entry.fields) body.append(name, value);
  for (const file of files ?? []) body.append("photo", file);
  const answer = await fetch(entry.url, { method: "POST", body, credentials: "same-origin" });
  if (answer.status === UNREACHED) throw new Error("nothing was recorded");
  return { text: await answer.text(), url: answer.ok ? answer.url : "", status: answer.status };
}

async function flush() {
  const entry = waiting();
  if (!entry || sending) return;
  sending = true;
  try {
    const answer = await send(entry);
    sessionStorage.removeItem(STORE);
    files = null;
    sending = false;
    put(answer.text, answer.url);
    if (entry.late) say("The network is back: what waited here was sent once.");
  } catch {
    sending = false;
    entry.late = true;
    sessionStorage.setItem(STORE, JSON.stringify(entry));
    say("The server cannot be reached. What you entered waits in this page and is sent once when it is back. Leave the page open.");
    lock(true);
    setTimeout(flush, RETRY);
  }
}

function lock(on) {
  for (const control of box()?.querySelectorAll("form button, form input") ?? []) control.disabled = on;
}

function submit(form) {
  if (waiting() || sending) return;
  const seconds = form.querySelector("[name=seconds]");
  if (seconds) seconds.value = String(Math.round(active));
  const data = [...new FormData(form)];
  files = data.filter(([, value]) => value instanceof File && value.size).map(([, value]) => value);
  const fields = data.filter(([, value]) => !(value instanceof File));
  sessionStorage.setItem(STORE, JSON.stringify({ url: form.action, fields }));
  flush();
}

document.addEventListener("submit", (event) => {
  if (!event.target.matches(".step-form") || !box()) return;
  event.preventDefault();
  submit(event.target);
});

// keys and pedal: a step that asks nothing goes on, one that asks is never passed by a key

// what is asked gets the focus, not the control in it: the same key again, or held on, would answer it
function showAsked() {
  const asked = box().querySelector(".ask");
  if (!asked) return;
  asked.tabIndex = -1;
  asked.focus();
}

document.addEventListener("keyup", () => { released = true; });
document.addEventListener("keydown", (event) => {
  touched = performance.now();
  const at = document.activeElement;
  const free = !at || at === document.body || at.matches("main, .ask, [data-next]");
  if (at?.matches("[data-next]") && (event.key === " " || event.key === "Enter")) event.preventDefault();
  if (!free || event.ctrlKey || event.altKey || event.metaKey || !box()?.querySelector("[data-step-form]")) return;
  if (event.repeat || !released) {
    if (NEXT.has(event.key)) event.preventDefault();
    return;
  }
  if (BACK.has(event.key)) {
    const back = box().querySelector("[data-back]");
    if (back && event.key !== "ArrowUp") { event.preventDefault(); back.click(); }
  } else if (NEXT.has(event.key) && event.key !== "ArrowDown") {
    event.preventDefault();
    released = false;
    if (box().hasAttribute("data-key-passes")) box().querySelector("form").requestSubmit();
    else showAsked();
  }
});

// presets and limits

document.addEventListener("click", (event) => {
  touched = performance.now();
  const preset = event.target.closest("[data-for]");
  if (preset) {
    const input = document.getElementById(preset.dataset.for);
    input.value = preset.dataset.value;
    input.dispatchEvent(new Event("input", { bubbles: true }));
    if (!preset.dataset.value) input.focus();
  }
  if (event.target.closest("[data-speak]")) speak();
});

document.addEventListener("input", (event) => {
  touched = performance.now();
  const input = event.target;
  const place = input.id && box()?.querySelector(`[data-limit="${CSS.escape(input.id)}"]`);
  if (!place) return;
  const value = Number(input.value.trim().replace(input.dataset.mark, ".").replace("−", "-"));
  const end = (name) => (input.dataset[name] ? Number(input.dataset[name]) : null);
  const low = end("least"), high = end("most");
  const outside = input.value.trim() && Number.isFinite(value) && ((low !== null && value < low) || (high !== null && value > high));
  place.textContent = outside ? "Outside its limits. Read it again; if it stays, something is wrong." : "";
  place.hidden = !outside;
});

function speak() {
  const text = [...box().querySelectorAll(".caution, .title, .how")].map((part) => part.textContent.trim()).join(". ");
  speechSynthesis.cancel();
  speechSynthesis.speak(new SpeechSynthesisUtterance(text));
}

// the clock: it pauses by itself when nothing happens

function fresh() {
  active = 0;
  touched = performance.now();
  if (!("speechSynthesis" in window)) box()?.querySelector("[data-speak]")?.remove();
}

setInterval(() => {
  const clock = box()?.querySelector(".clock");
  if (!clock) return;
  const paused = document.hidden || (performance.now() - touched) / 1000 > IDLE;
  if (!paused) active += 1;
  clock.classList.toggle("paused", paused);
  clock.classList.toggle("over", active > 2 * Number(clock.dataset.expected));
  clock.querySelector("[data-elapsed]").textContent = `${Math.floor(active / 60)}:${String(Math.floor(active % 60)).padStart(2, "0")}`;
}, 1000);

// another tablet on the same job

const typed = () => [...(box()?.querySelectorAll(".ask input:not([type=hidden])") ?? [])].some((one) => (one.type === "radio" ? one.checked : one.value));

async function look() {
  const here = box();
  if (!here || sending || waiting() || document.hidden) return;
  try {
    const { entries } = await (await fetch(here.dataset.now, { cache: "no-store" })).json();
    if (here !== box() || String(entries) === here.dataset.entries) return say("");
    if (typed()) return say("The job has gone on at another tablet. What you typed stays; open the bench again to see.");
    put(await (await fetch(location.href)).text(), "");
  } catch {
    say("The server cannot be reached. This step stays readable; what you enter waits here until it is back.");
  }
}

setInterval(look, POLL);
addEventListener("online", flush);

async function awake() {
  try {
    if (!document.hidden) await navigator.wakeLock?.request("screen");
  } catch { /* the browser does not allow it */ }
}
document.addEventListener("visibilitychange", awake);
awake();
fresh();
flush();
