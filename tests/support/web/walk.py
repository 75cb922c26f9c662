"""The way of a unit through the pages, as a person goes it: what is seen, what is typed, what is pressed."""

from __future__ import annotations

import re
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass, field
from importlib.resources import files
from pathlib import Path
from typing import Final

from playwright.sync_api import ConsoleMessage, Locator, Page, Request, Response, expect
from playwright.sync_api import Error as PlaywrightError

RELOADS: Final = 5
HEAVIEST: Final = 150_000  # bytes of a page before photos
NARROW: Final = "document.documentElement.scrollWidth - document.documentElement.clientWidth"
ASSETS: Final = "[...document.querySelectorAll('link[rel=stylesheet], script[src], link[rel=icon]')]"
NAMES: Final = f"{ASSETS}.map(one => (one.href || one.src).split('/').pop())"
STEP: Final = "main form[data-step-form] input[name=step]"
HELD: Final = ("Space", "PageDown", "ArrowRight", "Enter")
PREDICTED: Final = re.compile("predicted\\s+([+\N{MINUS SIGN}-]?[\\d.,]+)")  # the browser knows no names of signs
TAKE_OUT: Final = str.maketrans({"\N{MINUS SIGN}": "-", ",": "."})


@dataclass
class Tablet:
    """A page in a browser; every page that is looked at is held to what all pages promise."""

    page: Page
    address: str
    by: str = "Kim"
    wrong: list[str] = field(default_factory=list)
    looked: int = 0

    def __post_init__(self) -> None:
        self.page.on("pageerror", lambda error: self.wrong.append(f"script: {error}"))
        self.page.on(
            "console", lambda told: self.wrong.append(f"console: {told.text}") if told.type == "error" else None
        )
        self.page.on("request", self._stays)
        self.page.on("requestfailed", self._failed)
        self.page.on("response", self._answered)

    def _told(self, message: ConsoleMessage) -> None:
        if message.type == "error":
            self.wrong.append(f"console: {message.text}")

    def _stays(self, asked: Request) -> None:
        if not asked.url.startswith((f"{self.address}/", "data:")):
            self.wrong.append(f"leaves the server: {asked.url}")

    def _failed(self, asked: Request) -> None:
        if "ERR_ABORTED" not in str(asked.failure):  # a page that is left ends what it still asks for
            self.wrong.append(f"failed: {asked.url} {asked.failure}")

    def _answered(self, answer: Response) -> None:
        if answer.status >= 400:
            self.wrong.append(f"{answer.status}: {answer.url}")

    def look(self) -> None:
        """Nothing is wrong with the page as it stands: errors, requests, width, weight."""
        for _ in range(RELOADS):
            self.page.wait_for_load_state()
            with suppress(PlaywrightError):  # the page was left while it was looked at: look at the one that came
                overflow, weight = self.page.evaluate(NARROW), self.weight()
                break
        else:
            raise AssertionError(f"{self.page.url} does not come to rest")
        where = self.page.url
        assert not self.wrong, (where, self.wrong)
        assert overflow <= 0, f"{where} is wider than the screen"
        assert weight < HEAVIEST, f"{where} weighs {weight} bytes"
        self.looked += 1

    def weight(self) -> int:
        """Bytes of the page with its style sheets and scripts, without photos."""
        assets = files("sagwright.web") / "assets"
        linked = sum(len((assets / name).read_bytes()) for name in self.page.evaluate(NAMES))
        return linked + len(self.page.content().encode())

    def open(self, path: str) -> None:
        """Go to an address and look at it."""
        self.page.goto(self.address + path)
        self.look()

    def press(self, button: str) -> None:
        """Press a button by its words, once, and look at what comes."""
        self.page.get_by_role("button", name=button, exact=True).first.click()
        self.page.locator("main:not([aria-busy])").wait_for()  # what is sent by script is answered
        self.look()

    def follow(self, link: str) -> None:
        """Follow a link by its words in the main part of the page."""
        self.page.get_by_role("main").get_by_role("link", name=link).first.click()
        self.look()

    def stage(self, name: str) -> None:
        """Go to a stage of the job."""
        self.page.get_by_role("navigation", name="Stages of the job").get_by_role("link", name=name).click()
        self.look()

    def forgive(self, *reasons: str) -> None:
        """What a test itself brought about is no defect; anything else is."""
        others = [one for one in self.wrong if not any(reason in one for reason in reasons)]
        assert not others, others
        self.wrong.clear()

    def named(self, name: str) -> Locator:
        """A control by its name, with whatever was folded around it opened."""
        control = self.page.locator(f'main [name="{name}"]').first
        folded = self.page.locator("details:not([open])", has=control)
        while not control.is_visible() and folded.count():
            folded.first.locator("summary").first.click()
        return control

    def enter(self, name: str, text: str) -> None:
        """Give a control a value, as its kind is given one."""
        control = self.named(name)
        control.wait_for(state="attached")
        kind = control.get_attribute("type")
        if kind == "radio":
            self.page.locator(f'main [name="{name}"][value="{text}"]').check(force=True)
        elif kind == "checkbox":
            control.check(force=True)
        elif control.evaluate("one => one.tagName") == "SELECT":
            control.select_option(text)
        else:
            control.fill(text)

    def is_me(self) -> None:
        """Say who is at this device, where the page asks."""
        for box in self.page.locator("main [name=by]:visible").all():
            if not box.input_value():
                box.fill(self.by)


