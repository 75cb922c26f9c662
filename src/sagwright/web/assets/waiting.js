// What is entered at the stand is sent by script: where the server cannot be reached it waits on this device and is
// sent when the server is back. A form carries its own id, so that sent twice it is recorded once. Without script it is
// sent as any form is.
import { drop, jobOf, keep, kept } from "./kept.js";
import { steppers } from "./stepper.js";

const RETRY = 2_000; // ms
const SLOWEST = 30_000; // ms between two tries at a server that answers with a failure
const job = jobOf(location);
const place = () => document.querySelector("[data-said]");

let first = null; // what waits for this job, the oldest
let sending = false;
let timer = 0;

export const busy = () => sending || first !== null;

export function say(text) {
  const said = place();
  if (said && said.dataset.text !== text) {
    said.dataset.text = text;
    Object.assign(said, { textContent: text, hidden: !text });
  }
}

// The answer in place of the page. `shown` tells the scripts that belong to it.
export function put(text, address) {
  const page = new DOMParser().parseFromString(text, "text/html");
  for (const part of ["main", "footer", ".stages"]) {
    const fresh = page.querySelector(part);
    if (fresh) document.querySelector(part)?.replaceWith(fresh);
  }
  document.title = page.title;
  if (address) history.replaceState(null, "", address);
  steppers(document);
  scrollTo(0, 0);
  document.querySelector("main").focus({ preventScroll: true });
  document.dispatchEvent(new CustomEvent("shown", { detail: { text, address } }));
}

// The page that answers is put in place at once; another one is gone to when nothing of this one is left to do. A refusal
// that brings no form leaves the one that was filled in, and says what is wrong.
async function follow(answer, done) {
  if (!answer.ok) {
    const page = new DOMParser().parseFromString(answer.text, "text/html");
    if (page.querySelector(".step-form")) return put(answer.text, "");
    lock(false);
    document.querySelector("main").ariaBusy = null;
    return say([...page.querySelectorAll("main p")].map((part) => part.textContent.trim()).join(" "));
  }
  if (new URL(answer.url).pathname === location.pathname) return put(answer.text, answer.url);
  await done;
  location.assign(answer.url);
}

async function send(entry) {
  const body = new FormData();
  for (const [name, value] of entry.fields) body.append(name, value);
  const answer = await fetch(entry.url, { method: "POST", body, credentials: "same-origin" });
  if (answer.status >= 500) throw Object.assign(new Error("nothing was recorded"), { status: answer.status });
  return { ok: answer.ok, url: answer.url, text: await answer.text() };
}

// A server that is not there is soon asked again; one that fails on what it is sent is asked less and less often.
function wait(entry, status, outlives) {
  const failing = status && status !== 503;
  entry.tries = (entry.tries ?? 0) + 1;
  const why = failing ? "The server failed on what was sent." : "The server cannot be reached.";
  const stays = outlives ? "waits on this device, also if this page is closed," : "waits in this page; leave it open. It";
  say(`${why} What you entered ${stays} and is sent once when ${failing ? "it works again" : "it is back"}.`);
  refill(entry);
  lock(true);
  offer(entry);
  timer = setTimeout(flush, failing ? Math.min(RETRY * 2 ** entry.tries, SLOWEST) : RETRY);
}

export async function flush() {
  clearTimeout(timer);
  if (sending || !first) return;
  sending = true;
  const main = document.querySelector("main");
  main.ariaBusy = "true"; // until the answer stands in its place
  const entry = first;
  const stored = keep(entry); // beside the sending, so that a page that dies meanwhile loses nothing
  try {
    const answer = await send(entry);
    if (first === entry) first = null;
    sending = false;
    const late = entry.tries > 0;
    const done = stored.then(() => drop(entry.id));
    follow(answer, done);
    done.then(next);
    if (late && answer.ok) say("The server is back: what waited here was sent once.");
  } catch (gone) {
    const outlives = await stored;
    sending = false;
    main.ariaBusy = null;
    if (first === entry) wait(entry, gone.status, outlives);
  }
}

async function next() {
  first ??= (await kept()).find((entry) => jobOf(entry.url) === job) ?? null;
  if (!first) return;
  first.tries ??= 1;
  flush();
}

function lock(on) {
  for (const control of document.querySelectorAll(".step-form button, .step-form input, .step-form select, .step-form textarea")) control.disabled = on;
}

// What waits is seen in the form it came from, after a reload as well.
function refill(entry) {
  const id = entry.fields.find(([name]) => name === "step")?.[1];
  const form = [...document.querySelectorAll(".step-form")].find((one) => one.action === entry.url && (!id || one.elements.step?.value === id));
  if (!form) return;
  form.elements.submission.value = entry.id;
  for (const [name, value] of entry.fields) {
    for (const field of form.querySelectorAll(`[name="${CSS.escape(name)}"]`)) {
      if (field.type === "radio" || field.type === "checkbox") field.checked ||= field.value === value;
      else if (field.type !== "file" && field.type !== "submit") field.value = value;
    }
  }
  const photos = entry.fields.filter(([, value]) => value instanceof File);
  const taken = form.querySelector("input[type=file]");
  if (!photos.length || !taken || taken.files.length) return;
  const moved = new DataTransfer();
  for (const [, photo] of photos) moved.items.add(photo);
  taken.files = moved.files;
}

// Whoever sees that it was wrong takes it back before it is sent.
function offer(entry) {
  if (place()?.querySelector("button")) return; // as long as nothing else is said
  const back = document.createElement("button");
  Object.assign(back, { type: "button", textContent: "Take it back and change it" });
  back.addEventListener("click", async () => {
    if (sending || first !== entry) return;
    clearTimeout(timer);
    first = null;
    await drop(entry.id);
    lock(false);
    say("");
    place()?.removeAttribute("data-text");
  });
  place()?.append(" ", back);
}

function submit(form, button) {
  if (busy()) return;
  const fields = [...new FormData(form)].filter(([, value]) => !(value instanceof File) || value.size);
  if (button?.name) fields.push([button.name, button.value]);
  first = { id: form.elements.submission.value, url: button?.hasAttribute("formaction") ? button.formAction : form.action, fields, since: Date.now() };
  flush();
}

document.addEventListener("submit", (event) => {
  if (!event.target.matches(".step-form") || !place()) return;
  event.preventDefault();
  submit(event.target, event.submitter);
});
addEventListener("online", flush);
next();
