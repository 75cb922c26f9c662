"""The command lines whose answers are recorded, as they are typed in a folder that has `examples/` in it."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import product
from pathlib import Path
from typing import Final

from PIL import Image

from tests.cli.test_bad_input import ASKED, FILES, REFUSED, UNUSABLE

SETUP: Final = "'chassis: mid, travel: 150 mm, volume_spacers: 1, pressure: 78 psi'"
TARGET: Final = (
    "'chassis: mid, travel: 140 mm, travel_spacers: 1, port_position: 1, volume_spacers: 1, pressure: 88 psi'"
)
BEHIND: Final = "'chassis: mid, travel: 140 mm, pressure: 78 psi'"
SHAFT: Final = "'chassis: standard, travel: 120 mm, volume_spacers: 2, pressure: 96 psi'"
COIL_SETUPS: Final = "--setup 'travel: 160 mm, coil: medium' --setup 'travel: 150 mm, coil: firm, preload_turns: 3'"
COIL: Final = "coil --load '330 N' --travel '140 mm' --sag '20 %' --coil"
MADE: Final = "'name: made, wire: 5 ± 0.03 mm, outside: 31 mm, turns: 22, free_length: 300 mm'"
TRAIL: Final = "stance examples/bikes/trail.yaml"
T35: Final = "steps specimen/t35 --chassis mid --task set-pressure=80psi --task wipers --task change-travel=130mm"
C38: Final = "steps specimen/c38 --task change-coil=firm --task change-travel=150mm"
BIKE: Final = "plan examples/shorten-t35-bike.yaml"
SHEETS: Final = ("a55", "b38", "c38", "n32", "p34", "s38", "t35", "v34")


def _both(*lines: str) -> tuple[str, ...]:
    """Each line, and the same with its answer as JSON."""
    return tuple(line + option for line in lines for option in ("", " --json"))


CALCULATED: Final = (
    "",
    "--version",
    "sheet schema",
    "bike schema",
    *_both(*(f"sheet check specimen/{name}" for name in SHEETS)),
    # plans that go on
    *_both(
        "plan examples/shorten-t35.yaml --done 12",
        "plan examples/shorten-t35.yaml --done 12 --found travel_spacers=1 --after-break",
        "plan examples/shorten-t35.yaml --done 14 --failed coating",
        "plan examples/shorten-and-serve-t35.yaml --done 15 --extra damper",
        "plan examples/shorten-c38.yaml --done 10 --found coil=firm",
        "plan examples/lengthen-p34.yaml --done 10 --after-break",
        "plan examples/two-stage-s38.yaml --done 6",
    ),
    f"{BIKE} --side-view side.svg --cutaway cut.svg",
    f"{BIKE} --side-view side-in.svg --cutaway cut-in.svg --units in --comma",
    "plan examples/shorten-c38.yaml --cutaway cut-coil.svg",
    "plan examples/lengthen-p34.yaml --cutaway cut-shaft.svg",
    "plan examples/two-stage-s38.yaml --cutaway cut-two.svg",
    # steps
    *_both(
        T35,
        f"{T35} --done 16",
        f"{T35} --done 12 --after-break",
        f"{T35} --done 14 --failed coating",
        f"{T35} --done 2 --failed moves_and_stays",
        f"{T35} --done 9 --extra damper",
        f"{T35} --tool-change '0 min' --position-change '0 min'",
        C38,
        f"{C38} --done 8 --found coil=firm",
        "steps specimen/c38 --task coil-spring --task set-preload=3 --task preload-spacers=2",
        "steps specimen/p34 --task change-travel=140mm --task volume-spacers=1",
        "steps specimen/n32 --task lower-legs --task damper",
        "steps specimen/a55 --task air-spring --task set-pressure=150psi",
        "steps specimen/b38 --task air-spring",
        "steps specimen/s38 --task lower-legs --task set-pressure=80psi",
        "steps specimen/v34 --task lower-legs --task inspect=lowers",
        "steps specimen/t35 --chassis mid --task measure",
    ),
    f"{T35} --one-page",
    f"{T35} --units bar,lbf-in,in --comma",
    f"{T35} --drawing",
    f"{T35} --why on:lowers",
    f"{C38} --why off:spring_cap",
    f"{T35} --done 12 --after-break --why cycle:air_charge",
    # springs
    *_both(
        f"curve specimen/t35 --setup {SETUP} --setup {TARGET} --load '330 N' --speed 0.5",
        f"curve specimen/t35 --setup {SETUP} --setup {BEHIND} --points 21 --real-air --exponent 1.3 --tau 2",
        f"curve specimen/t35 --setup {SETUP} --points 11 --units bar,lbf --comma",
        f"curve specimen/p34 --setup {SHAFT} --points 11 --load '300 N'",
        f"curve specimen/s38 --setup {SHAFT} --points 11",
        f"curve specimen/c38 {COIL_SETUPS} --load '341 N' --points 11",
        f"mistakes specimen/t35 --setup {TARGET} --load '330 N'",
        f"mistakes specimen/t35 --setup {TARGET} --load '74 lbf' --units bar,in,lbf",
        f"mistakes specimen/p34 --setup {SHAFT} --load '300 N'",
        f"{COIL} 'rate: 9 N/mm' --coil 'rate: 10 ± 0.4 N/mm' --coil {MADE}",
        f"{COIL} 'rate: 10 N/mm' --shorten '20 mm' --units lbf/in,in",
        f"{COIL} 'wire: 5 mm, outside: 31 mm, turns: 22, free_length: 200 mm' --coil 'rate: 30 N/mm'",
        "pressure '78 psi' --hose '3 ml' --chamber '190 ml' --there '5 °C' --there-altitude '2500 m'",
        "pressure '78 psi' --units bar",
        "pressure '6 bar' --here '12 °C' --here-air '1009 hPa' --there '30 °C' --there-air '900 hPa' --dial",
        "pressure '100 psi' --sealed --there-altitude '2500 m'",
        # the bike
        TRAIL,
        f"{TRAIL} --axle-to-crown 531,541,551 --sag-front 20% --sag-rear 28%",
        f"{TRAIL} --axle-to-crown '21,21.3 in' --units in --comma",
        f"{TRAIL} --axle-to-crown 561",
    ),
    f"curve specimen/t35 --setup {SETUP} --setup {TARGET} --svg chart.svg",
    f"curve specimen/t35 --setup {SETUP} --csv - --points 11",
    f"curve specimen/c38 {COIL_SETUPS} --svg coil.svg --csv coil.csv --points 11",
    f"{TRAIL} --axle-to-crown 531,541 --svg stance.svg",
)

ON_A_TERMINAL: Final = (
    "plan examples/shorten-t35.yaml",
    "plan examples/refused-t35.yaml",
    T35,
    f"curve specimen/t35 --setup {SETUP} --setup {TARGET}",
    TRAIL,
)

WRONG: Final = (
    "plan",
    "plan examples/shorten-t35.yaml --sideways",
    "plon",
    "plan examples/shorten-t35.yaml --units furlong",
    "plan examples/shorten-t35.yaml --units bar,psi",
    "plan examples/shorten-t35.yaml --side-view side.svg",
    "plan examples/shorten-t35.yaml --done 999",
    "plan examples/shorten-t35.yaml --done nosuch",
    "plan examples/shorten-t35.yaml --failed nosuch",
    "plan examples",
    "plan examples/bikes/trail.yaml",
    "plan '\x1b[31mred.yaml'",
    "sheet check examples/shorten-t35.yaml",
    "sheet check specimen/t36",
    "steps specimen/t35 --task wipers",
    "steps specimen/t35 --task wipers --chassis mid --earlier no.json",
    "steps specimen/t35 --task wipes --chassis mid",
    "steps specimen/n32 --task set-preload=3",
    "steps specimen/c38 --task set-pressure=80psi",
    "steps specimen/c38 --task change-coil=frim",
    "steps specimen/c38 --task change-coil=firm --task change-travel=170mm --task preload-spacers=0",
    f"{T35} --done off:readings,off:lowers",
    f"{T35} --found spacers=2",
    f"{T35} --found shaft_travel=130mm",
    f"{T35} --failed rust",
    f"{T35} --tool-change '-1 min'",
    f"{T35} --why off:coil",
    f"{T35} --time-limit '0 min'",
    "curve specimen/t35",
    f"curve specimen/t36 --setup {SETUP}",
    "curve specimen/t35 --setup 'chassis: mid, presure: 78 psi'",
    "curve specimen/t35 --setup 'chassis: mid, travel: 147 mm, pressure: 78 psi'",
    f"curve specimen/t35 --setup {SETUP} --exponent 2",
    f"curve specimen/t35 --setup {SETUP} --points 3",
    f"curve specimen/t35 --setup {SETUP} --load '330 psi'",
    "mistakes specimen/a55 --setup 'pressure: 150 psi' --load '330 N'",
    f"mistakes specimen/t35 --setup {SETUP} --load '330 mm'",
    f"{COIL} 'rate: 8 psi'",
    f"{COIL} 'rat: 8 N/mm'",
    f"{COIL} {MADE} --least-preload '20 mm'",
    "coil --load '330 N' --travel '140 mm' --sag '90 %' --coil 'rate: 8 N/mm'",
    "pressure seventy",
    "pressure '500 bar'",
    "pressure '78 psi' --there-altitude '80 km'",
    "pressure '78 psi' --hose '3 ml'",
    "pressure '78 psi' --here-air '1000 hPa' --here-altitude '3 m'",
    f"{TRAIL} --axle-to-crown abc",
    f"{TRAIL} --sag-front '20 mm'",
    f"{TRAIL} --sag-rear 28",
    "stance examples/shorten-t35.yaml",
    "serve --host 0.0.0.0",
    "job list --workshop none.sqlite",
    "job check-in --workshop none.sqlite",
    "job check-in --customer Jo --workshop none.sqlite",
    "job check-in --customer Jo --sheet specimen/t53 --fact unit.chassis=mid --workshop new.sqlite",
    "job check-in --customer Jo --sheet specimen/t35 --fact mid --workshop new.sqlite",
    "job due 1001 tomorrow --workshop none.sqlite",
    "instrument add gauge 'gauge 1' --last-check 2026-02-30 --workshop none.sqlite",
    "sheet add examples/shorten-t35.yaml --workshop new.sqlite",
    "doctor --workshop none.sqlite",
    "restore examples/shorten-t35.yaml --workshop none.sqlite",
    "import examples/shorten-t35.yaml --workshop new-2.sqlite",
    "job list --workshop mysql://x/y",
)


def bad_input_files() -> Iterator[str]:
    """Writes intakes that cannot be used and files that are none, and gives the lines that read them."""
    yield from WRONG
    text = Path("examples/shorten-t35.yaml").read_text("utf-8")
    edits = [(str(case[0]), str(case[1])) for case in (*UNUSABLE.values(), *REFUSED.values(), *ASKED.values())]
    for number, (old, new) in enumerate(edits, 1):
        Path(f"intake-{number:02}.yaml").write_text(text.replace(old, new, 1), "utf-8")
        yield f"plan intake-{number:02}.yaml"
    for (number, (content, _)), command in product(enumerate(FILES.values(), 1), ("plan", "sheet check")):
        if content is not None:
            Path(f"file-{number}.yaml").write_bytes(content)
        yield f"{command} file-{number}.yaml"


LOOKED_UP: Final = (
    *_both(
        "job list",
        "job search thornquist",
        "job search t35",
        "job search nobody",
        "job show JOB",
        "job plan JOB",
        "unit history T35-0417",
        "unit history nothing",
        "customer find",
        "customer find rilla",
        "instrument list",
        "sheet list",
        "doctor",
        "job show 99",
        "job show nothing",
    ),
    "job show JOB --plan",
    "job plan 1012 --units bar,in,lbf-in,lb --comma",
    "job plan 1011 --fact 'wish.travel=200 mm'",
    "customer export demo-shortened",
    "job show 1001",
)

NEW: Final = "job check-in examples/shorten-t35.yaml --customer 'Jo Example' --contact jo@example.org --id first"
JOB: Final = (
    f"{NEW} --due 2026-03-12 --photo crack.png",
    f"{NEW} --due 2026-03-12 --photo crack.png",
    f"{NEW} --due 2026-03-13",
    "job start 1001",
    "job record 1001 next",
    "job correct 1001 1",
    "job correct 1001 1 --set colour=red",
    "job update 1001 --fact 'rider.gear=5 ± 1 kg' --symptoms 'dives under braking'",
    "job plan 1001",
    "job plan 1001 --fact 'wish.travel=200 mm' --decide",
    "job plan 1001 --decide --note 'as agreed'",
    "job prepare 1001 --have grease --id kit",
    "job prepare 1001 --ready --json",
    "job start 1001 --by Lou",
    "instrument add 'shock pump' 'pump 2' --accuracy '1.6 %' --last-check 2026-01-10 --id p2",
    "job record 1001 next --reading 'pressure_found=87 psi' --reading 'exposed_found=158 mm' --with p2 --took '4 min'",
    (
        "job record 1001 next --reading 'pressure_found=87 psi' --reading 'exposed_found=158 mm' --with p2"
        " --took '4 min' --reading tag_hung=yes --reading damage_found=none"
    ),
    "job correct 1001 7 --reading 'pressure_found=78 psi' --note misread --json",
    "job record 1001 off:coil",
    "job record 1001 next --reading 'pressure_found=78 mm'",
    "job record 1001 off:readings --reading 'pressure_found=78 mm'",
    "job record 1001 2",
    "job record 1001 3 --json",
    "job problem 1001 'two spacers inside' --step on:lowers --found travel_spacers=2",
    "job plan 1001",
    "job hold 1001 customer 'new bushings' --amount 140 --task damper",
    "job hold 1001 customer 'new bushings' --amount 140 --json",
    "job record 1001 next",
    "job resume 1001 --yes --who Jo --when 2026-03-10 --answer 'go on'",
    "job pass-on 1001 Kim",
    "job due 1001 2026-04-01 --json",
    "job answer 1001 charge.leaked --who Jo --when 2026-03-03 --answer no",
    "job note 1001 'telephoned' --photo crack.png",
    "job note 1001 late --expected 1",
    "job note 1001 other --id first",
    "job show 1001",
    "job show 1001 --json",
    "job final-check 1001 --reading 'pressure_left=88 psi' --passed",
    "job refuse 1001 'crack through the crown' --scrap --photo crack.png",
    "job photo first-photo-1 out.jpg",
    "job list",
    "unit history 0417 --json",
)
WHOLE_WAY: Final = (
    "job check-in --customer Jo --sheet specimen/a55 --fact unit.chassis=standard --task set-pressure=150psi --id one",
    "job plan 1001 --decide",
    "job prepare 1001 --ready",
    "job start 1001",
    "job record 1001 next",
    (
        "job record 1001 next --reading tag_hung=yes --reading 'pressure_found=140 psi'"
        " --reading 'length_found=210 mm' --reading damage_found=none"
    ),
    *("job record 1001 next",) * 3,
    "job record 1001 next --reading 'pressure_left=300 psi'",
    "job record 1001 next --reading 'pressure_left=150 psi'",
    "job final-check 1001 --passed",
    "job record 1001 next --reading 'exposed_change=0 mm' --reading tight=yes --reading dry=yes",
    "job final-check 1001 --reading 'pressure_left=150 psi' --passed",
    "job final-check 1001 --passed",
    "job hand-over 1001 --accepted --how 'in person' --checks 'all bolts' --come-back 2026-04-09 --json",
    "job check-in --comeback-of 1001 --symptoms creaks --fact unit.chassis=standard --id two --json",
    "job list --json",
    "customer find jo",
)
OTHERS: Final = (
    "job check-in examples/shorten-t35-bike.yaml --customer Jo --id a --json",
    "job plan 1001 --json",
    "job check-in examples/shorten-c38.yaml --customer Jo --id b",
    "job plan 1002 --decide",
    "job check-in examples/two-stage-s38.yaml --customer Jo --id c",
    "job check-in examples/shorten-and-serve-t35.yaml --customer Jo --id d --json",
    "job check-in examples/lengthen-p34.yaml --customer-id a --id e --json",
    "job check-in --customer Jo --sheet specimen/t35 --fact unit.chassis=mid --incomplete --id f",
    "job update 1006 --task set-pressure=80psi --task lower-legs",
    "job plan 1006",
    "job correct 1001 1 --withdraw 'wrong fork'",
    "job hold 1002 weather rain",
    "job refuse 1003 'no time'",
    "job list",
)
KEPT: Final = (
    "demo fill --start 2026-03-02",
    "demo fill --start 2026-03-02 --json",
    "demo fill --start 2026-03-04 --workshop another.sqlite",
    "job list --workshop another.sqlite",
    "sheet add mine.yaml --as own/mine --id sheet-1",
    "sheet list",
    "sheet list --json",
    "instrument add wrench 'wrench 1' --id w1 --json",
    "instrument add wrench 'wrench 1' --id w1 --retired",
    "instrument list",
    "customer rename demo-fresh --name 'Emrys Other' --contact other@example.org",
    "customer erase demo-half-read --yes --json",
    "customer export demo-half-read",
    "job show 1013",
    "backup copy",
    "backup copy",
    "backup copy-2 --json",
    "restore copy --workshop new.sqlite",
    "restore copy --workshop new.sqlite --json",
    "export all.json",
    "export all.json",
    "export csv --csv",
    "import all.json --workshop from-json.sqlite",
    "import csv --workshop from-csv.sqlite --json",
    "import all.json --workshop from-json.sqlite",
    "doctor --mend",
)
SCRIPTS: Final = {"job": JOB, "whole way": WHOLE_WAY, "others": OTHERS, "demo": KEPT}
"""By name; those that begin with "demo" begin in a copy of the demo workshop, the others without one."""


def other_files() -> None:
    """What the scripts name besides the examples."""
    Path("mine.yaml").write_text("shape: sheet/1\nextends: specimen/t35\nrevision: 5\n", "utf-8")
    Image.new("RGB", (40, 30), "red").save("crack.png")
