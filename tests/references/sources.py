"""Every outside source that tests/references checks against: one row each, and the mark that a test names it by.

``conftest.py`` fails a test, or a row of its table, that names none.  The table in DEVELOPERS.md is made from these
rows (``python -m tests.remake``).
"""

from __future__ import annotations

import re
from typing import NamedTuple

import pytest

KNOWN = {
    "seen": "data and result as in a public transcription or teaching companion, not the book itself",
    "memory": "from memory",
    "library": "asked in the test",
    "own route": "written out in the test, sharing no code with the tool",
    "practice": "common practice, no source",
}


class Source(NamedTuple):
    """Author, title, edition, page or clause, or library and its data; what of the tool; digits met; a key of KNOWN."""

    text: str
    checks: str
    digits: str
    known: str


SOURCES = {
    # -- uncertainty and statistics
    "gum": Source(
        "JCGM 100:2008 (GUM), 4.3, 4.4.3, 5.1.2, G.2.2, G.4.1, H.1 to H.3 (clause numbers from memory)",
        "propagation, degrees of freedom, coverage, the line of a calibration", "all printed", "seen",
    ),
    "tn1297": Source(
        "NIST Technical Note 1297 (1994), Table B.1 (= JCGM 100, Table G.2)",
        "Student's t", "161 of 162 cells; one is misprinted", "seen",
    ),
    "jcgm101": Source(
        "JCGM 101:2008, 9.2.2 to 9.2.4, 9.3 and Annex E", "the interval of a sum of limits", "all printed", "memory",
    ),
    "quam": Source(
        "EURACHEM/CITAC CG 4, Quantifying Uncertainty in Analytical Measurement, 3rd ed. (2012), A1.4, A3.4, A5.4, 8.2"
        " (8.2 from memory)",
        "budgets of volumes and lengths; sums and ratios", "all printed", "seen",
    ),
    "ea402": Source("EA-4/02, supplement S2, a weight of 10 kg", "a budget of limits", "3 of 3", "memory"),
    "doebelin": Source("Doebelin & Manik, Measurement Systems, ex. 3.2 p. 62", "limits, root-sum-square", "4", "seen"),
    "sawhney": Source(
        "Sawhney, Mechanical Measurements, ex. 3.34 p. 123, ex. 3.37 p. 127",
        "limits and root-sum-square", "3 to 4", "seen",
    ),
    "norris": Source(
        "NIST Statistical Reference Datasets, linear regression, Norris (36 pairs): data and certified values",
        "the straight line of a calibration", "11", "seen",
    ),
    "iso28037": Source("ISO/TS 28037:2010, clause 6, p. 13", "the straight line of a calibration", "5 to 8", "seen"),
    "grubbs": Source(
        "ISO 5725-2:1994, Tables 4 and 5 (attribution from memory); NIST/SEMATECH e-Handbook, 1.3.5.17.1 and 1.3.6.7.3",
        "outlying readings, uneven scatter", "all printed but two misprints", "seen",
    ),
    "range": Source(
        "Pearson & Hartley, Biometrika Tables for Statisticians, vol. 1, Table 29; Harter (1960)",
        "the studentized range", "all printed", "memory",
    ),
    # -- fluids and weighing
    "tanaka": Source(
        "Tanaka et al., Metrologia 38 (2001) 301-309, p. 305: 997.047021671824 at 25 °C, 999.974950 at 3.983035 °C",
        "density of water", "5 to 12", "seen",
    ),
    "kell": Source("Kell, J. Chem. Eng. Data 20 (1975) 97-105", "density of water", "3e-6", "seen"),
    "crc": Source(
        "CRC Handbook of Chemistry and Physics: water from 45 to 90 °C, isopropanol at 20 °C", "densities", "4 to 5",
        "memory",
    ),
    "coolprop": Source(
        "CoolProp 8: IAPWS-95, humid air, air, ethanol and aqueous mixtures",
        "densities of water, moist air and spirit; volume from mass; real air compressed", "1e-6 to 4e-4", "library",
    ),
    "cipm": Source(
        "Picard, Davis, Gläser & Fujii, Metrologia 45 (2008) 149-155 (CIPM-2007), written out in the test",
        "density of moist air", "2e-4 kg/m³", "seen",
    ),
    "r22": Source(
        "OIML R 22 (1975), p. 5, 13: verification points of a public transcription", "ethanol and water", "10", "seen"
    ),
    "perry": Source(
        "Perry's Chemical Engineers' Handbook, aqueous ethanol at 25 °C", "ethanol and water", "0.12 kg/m³", "memory"
    ),
    "d1250": Source(
        "ASTM D1250-04 / API MPMS 11.1-2004, 11.1.6.1, examples 3 to 6, as in the tests of the library API11_1VCF",
        "petroleum with temperature", "5e-5: an older edition is used", "seen",
    ),
    "adios": Source(
        "NOAA, ADIOS Oil Database, records EC00567 to AD02270 as named in the rows", "petroleum with temperature",
        "1 kg/m³", "seen",
    ),
    "ehc187": Source("IPCS, Environmental Health Criteria 187, white spirit", "density of white spirit", "3", "seen"),
    "usp": Source("USP 32, Isopropyl Rubbing Alcohol, specific gravity", "isopropanol of 70 %", "range", "seen"),
    "clp": Source(
        "UN GHS, ch. 2.6; Regulation (EC) 1272/2008 (CLP), annex I, Table 2.6.1", "classes of what burns", "all", "seen"
    ),
    "niosh": Source(
        "NIOSH Pocket Guide, npgd0366, npgd0262, npgd0359: specific gravity and flash point",
        "density of paraffin, flash points", "2 to 3", "seen",
    ),
    "z-table": Source(
        "ISO 8655-6, table of Z for water, as widely reproduced (neither edition nor page seen)", "volume from mass",
        "all printed, two cells by one in the last", "memory",
    ),
    "lab": Source(
        "spreadsheets of a calibration laboratory under ISO/IEC 17025 (2026), ISO 4787 method, in a public test suite:"
        " VolumetrikRev7WorkbookTest, VolumetricGlasswareSesiTest, VolumetricGlasswareBudgetTest",
        "volume from mass, budgets, calibration by weighing", "5 to 9; its own slips undone", "seen",
    ),
    "harris": Source("Harris, Quantitative Chemical Analysis, ch. 2, a flask of 10 ml", "weighing", "4", "memory"),
    "skoog": Source(
        "Skoog et al., Fundamentals of Analytical Chemistry, ex. 2-2, a pipette of 25 ml", "weighing", "4", "memory"
    ),
    "sop2": Source("NIST SOP 2, density of air", "density of moist air", "1e-4 kg/m³", "memory"),
    "iso4787": Source(
        "ISO 4787:2010, expansion of glass (seen as quoted); plastics by handbook ranges", "expansion of instruments",
        "range", "seen",
    ),
    "glassware": Source(
        "ISO 385:2005 Table 1, ISO 648:2008, ISO 1042:1998 (data sets of a public library)", "permissible errors",
        "all rows; two doubtful, the wider taken", "seen",
    ),
    "iso4788": Source("ISO 4788:2005, Table 1", "permissible errors of cylinders", "all rows", "memory"),
    "iso7886": Source(
        "ISO 7886-1:2017, clause 8, Table 1 (1 ml and 4 of 10 ml seen, the rest from memory)", "errors of syringes",
        "all", "memory",
    ),
    "gerpac": Source(
        "GERPAC, hospital pharmacy study, syringes by weighing: never beyond 3 %", "errors of syringes", "bound",
        "seen",
    ),
    "r76": Source("OIML R 76-1:2006, Table 6", "errors of scales", "all", "seen"),
    "din863": Source("DIN 863-1 / ISO 3611, outside micrometers", "errors of micrometers", "all", "memory"),
    # -- geometry and units
    "machinery": Source(
        "Machinery's Handbook, 31st ed. (2020), pp. 79-80 and 88-93: mensuration", "crowns, pockets, bores, openings",
        "all printed", "seen",
    ),
    "machinery-memory": Source(
        "Machinery's Handbook, 31st ed. (2020): plane figures, centres of gravity, solids",
        "traced openings, staged fills", "formula", "memory",
    ),
    "bird": Source(
        "Bird, Engineering Mathematics: frusta and zones of spheres, frustum of a cone", "caps, zones, frusta",
        "all printed", "memory",
    ),
    "ncert": Source(
        "NCERT, Mathematics, Textbook for Class X, ch. 13, ex. 12 and exercise 13.4 no. 1 (π 22/7)", "frusta", "3 to 4",
        "seen",
    ),
    "ssc": Source("SSC examination of 11 June 2019, frustum (π 22/7)", "frusta", "4", "seen"),
    "beer": Source(
        "Beer, Johnston et al., Vector Mechanics: Statics, sample problem 5.7 p. 242", "annuli", "2", "seen"
    ),
    "stewart": Source("Stewart, Calculus, 6.2, wedge of a cylinder", "a pocket cut by the crown", "3", "memory"),
    "thomas": Source("Thomas, Calculus, 6.1, wedge of a cylinder", "a pocket cut by the crown", "exact", "memory"),
    "sp811": Source(
        "NIST SP 811 (2008), appendix B.8; the exact definitions behind it (yard and pound 1959, CGPM 1901, 1964)",
        "units", "all printed; the last bit", "seen",
    ),
    "pint": Source("Pint, its own definitions in exact decimals", "units", "the last bit", "library"),
    "mpmath": Source(
        "mpmath, 40 digits: a rod of fixed length, its dead centres found by search", "slider-crank with offset",
        "1e-12", "library",
    ),
    "scipy": Source(
        "SciPy (stats, integrate, optimize), NumPy (polynomial, linalg)", "statistics, areas, volumes, lines, roots",
        "1e-4 to 1e-12", "library",
    ),
    "routes": Source(
        "uncertainties used directly, SymPy, Monte Carlo (JCGM 101), the ratio written out in one function",
        "every relation and its ±", "1e-9; Monte Carlo 0.5 %", "library",
    ),
    # -- crank and ratio
    "khurmi": Source(
        "Khurmi & Gupta, Theory of Machines, ex. 15.3 p. 527, 15.4 p. 528, 15.5 p. 528, 15.14 p. 542",
        "speed, acceleration, place of the piston", "2 to 3; the book's series is 0.4 % out", "seen",
    ),
    "tayal": Source("Tayal, Engineering Mechanics, ex. 21.5 p. 544", "speed of the piston", "3", "seen"),
    "sarkar": Source("Sarkar, Theory of Machines, illus. 5.5 p. 163, 5.8 p. 166", "place of the piston", "2", "seen"),
    "meriam": Source(
        "Meriam & Kraige, Dynamics, sample problem 5/15 p. 376 (its answers)", "speed and acceleration", "3", "memory"
    ),
    "norton": Source("Norton, Design of Machinery, Table P4-2 rows c, e, g", "slider-crank with offset", "3", "memory"),
    "gate": Source("GATE Mechanical Engineering 2014, quick return", "slider-crank with offset", "2", "memory"),
    "heywood": Source(
        "Heywood, Internal Combustion Engine Fundamentals (1988), eq. 2.5, 2.11; ch. 9; table D.4",
        "place and speed of the piston, heat of fuels, the burn curve", "formula; 3e-3", "memory",
    ),
    "pulkrabek": Source(
        "Pulkrabek, Engineering Fundamentals of the Internal Combustion Engine, ex. 2-1; ch. 3, early closing",
        "crank, speed, trapped volume, compression", "2 to 4", "memory",
    ),
    "mathur": Source(
        "Mathur & Sharma, A Course in Internal Combustion Engines, ex. 1.1 p. 3, 3.2, 17.1 p. 333",
        "displacement, compression, compressor", "3 to 5", "seen",
    ),
    "gupta": Source(
        "Gupta, Fundamentals of Internal Combustion Engines, ex. 2.1 p. 44, 11.4 p. 369, 15.1 p. 474, 15.5 p. 482,"
        " 15.6 p. 483, 15.7 p. 485",
        "compression, compressor, trapped ratio", "2 to 4", "seen",
    ),
    "rajput": Source(
        "Rajput, Internal Combustion Engines, ex. 16.1 p. 525, 20.18 p. 763, 20.26 p. 771", "compressor",
        "2 to 4", "seen",
    ),
    "rajput-computer": Source(
        "Rajput, Engineering Thermodynamics: A Computer Approach, ex. 13.10 p. 618", "expansion", "6", "seen"
    ),
    "keswani": Source(
        "Keswani, Internal Combustion Engines, ex. 3.18 p. 68, 11.5 p. 248", "ratio the other way", "3 to 4", "seen"
    ),
    "arasu": Source("Arasu, Thermal Engineering, ex. 2.3 p. 57", "clearance volume", "3", "seen"),
    "agrawal": Source("Agrawal & Agrawal, Basic Mechanical Engineering, ex. 14.7 p. 309", "ratio", "3", "seen"),
    "solberg": Source("Solberg, Cromer & Spalding, Elementary Heat Power, ex. 3.2 p. 132", "ratio", "4", "seen"),
    "kates": Source("Kates, Diesel and High Compression Gas Engines, ex. 2 p. 62", "swept volume", "3", "seen"),
    "bhatt": Source(
        "Bhatt & Mehta, Elements of Mechanical Engineering, ex. 6.13 p. 28, 6.15 p. 30, 6.25 p. 34",
        "ratio the other way, compression", "3 to 4", "seen",
    ),
    "balmer": Source("Balmer, Modern Engineering Thermodynamics, ex. 13.14", "compression", "3 to 4", "memory"),
    "waec": Source(
        "West African Examinations Council, Auto Mechanics e-learning, question 2", "events and overlap of a cam", "3",
        "seen",
    ),
    # -- gas, charge, burn, knock
    "cengel": Source(
        "Çengel & Boles, Thermodynamics, ex. 9-2 (p. 498 in the edition seen); ex. 7-14 from memory", "air compressed,"
        " burned and expanded", "0.5 to 2 K", "seen",
    ),
    "moran": Source(
        "Moran & Shapiro, Fundamentals of Engineering Thermodynamics, SI ed., ex. 9.1 p. 378, 9.2 p. 383",
        "air compressed", "0.5 K", "seen",
    ),
    "cantera": Source(
        "Cantera 3, nasa_gas.yaml (NASA TM-4513)", "gas properties, isentrope, charge, the burn's first law",
        "1e-4 to 1e-9", "library",
    ),
    "iso2533": Source("ambiance (ISO 2533:1975)", "air by altitude", "1e-6", "library"),
    "knock-solver": Source(
        "SciPy solve_ivp on burn and knock integral coded a second time", "knock integral, octane difference", "1e-4",
        "library",
    ),
    "douaud": Source(
        "Douaud & Eyzat, SAE 780080 (1978): constants as in public source files; Livengood & Wu (1955)",
        "exact consequences of the delay and its integral", "1e-12", "seen",
    ),
    "woschni": Source("Woschni's heat loss, form as in public code, constants from memory", "heat to the walls",
        "formula", "memory"),
    "russ": Source("Russ, SAE 960497 (1996), abstract", "octane differences", "factors, as they are", "seen"),
    # -- none
    "practice": Source(
        "constructed engines without model, sums of the trade and what moves which way", "sums, signs, slips",
        "all digits of the sum", "practice",
    ),
    "own": Source(
        "geometry, limits, inverses written out in the test, sharing no code with the tool", "volumes, areas, places",
        "1e-6 to 1e-12", "own route",
    ),
}  # fmt: skip
PROMISE = "what the tool itself promises: nothing is measured by it"


