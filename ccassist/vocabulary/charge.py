"""The charge of a boosted engine: air, pressures, temperatures, mixture, compression, and what decides knock.

Pressures are absolute unless the name says gauge.  Shares and efficiencies are written
as "0.75" or "75 %".
"""

from math import radians

from ccassist.vocabulary.make import angle, maker
from ccassist.vocabulary.signs import after, before
from ccassist.vocabulary.silent import silent
from ccassist.vocabulary.term import Kind, Sign, Term

ABOVE_SEA = Sign(
    plus=("above sea level", "above the sea"),
    minus=("below sea level", "below the sea"),
    zero=("at sea level", "sea level"),
    says_plus="{} above sea level",
    says_minus="{} below sea level",
    says_zero="at sea level",
    bare_is_plus=True,
)
WARMER = Sign(
    plus=("warmer", "hotter"),
    minus=("cooler", "colder"),
    zero=("no heating",),
    says_plus="{} warmer",
    says_minus="{} cooler",
    says_zero="no heating",
    bare_is_plus=True,
)
HARDER = Sign(
    plus=("harder", "harder on the fuel", "octane harder on the fuel"),
    minus=("easier", "easier on the fuel", "octane easier on the fuel"),
    zero=("equal", "none", "as hard on the fuel"),
    says_plus="{} octane harder on the fuel",
    says_minus="{} octane easier on the fuel",
    says_zero="as hard on the fuel",
    bare_is_plus=True,
)


pressure = maker(Kind.PRESSURE, 1e5, units=("bar", "psi"))  # ranges in bar
low_pressure = maker(Kind.PRESSURE, 1e3, units=("kPa", "psi"))  # in kPa
celsius = maker(Kind.TEMPERATURE, zero=273.15)  # in °C
ratio = maker(Kind.RATIO)  # ranges as shares or ratios

AIR: tuple[Term, ...] = (
    Term(
        key="altitude",
        name="altitude",
        symbol="z",
        kind=Kind.LENGTH,
        meaning="height above sea level where the engine runs, as a map gives it (geometric)",
        plausible=(0.0, 3500.0),
        possible=(-500.0, 6000.0),
        units=("m", "ft"),
        sign=ABOVE_SEA,
        silent=silent(10.0, 50.0, 200.0),
    ),
    low_pressure(
        "barometer",
        "barometer",
        "pb",
        "pressure of the air where the engine runs, read on site",
        (60, 105),
        (45, 110),
        caution="not the figure of a weather report or of aviation, which is reduced to sea level",
        silent=silent(300.0, 1000.0, 2500.0),
    ),
    celsius(
        "intake_air_temperature",
        "intake air temperature",
        "ta",
        "air going into the compressor, or into the engine without one",
        (-20, 50),
        (-50, 100),
    ),
    celsius(
        "coolant_temperature",
        "cooler's coolant temperature",
        "tw",
        "air or water going into the charge cooler",
        (-20, 70),
        (-50, 120),
    ),
    low_pressure(
        "inlet_drop",
        "pressure lost before the compressor",
        "Δpi",
        "filter and intake pipe",
        (0, 6),
        (0, 40),
    ),
)

