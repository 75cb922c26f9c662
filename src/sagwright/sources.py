"""What the computations lean on: one citation a key. Docstrings and tests name the key in square brackets.

`seen` says how the source was met: in print, in a transcription, through a library that implements it, or from memory.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final


@dataclass(frozen=True, slots=True)
class Source:
    """A citation, and how it was met."""

    citation: str
    how_known: str


SOURCES: Final[dict[str, Source]] = {
    "iso-2533": Source(
        "ISO 2533:1975, Standard atmosphere.",
        "constants through three libraries that agree with each other to 1e-6",
    ),
    "iso-80000-3": Source("ISO 80000-3:2019, Quantities and units, part 3: Space and time.", "from memory"),
    "nist-sp-811": Source(
        "A. Thompson, B. N. Taylor, Guide for the Use of the International System of Units (SI),"
        " NIST Special Publication 811, 2008, appendix B.",
        "figures from memory, each reproduced with pint and scipy.constants",
    ),
    "jcgm-100": Source(
        "JCGM 100:2008, Evaluation of measurement data: Guide to the expression of uncertainty in measurement.",
        "clause 4.3.7 from memory",
    ),
    "rfc-9110": Source("R. Fielding, M. Nottingham, J. Reschke, HTTP Semantics, RFC 9110, 2022.", "from memory"),
    "iso-3864-2": Source(
        "ISO 3864-2, Graphical symbols, part 2: Design principles for product safety labels;"
        " ANSI Z535.4, Product Safety Signs and Labels: usage of the signal words.",
        "from memory",
    ),
    "lemmon-2000": Source(
        "E. W. Lemmon, R. T. Jacobsen, S. G. Penoncello, D. G. Friend, Thermodynamic Properties of Air and Mixtures of"
        " Nitrogen, Argon, and Oxygen, J. Phys. Chem. Ref. Data 29 (2000) 331.",
        "through CoolProp, which implements it",
    ),
    "cengel-boles": Source(
        "Y. A. Çengel, M. A. Boles, Thermodynamics: An Engineering Approach, worked examples.",
        "from memory, each reproduced by computing",
    ),
    "budynas-nisbett": Source(
        "R. G. Budynas, J. K. Nisbett, Shigley's Mechanical Engineering Design, 10th ed., 2015, chapter 10.",
        "example 10-1 in a transcription; tables 10-4 and 10-6 from memory",
    ),
    "en-13906-1": Source(
        "EN 13906-1:2013, Cylindrical helical springs made from round wire and bar, part 1: Compression springs.",
        "one modulus in an open formula page; the rest from memory, buckling limit reproduced from [budynas-nisbett]",
    ),
    "machinerys-handbook": Source("Machinery's Handbook, table of moduli of spring wire.", "in a transcription"),
    "almen-laszlo": Source(
        "J. O. Almen, A. Laszlo, The uniform-section disk spring, Trans. ASME 58, 1936, 305-314;"
        " DIN 2092, now EN 16984.",
        "formula and K1 in a transcription",
    ),
    "din-2093": Source("DIN 2093, now EN 16983, Disc springs: dimensions and forces.", "in a transcription"),
    "otis-pourmovahed": Source(
        "D. R. Otis, A. Pourmovahed, An algorithm for computing nonflow gas processes in gas springs and hydropneumatic"
        " accumulators, ASME J. Dyn. Syst. Meas. Control 107, 1985, 93-96.",
        "equation from memory",
    ),
    "hartig-2020": Source(
        "J. Hartig, B. Depp, M. Rexer, P. Pelz, Effects of unsteady heat transfer on behaviour of commercial"
        " hydro-pneumatic accumulators, arXiv 2012.06526, 2020.",
        "abstract",
    ),
    "carslaw-jaeger": Source("H. S. Carslaw, J. C. Jaeger, Conduction of Heat in Solids, chapter 7.", "from memory"),
    "meijaard-2007": Source(
        "J. P. Meijaard, J. M. Papadopoulos, A. Ruina, A. L. Schwab, Linearized dynamics equations for the balance and"
        " steer of a bicycle: a benchmark and review, Proc. R. Soc. A 463 (2007) 1955-1982, table 1.",
        "its parameters in a public parameter file; what follows from them computed apart from this package",
    ),
    "de-leva-1996": Source(
        "P. de Leva, Adjustments to Zatsiorsky-Seluyanov's segment inertia parameters, J. Biomech. 29 (1996) 1223-1230,"
        " table 4.",
        "one full public transcription; the title from memory",
    ),
    "iso-5775": Source(
        "ISO 5775-1 and -2, Bicycle tyres and rims: designations, dimensions, rims.",
        "designations in a tyre maker's public size table; 584 from memory; titles from memory",
    ),
    "iso-4210-6": Source(
        "ISO 4210-6, Cycles, safety requirements for bicycles, part 6: Frame and fork test methods; tyre clearance.",
        "the text of its adoption TBIS 4210-6:2019, 5.1; the requirement of ISO 4210-2 from memory",
    ),
    "wcag-22": Source(
        "World Wide Web Consortium, Web Content Accessibility Guidelines (WCAG) 2.2, level AA; 2.5.5 and 2.5.8 on the"
        " size of targets.",
        "from memory",
    ),
}