def cites(*keys: str) -> pytest.MarkDecorator:
    """The mark of a test, a row or a module that is checked against these sources; an unknown one raises KeyError."""
    return pytest.mark.source(*[SOURCES[key].text for key in keys], keys=keys)


def promise() -> pytest.MarkDecorator:
    """The mark of a test without a number from outside: what is refused, kinds of number, no step, nothing lost."""
    return pytest.mark.source(PROMISE, keys=())


def digits_met(key: str) -> int | None:
    """The fewest significant digits that a source's row claims, half a unit of the last one; None of other words."""
    whole = re.match(r"(\d+)(?: to \d+)?(?:;|$)", SOURCES[key].digits)
    return int(whole[1]) if whole else None


def table() -> str:
    """The table of DEVELOPERS.md, and what its last columns mean."""
    means = (
        "Digits met: a whole number is the fewest significant digits that agree in all that is compared, held by "
        "`conftest.py`; *all printed*, every figure to half a unit of its last place; 1e-6 and the like and amounts "
        "with a unit are the tolerances of the tests. "
    )
    means += "Known: " + "; ".join(f"*{known}*, {words}" for known, words in KNOWN.items()) + "."
    rows = [means, "", "| source | what of the tool | digits met | known |", "|---|---|---|---|"]
    rows += [f"| {one.text} | {one.checks} | {one.digits} | {one.known} |" for one in SOURCES.values()]
    return "\n".join(rows)