BOOST: tuple[Term, ...] = (
    pressure(
        "boost_gauge",
        "boost (gauge)",
        "pg",
        "manifold pressure above the air around, as a boost gauge shows it",
        (0.0, 2.5),
        (0.0, 6.0),
        basis="gauge",
        caution="gauge, not absolute: 1.0 bar of it is about 2.0 bar in the manifold at sea level",
    ),
    pressure(
        "manifold_pressure",
        "manifold pressure (absolute)",
        "pm",
        "pressure in the manifold counted from nothing",
        (0.9, 3.5),
        (0.2, 7.0),
        basis="absolute",
        caution="absolute, not gauge: about 1.0 bar without boost at sea level",
    ),
    ratio(
        "pressure_ratio",
        "pressure ratio",
        "PR",
        "absolute manifold pressure over the fixed 101.325 kPa, never over the local barometer",
        (1.0, 3.5),
        (0.2, 7.0),
    ),
    ratio(
        "compressor_ratio",
        "compressor pressure ratio",
        "PRc",
        "absolute pressure after over before the compressor, inlet and cooler losses included",
        (1.0, 3.6),
        (1.0, 10.0),
    ),
    ratio(
        "compressor_efficiency",
        "compressor efficiency",
        "ηc",
        "isentropic: heating of a perfect compressor over its real heating",
        (0.55, 0.82),
        (0.2, 1.0),
        silent=silent(0.02, 0.03, 0.08),
    ),
    celsius("compressor_temperature", "compressor outlet", "tcp", "air leaving the compressor", (20, 200), (-50, 500)),
    ratio(
        "cooler_effectiveness",
        "cooler effectiveness",
        "ε",
        "fall of the charge in the cooler over its whole excess above the coolant",
        (0.5, 0.9),
        (0.0, 1.0),
        silent=silent(0.02, 0.05, 0.10),
    ),
    low_pressure(
        "cooler_drop",
        "cooler pressure drop",
        "Δpc",
        "pressure lost in the cooler and its pipes",
        (0, 20),
        (0, 100),
    ),
    celsius(
        "charge_temperature",
        "charge temperature",
        "tm",
        "in the manifold, after the cooler",
        (-10, 90),
        (-50, 300),
    ),
)

TRAPPED: tuple[Term, ...] = (
    Term(
        key="charge_heating",
        name="charge heating",
        symbol="Δth",
        kind=Kind.TEMPERATURE,
        meaning="warming by the port and cylinder, from manifold to intake closing, evaporation taken off",
        plausible=(0.0, 50.0),
        possible=(-60.0, 150.0),
        units=("K", "K"),
        sign=WARMER,
        caution="a difference, in K: 20 °C of warming is 20 K",
        silent=silent(3.0, 5.0, 10.0),
    ),
    ratio(
        "exhaust_ratio",
        "exhaust over manifold pressure",
        "px/pm",
        "absolute pressure of the gas left at exhaust closing over manifold pressure",
        (0.4, 1.8),
        (0.1, 6.0),
    ),
    ratio(
        "residual_fraction",
        "residual gas",
        "xr",
        "burned gas left from the cycle before, share of the charge by mass",
        (0.01, 0.15),
        (0.0, 0.6),
        silent=silent(0.005, 0.02, 0.04),
    ),
    celsius("residual_temperature", "residual gas temperature", "trg", "when it mixes", (600, 1000), (200, 1700)),
    ratio(
        "filling",
        "filling at closing",
        "fc",
        "cylinder pressure at intake closing over manifold pressure",
        (0.85, 1.2),
        (0.4, 1.6),
        caution="the largest doubt in the pressures: a tuned intake closes 12 to 18 % above manifold pressure",
        silent=silent(0.02, 0.05, 0.10),
    ),
    pressure(
        "closing_pressure", "pressure at intake closing", "p1", "in the cylinder, absolute", (0.8, 3.8), (0.1, 10.0)
    ),
    celsius("closing_temperature", "temperature at intake closing", "t1", "in the cylinder", (40, 160), (-50, 500)),
    ratio(
        "mixture_strength",
        "mixture strength",
        "λ",
        "air over the air that the fuel needs: under 1 is rich",
        (0.75, 1.1),
        (0.5, 3.0),
        caution="lambda, not its inverse",
        silent=silent(0.02, 0.03, 0.08),
    ),
)