@dataclass(frozen=True)
class Unit:
    """What comes in."""

    family: str
    serial: str
    customer: str
    said: Mapping[str, str]
    tasks: tuple[str, ...] = ()
    bike: Mapping[str, str] = field(default_factory=dict)
    was_here: bool = False


def check_in(tablet: Tablet, unit: Unit, *, script: bool = True) -> int:
    """From the board over the counter's form to the job; its number."""
    tablet.open("/")
    tablet.page.get_by_role("link", name="Check in").last.click()
    tablet.look()
    tablet.is_me()
    for name, text in {"customer.name": unit.customer, "unit.serial": unit.serial, "unit.family": unit.family}.items():
        tablet.enter(name, text)
    if script:
        tablet.named("task.lower-legs").wait_for(state="attached")
    else:
        tablet.page.get_by_role("button", name="Find unit").click()
    tablet.page.locator('[name="as_found.charge.pressure"], [name="as_found.travel"]').first.wait_for(state="attached")
    if unit.was_here:
        tablet.page.get_by_role("group", name="seen before").get_by_role("radio").first.check(force=True)
    for name, text in {**unit.bike, **unit.said}.items():
        tablet.enter(name, text)
    for task in unit.tasks:
        tablet.enter(f"task.{task}", "yes")
    tablet.press("Check in")
    tablet.page.get_by_role("heading", name=f"no. {unit.serial}").wait_for()
    return number_of(tablet)


def settle(tablet: Tablet) -> None:
    """Say of everything that was not read that it is not known yet."""
    tablet.follow("Update intake")
    for name in [one.get_attribute("name") or "" for one in tablet.page.locator("main [name$='.untold']").all()]:
        tablet.enter(name, "yes")
    tablet.is_me()
    tablet.press("Record")


def number_of(tablet: Tablet) -> int:
    """The number of the job that a page is of."""
    found = re.search(r"/jobs/(\d+)", tablet.page.url)
    assert found, tablet.page.url
    return int(found[1])


def choose(tablet: Tablet, *, script: bool = True, **controls: str) -> str:
    """Change controls, answer what asks, decide; the page on which it was decided."""
    tablet.stage("Plan")
    for name, text in controls.items():
        tablet.enter(name, text)
    if controls and not script:
        tablet.press("Show")
    elif controls:
        expect(tablet.page).to_have_url(re.compile("=".join(list(controls.items())[-1])))
        tablet.look()
    answer_everything(tablet)
    shown = tablet.page.content()
    tablet.is_me()
    tablet.press("Decide")
    return shown


def answer_everything(tablet: Tablet) -> None:
    """Record an answer to each finding that asks."""
    for _ in range(12):
        form = tablet.page.locator("form", has=tablet.page.get_by_label("who answered")).locator("visible=true")
        if not form.count():
            return
        one = form.first
        one.get_by_label("who answered").fill("the maker's service")
        one.get_by_label("what", exact=True).fill("as it is planned")
        tablet.is_me()
        one.get_by_role("button").click()
        tablet.look()
    raise AssertionError("Choose goes on asking")


def prepare(tablet: Tablet) -> None:
    """Tick all of the tools and parts, record it, and the customer's yes."""
    tablet.stage("Prepare")
    tablet.is_me()
    ticks = tablet.page.locator("#tools_and_parts-form input[type=checkbox]")
    for tick in ticks.all():
        tick.check()
    tablet.press("Record what is ready")
    tablet.stage("Prepare")
    assert ticks.count() == tablet.page.locator("#tools_and_parts-form input[type=checkbox]:checked").count() > 0
    tablet.enter("amount", "140")
    tablet.enter("answer", "yes")
    tablet.enter("who", "the customer")
    tablet.press("Record the answer")


def begin(tablet: Tablet) -> None:
    """Start at the stand."""
    tablet.stage("Bench")
    tablet.is_me()
    tablet.press("Start")
    tablet.page.locator(STEP).wait_for(state="attached")
    tablet.look()


def at_step(tablet: Tablet) -> str:
    """The key of the step that fills the screen; empty if none does."""
    step = tablet.page.locator(STEP)
    return step.input_value() if step.count() else ""


def read_step(tablet: Tablet, **said: str) -> None:
    """Enter everything that the step asks for, each deliberately."""
    for name in dict.fromkeys(one.get_attribute("name") or "" for one in tablet.page.locator(".ask [name]").all()):
        control = tablet.page.locator(f'.ask [name="{name}"]')
        kind = control.first.get_attribute("type")
        if name in said or "in-words" in (control.first.get_attribute("class") or ""):
            tablet.enter(name, said.get(name, "none"))
        elif kind == "radio":
            good = tablet.page.locator(f'.ask [name="{name}"][value="yes"], .ask [name="{name}"][value="good"]')
            good.first.check(force=True)
        elif kind not in ("hidden", "radio") and not name.endswith(".words"):
            control.first.fill(_passing(tablet, control.first))


