// At the stand: keys and pedal, a clock that pauses, limits at once, the other tablet. The page works without it.
import { busy, put, say } from "./waiting.js";

const POLL = 1500; // ms between two looks at whether the job has gone on
const IDLE = 120; // s without a touch after which the clock pauses
const NEXT = new Set([" ", "ArrowRight", "ArrowDown", "PageDown", "Enter"]);
const BACK = new Set(["ArrowLeft", "ArrowUp", "PageUp"]);
const box = () => document.getElementById("bench");

let released = true; // a key that is held from one page to the next passes nothing
let active = 0;
let touched = 0;

document.addEventListener("submit", (event) => {
  const seconds = event.target.querySelector("[name=seconds]");
  if (seconds) seconds.value = String(Math.round(active));
}, { capture: true });

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
  place.textContent = outside ? "Outside its limits. Read it again. If it stays, report a problem." : "";
  place.hidden = !outside;
});

function speak() {
  const text = [...box().querySelectorAll(".caution, .title, .how")].map((part) => part.textContent.trim()).join(". ");
  speechSynthesis.cancel();
  speechSynthesis.speak(new SpeechSynthesisUtterance(text));
}

// the clock: it pauses by itself when nothing happens

document.addEventListener("shown", fresh);
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
  if (!here || busy() || document.hidden) return;
  try {
    const { entries } = await (await fetch(here.dataset.now, { cache: "no-store" })).json();
    say("", "look");
    if (here !== box() || String(entries) === here.dataset.entries) return;
    if (typed()) return say("Somebody recorded something on this job at another device. What you typed is still here. Reload the page to see what was recorded.", "look");
    put(await (await fetch(location.href)).text(), "");
  } catch {
    if (!busy()) say("The server cannot be reached. You can read this step, and what you enter is stored on this device until the server is back.", "look");
  }
}

setInterval(look, POLL);

async function awake() {
  try {
    if (!document.hidden) await navigator.wakeLock?.request("screen");
  } catch { /* the browser does not allow it */ }
}
document.addEventListener("visibilitychange", awake);
awake();
fresh();
look();

// what is shown stays readable where the page is opened again without the server

async function remember(text, path) {
  const answer = new Response(text, { headers: { "Content-Type": "text/html; charset=utf-8" } });
  await (await caches.open("bench")).put(path, answer);
}

async function readable() {
  if (!navigator.serviceWorker) return;
  document.addEventListener("shown", ({ detail: { text, address } }) => address && remember(text, new URL(address).pathname));
  try {
    await navigator.serviceWorker.register("/worker.js", { scope: "/jobs/" });
    if (!navigator.serviceWorker.controller) await remember(await (await fetch(location.href)).text(), location.pathname);
  } catch { /* then only the open page stays */ }
}
readable();
