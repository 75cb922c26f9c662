// What makes pages quicker where there is script. Every page works without it.
import { drafts } from "./draft.js";
import { editors } from "./editor.js";
import { live } from "./live.js";
import { steppers } from "./stepper.js";

document.documentElement.classList.add("scripted");
steppers(document);
editors(document);
live(document);
drafts(document);