def _passing(tablet: Tablet, control: Locator) -> str:
    """A reading as planned: the preset's, or between its limits."""
    preset = tablet.page.locator(f'[data-for="{control.get_attribute("id")}"]')
    offered = [one.get_attribute("data-value") or "" for one in preset.all()]
    low, high = control.get_attribute("data-least"), control.get_attribute("data-most")
    if offered and offered[-2 if len(offered) > 1 else 0]:
        return offered[-2 if len(offered) > 1 else 0]
    ends = [float(end) for end in (low, high) if end]
    return f"{sum(ends) / len(ends):g}" if ends else "5"


def do_step(tablet: Tablet, **said: str) -> str:
    """Do the step that is next; the key of the one done."""
    done = at_step(tablet)
    read_step(tablet, **said)
    tablet.is_me()
    tablet.page.get_by_role("button", name="Done, next").click()
    gone = tablet.page.locator("main").filter(has_not=tablet.page.locator(f'input[name=step][value="{done}"]'))
    expect(gone, f"{done} passes").to_have_count(1)
    tablet.look()
    return done


def hold_keys(tablet: Tablet) -> None:
    """Hold each key that goes on: a hold point stays where it is, and nothing is entered."""
    hold_point = at_step(tablet)
    for key in HELD:
        for _ in range(4):
            tablet.page.keyboard.down(key)  # a held key repeats
        tablet.page.keyboard.up(key)
        assert at_step(tablet) == hold_point, f"{key} held passes {hold_point}"
        assert not tablet.page.locator(".ask input:checked").count(), f"{key} held at {hold_point} answers it"
        tablet.page.locator("main").focus()
    assert not any(one.input_value() for one in tablet.page.locator(".ask input[inputmode=decimal]").all())


def work(tablet: Tablet, *, until: str = "", holding: bool = False) -> list[str]:
    """Every step to the end, or until one is next; the keys of those done, in order."""
    done = []
    while (step := at_step(tablet)) and step != until:
        if holding and tablet.page.locator(".count", has_text="hold point").count():
            hold_keys(tablet)
        done.append(do_step(tablet))
    if not until:
        tablet.page.get_by_role("heading", name="All steps are done.").wait_for()
    return done


def prove(tablet: Tablet) -> int:
    """Every reading as predicted, the leak test, the bike back together; how many readings."""
    tablet.stage("Final check")
    sections = tablet.page.get_by_role("region").filter(has_text=PREDICTED).all()
    for section in sections:
        found = PREDICTED.search(section.inner_text())
        assert found
        section.get_by_role("textbox").fill(found[1].translate(TAKE_OUT))
    for name, text in {"leak_start": "80", "leak_end": "80", "leak_from": "20", "leak_to": "20"}.items():
        if tablet.page.locator(f"[name={name}]").count():
            tablet.enter(name, text)
    for tick in tablet.page.locator("main input[type=checkbox]").all():
        tick.check(force=True)
    tablet.press("Record the readings")
    tablet.stage("Final check")
    assert not tablet.page.get_by_text("outside its band").count()
    tablet.press("Passed: go to hand-over")
    return len(sections)


def hand_over(tablet: Tablet, how: str = "the customer, in person") -> None:
    """The customer accepts; the job is closed."""
    tablet.stage("Hand over")
    tablet.enter("accepted", "yes")
    tablet.enter("how", how)
    tablet.press("Hand over")
    customer = re.compile(
        r"Accepted: (?!the customer).+, " + how.rpartition(", ")[2]
    )  # by name, though the record has none
    tablet.page.get_by_text(customer).first.wait_for()


def say_who(tablet: Tablet, name: str) -> None:
    """Say on the page for it who is at this device."""
    tablet.open("/who")
    tablet.page.locator("main form[action='/who']").get_by_role("textbox").fill(name)
    tablet.press("Save")
    tablet.by = name


def measure(tablet: Tablet, base: str, **measured: str) -> str:
    """Make a thin sheet of a unit; what the counter calls its family."""
    tablet.open("/sheets/measure")
    tablet.page.get_by_label("built like").select_option(base)
    tablet.press("Use this")
    for name, text in measured.items():
        tablet.enter(name, text)
    tablet.is_me()
    tablet.press("Keep as a sheet")
    tablet.open("/check-in")
    model = measured["model"].lower()
    values = tablet.page.locator("[name='unit.family'] option").evaluate_all("all => all.map(one => one.value)")
    return str(next(value for value in values if model in value))


def bring_in(tablet: Tablet, file: Path, key: str) -> None:
    """Bring a sheet in as a file, look at what the check says of it, and keep it."""
    tablet.open("/sheets")
    tablet.follow("Write or bring one in")
    tablet.enter("key", key)
    tablet.page.locator("[name=file]").set_input_files(file)
    tablet.press("Check")
    tablet.page.get_by_text("Nothing is wrong with it").wait_for()
    tablet.is_me()
    tablet.press("Keep as a new revision")
    tablet.page.get_by_text("Saved.").wait_for()