COMPRESSION: tuple[Term, ...] = (
    ratio(
        "trapped_ratio",
        "trapped ratio",
        "CRt",
        "volume at intake closing over clearance volume",
        (3.0, 23.0),
        (1.0, 100.0),
        typical=8.0,
        caution="geometry alone, and only as good as the lift at which closing was read",
    ),
    ratio(
        "polytropic_exponent",
        "polytropic exponent",
        "npo",
        "constant exponent of the compression",
        (1.28, 1.35),
        (1.0, 1.67),
        caution="never feeds a knock figure",
        silent=silent(0.01, 0.02, 0.04),
    ),
    ratio(
        "effective_exponent",
        "exponent of equal end pressure",
        "ne",
        "the constant exponent that gives the same end pressure",
        (1.28, 1.4),
        (1.0, 1.67),
    ),
    pressure(
        "end_pressure",
        "end-of-compression pressure",
        "p2",
        "at top dead centre, motored, absolute",
        (4, 120),
        (0.1, 500),
        caution="not what a cranking gauge shows",
    ),
    celsius(
        "end_temperature",
        "end-of-compression temperature",
        "t2",
        "at top dead centre, motored",
        (150, 750),
        (-50, 2500),
    ),
    ratio("density_equivalent", "charge-density equivalent", "CRd", "equal charge density at top", (3, 60), (1, 200)),
    ratio("pressure_equivalent", "end-pressure equivalent", "CRp", "equal end pressure", (3, 60), (1, 200)),
    ratio("temperature_equivalent", "end-temperature equivalent", "CRT", "equal end temperature", (3, 60), (1, 200)),
    ratio("knock_equivalent", "knock-integral equivalent", "CRk", "equal knock integral", (3, 60), (1, 200)),
    ratio(
        "octane_difference",
        "octane difference from the baseline",
        "ΔON",
        "octane that it asks of the fuel beyond what the baseline asks; nothing where both are equally hard on it",
        (-20, 20),
        (-200, 200),
        sign=HARDER,
        caution="a comparison only: holds for the same fuel, speed and spark habit",
    ),
    ratio("root_equivalent", "square-root habit", "CRr", "static ratio × √ pressure ratio", (3, 60), (1, 200)),
)

BURN: tuple[Term, ...] = (
    ratio(
        "octane_number",
        "octane number",
        "ON",
        "of the fuel, by the research method",
        (90, 102),
        (60, 130),
        caution="say which method: (R+M)/2 on a pump is 4 to 5 lower",
        silent=silent(0.5, 1.0, 2.0),
    ),
    ratio(
        "ethanol_share",
        "ethanol in the fuel",
        "xe",
        "share by volume",
        (0.0, 0.10),
        (0.0, 1.0),
        silent=silent(0.01, 0.02, 0.05),
    ),
    ratio(
        "methanol_share",
        "methanol in the fuel",
        "xm",
        "share by volume",
        (0.0, 0.03),
        (0.0, 1.0),
        silent=silent(0.01, 0.01, 0.03),
    ),
    angle(
        "burn_phasing",
        "burn phasing (CA50)",
        "θ50",
        "crank angle at which half the fuel has burned",
        (4, 30),
        (-20, 60),
        sign=after("TDC"),
    ),
    angle(
        "burn_duration",
        "burn duration",
        "Δθb",
        "crank angle of the whole burn",
        (30, 80),
        (5, 150),
        silent=silent(3.0, 5.0, 10.0, scale=radians(1)),
    ),
    angle(
        "spark_advance",
        "spark",
        "θs",
        "crank angle at which the spark comes",
        (0, 45),
        (-30, 70),
        sign=before("TDC"),
    ),
    ratio("heat_release", "heat freed", "ηb", "share of the fuel's heat that the burn frees", (0.85, 1.0), (0.3, 1.0)),
    ratio("heat_loss", "heat loss", "hw", "times the heat loss of the published correlation", (0.5, 2.0), (0.0, 10.0)),
    celsius("wall_temperature", "wall temperature", "tk", "of the chamber's surfaces", (100, 250), (-50, 600)),
)

CHARGE: tuple[Term, ...] = (*AIR, *BOOST, *TRAPPED, *COMPRESSION, *BURN)
