// What makes pages quicker where there is script. Every page works without it.
import { drafts } from "./draft.js";
import { live } from "./live.js";
import { steppers } from "./stepper.js";

document.documentElement.classList.add("scripted");
steppers(document);
live(document);
drafts(document);
