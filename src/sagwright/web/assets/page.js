// What makes pages quicker where there is script. Every page works without it.
import { drafts } from "./draft.js";
import { editors } from "./editor.js";
import { jobOf, kept } from "./kept.js";
import { live } from "./live.js";
import { steppers } from "./stepper.js";

document.documentElement.classList.add("scripted");
unsent();
steppers(document);
editors(document);
live(document);
drafts(document);

// What was entered at a job's stand and waits on this device is sent from there; every other page says that it waits.
async function unsent() {
  if (!("indexedDB" in window)) return;
  const sends = document.querySelector("[data-said].queue") ? jobOf(location) : "";
  const jobs = [...new Set((await kept()).map((entry) => jobOf(entry.url)))].filter((job) => job !== sends);
  if (!jobs.length) return;
  const line = document.createElement("p");
  Object.assign(line, { className: "notice", textContent: "Entries from the stand are still on this device and not recorded: " });
  for (const job of jobs) line.append(Object.assign(document.createElement("a"), { href: `/jobs/${job}/bench`, textContent: `job ${job}` }), " ");
  document.querySelector("main").prepend(line);
}
