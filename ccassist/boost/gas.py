"""The gas in the cylinder: air, fuel vapour and residual gas, with properties that vary with temperature.

Mixtures of ideal gases of frozen composition; the fuel is all vapour.
Temperatures may be floats, NumPy arrays or uncertain numbers, element by
element; floats take the quickest way.  Data: :mod:`ccassist.boost.gas`.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from functools import lru_cache
from math import nan, sqrt

from ccassist.engine.mathematics import log, plain
from ccassist.values.number import Number, is_uncertain, nominal
from ccassist.vocabulary.record import record

# Thermodynamic data of the gases of a cylinder charge: the NASA 7-coefficient polynomials.
#
# Source: B. J. McBride, S. Gordon and M. A. Reno, Coefficients for Calculating
# Thermodynamic and Transport Properties of Individual Species, NASA TM-4513
# (1993), public data.  Each species has two rows, below and above 1000 K, valid
# from 200 to 6000 K:
#
#     cp/R = a1 + a2 T + a3 T² + a4 T³ + a5 T⁴
#     h/RT = a1 + a2 T/2 + a3 T²/3 + a4 T³/4 + a5 T⁴/5 + a6/T
#     s/R  = a1 ln T + a2 T + a3 T²/2 + a4 T³/3 + a5 T⁴/4 + a7
#
# Enthalpies count from the elements at 25 °C; entropies are at 1 bar.

GAS_CONSTANT = 8.31446261815324  # J/(mol K), exact since the SI of 2019
BREAK = 1000.0  # K, where the row of each polynomial changes

# kg/mol: IUPAC abridged standard atomic weights (2021)
ATOMIC_WEIGHTS = {"carbon": 0.012011, "hydrogen": 0.001008, "oxygen": 0.015999, "nitrogen": 0.014007, "argon": 0.03995}

# Mole fractions of dry air, rounded; the traces (carbon dioxide among them) are counted as nitrogen
DRY_AIR = {"O2": 0.2095, "N2": 0.7812, "Ar": 0.0093}

Row = tuple[float, float, float, float, float, float, float]


@record
class Atoms:
    """Atoms of one molecule."""

    carbon: int = 0
    hydrogen: int = 0
    oxygen: int = 0
    nitrogen: int = 0
    argon: int = 0


@record
class Species:
    """One gas: its atoms, and its polynomial below (``cool``) and above (``hot``) 1000 K."""

    atoms: Atoms
    cool: Row
    hot: Row

    @property
    def molar_mass(self) -> float:
        """kg/mol.

        Source: IUPAC abridged standard atomic weights (2021).

        >>> round(SPECIES['CO2'].molar_mass, 6)
        0.044009
        """
        return sum(weight * float(getattr(self.atoms, name)) for name, weight in ATOMIC_WEIGHTS.items())

    @property
    def oxygen_needed(self) -> float:
        """Molecules of O2 that burn one of it to CO2 and H2O.

        Source: stoichiometry.

        >>> SPECIES['iso-octane'].oxygen_needed
        12.5
        """
        return self.atoms.carbon + self.atoms.hydrogen / 4 - self.atoms.oxygen / 2


# Argon's one row stands twice.
SPECIES: dict[str, Species] = {
    "O2": Species(
        atoms=Atoms(oxygen=2),
        cool=(3.78245636, -0.00299673415, 9.847302e-06, -9.68129508e-09, 3.24372836e-12, -1063.94356, 3.65767573),
        hot=(3.66096083, 0.000656365523, -1.41149485e-07, 2.05797658e-11, -1.29913248e-15, -1215.97725, 3.41536184),
    ),
    "N2": Species(
        atoms=Atoms(nitrogen=2),
        cool=(3.53100528, -0.000123660987, -5.02999437e-07, 2.43530612e-09, -1.40881235e-12, -1046.97628, 2.96747468),
        hot=(2.95257626, 0.00139690057, -4.92631691e-07, 7.86010367e-11, -4.60755321e-15, -923.948645, 5.87189252),
    ),
    "Ar": Species(
        atoms=Atoms(argon=1),
        cool=(2.5, 0.0, 0.0, 0.0, 0.0, -745.375, 4.37967491),
        hot=(2.5, 0.0, 0.0, 0.0, 0.0, -745.375, 4.37967491),
    ),
    "CO2": Species(
        atoms=Atoms(carbon=1, oxygen=2),
        cool=(2.35677352, 0.00898459677, -7.12356269e-06, 2.45919022e-09, -1.43699548e-13, -48371.9697, 9.90105222),
        hot=(4.63659493, 0.00274131991, -9.95828531e-07, 1.60373011e-10, -9.16103468e-15, -49024.9341, -1.93534855),
    ),
    "H2O": Species(
        atoms=Atoms(hydrogen=2, oxygen=1),
        cool=(4.19864056, -0.0020364341, 6.52040211e-06, -5.48797062e-09, 1.77197817e-12, -30293.7267, -0.849032208),
        hot=(2.67703787, 0.00297318329, -7.7376969e-07, 9.44336689e-11, -4.26900959e-15, -29885.8938, 6.88255571),
    ),
    "CO": Species(
        atoms=Atoms(carbon=1, oxygen=1),
        cool=(3.57953347, -0.00061035368, 1.01681433e-06, 9.07005884e-10, -9.04424499e-13, -14344.086, 3.50840928),
        hot=(3.04848583, 0.00135172818, -4.85794075e-07, 7.88536486e-11, -4.69807489e-15, -14266.1171, 6.0170979),
    ),
    "H2": Species(
        atoms=Atoms(hydrogen=2),
        cool=(2.34433112, 0.00798052075, -1.9478151e-05, 2.01572094e-08, -7.37611761e-12, -917.935173, 0.683010238),
        hot=(2.93286579, 0.000826607967, -1.46402335e-07, 1.54100359e-11, -6.88804432e-16, -813.065597, -1.02432887),
    ),
    "iso-octane": Species(
        atoms=Atoms(carbon=8, hydrogen=18),
        cool=(0.815737338, 0.0732643959, 1.78300688e-05, -6.9358962e-08, 3.21629382e-11, -30477.2862, 24.1509994),
        hot=(15.9899273, 0.055318479, -1.95267072e-05, 3.11779172e-09, -1.85312577e-13, -35875.7973, -60.1161414),
    ),
    "toluene": Species(
        atoms=Atoms(carbon=7, hydrogen=8),
        cool=(1.611914, 0.0211188902, 8.53221453e-05, -1.32566876e-07, 5.59406109e-11, 4096.51976, 20.2973614),
        hot=(12.939475, 0.0266921558, -9.68420108e-06, 1.5739214e-09, -9.46670482e-14, -677.035769, -46.7255302),
    ),
    "ethanol": Species(
        atoms=Atoms(carbon=2, hydrogen=6, oxygen=1),
        cool=(4.85868178, -0.0037400674, 6.95550267e-05, -8.86541147e-08, 3.5168443e-11, -29996.1309, 4.80192294),
        hot=(6.5628977, 0.0152034264, -5.38922247e-06, 8.62150224e-10, -5.12824683e-14, -31525.7984, -9.47557644),
    ),
}


DRY = "none"
FUELS = (DRY, "iso-octane", "toluene", "ethanol")
RICHEST = 2.0  # equivalence ratio: beyond it soot forms, and the products are no longer these
_NUDGE = 1e-4  # of the equivalence ratio, for slopes along it
STANDARD_TEMPERATURE = 298.15  # K, of heating values
WATER_GAS = 3.5  # [H2O][CO] / ([CO2][H2]) frozen at about 1740 K: Heywood (1988) sec. 4.6 (from memory)


@record
class Mixture:
    """One charge, by the kilogram of it.

    cool, hot : polynomial rows below and above 1000 K, J/(kg K).
    heating_value : lower heating value, J per kg of fuel vapour at 25 °C, water as vapour, from the
        enthalpies of formation of the same table (NASA TM-4513); above the figure of the liquid by
        its heat of evaporation.  0 for dry air.
    """

    fuel: str  # one of FUELS; "none" is dry air
    equivalence_ratio: Number  # fuel over the fuel that the fresh air can burn (1/λ)
    residual: Number  # mass fraction of burned gas left from the cycle before
    gas_constant: Number  # J/(kg K)
    cool: tuple[Number, ...]
    hot: tuple[Number, ...]
    stoichiometric_air_fuel: float  # kg of air per kg of fuel; NaN for dry air
    heating_value: float
    fuel_fraction: Number  # unburned fuel, kg per kg of charge

    def _row(self, temperature: Number) -> tuple[Number, ...]:
        """The coefficients that hold at each temperature."""
        above = plain(temperature) > BREAK
        if isinstance(above, bool):
            return self.hot if above else self.cool
        share = above * 1.0
        return tuple(c + share * (h - c) for c, h in zip(self.cool, self.hot, strict=True))

    def plain(self) -> Mixture:
        """The same without its uncertainty, J/(kg K); itself where it has none.

        >>> made = mixture('none', 0.0, 0.0)
        >>> made.plain() is made
        True
        """
        if not is_uncertain(self.gas_constant):
            return self
        return replace(
            self,
            equivalence_ratio=plain(self.equivalence_ratio),
            residual=plain(self.residual),
            gas_constant=plain(self.gas_constant),
            cool=tuple(map(plain, self.cool)),
            hot=tuple(map(plain, self.hot)),
            fuel_fraction=plain(self.fuel_fraction),
        )

    def cp(self, temperature: Number) -> Number:
        """Heat capacity at constant pressure.  [K] -> [J/(kg K)].

        Source: NASA TM-4513.

        >>> round(mixture('none', 0.0, 0.0).cp(300.0), 1)
        1004.9
        """
        a1, a2, a3, a4, a5, _, _ = self._row(temperature)
        t = temperature
        return a1 + t * (a2 + t * (a3 + t * (a4 + t * a5)))

    def gamma(self, temperature: Number) -> Number:
        """Ratio of heat capacities cp/cv.  [K] -> ratio.

        Source: NASA TM-4513.

        >>> round(mixture("none", 0.0, 0.0).gamma(300.0), 4)
        1.4
        """
        heat = self.cp(temperature)
        return heat / (heat - self.gas_constant)

    def enthalpy(self, temperature: Number) -> Number:
        """Enthalpy, counted from the elements at 25 °C.  [K] -> [J/kg].

        Source: NASA TM-4513.

        >>> made = mixture('none', 0.0, 0.0)
        >>> round(made.enthalpy(400.0) - made.enthalpy(300.0), -2)
        100900.0
        """
        a1, a2, a3, a4, a5, a6, _ = self._row(temperature)
        t = temperature
        return a6 + t * (a1 + t * (a2 / 2 + t * (a3 / 3 + t * (a4 / 4 + t * (a5 / 5)))))

    def internal_energy(self, temperature: Number) -> Number:
        """Internal energy, counted as the enthalpy is.  [K] -> [J/kg].

        Source: definition, u = h − RT of an ideal gas.

        >>> made = mixture('none', 0.0, 0.0)
        >>> round(made.internal_energy(400.0) - made.internal_energy(300.0), -2)
        72200.0
        """
        return self.enthalpy(temperature) - self.gas_constant * temperature

    def entropy_function(self, temperature: Number) -> Number:
        """The part of the entropy that depends on temperature, ∫cp/T dT; only differences mean anything.

        [K] -> [J/(kg K)].

        Source: NASA TM-4513.

        >>> made = mixture('none', 0.0, 0.0)
        >>> round(made.entropy_function(600.0) - made.entropy_function(300.0), 1)
        707.7
        """
        a1, a2, a3, a4, a5, _, a7 = self._row(temperature)
        t = temperature
        return a7 + a1 * log(t) + t * (a2 + t * (a3 / 2 + t * (a4 / 3 + t * (a5 / 4))))


def mixture(fuel: str, equivalence_ratio: Number, residual: Number) -> Mixture:
    """Air, fuel vapour and residual gas mixed.

    fuel : one of FUELS; "none" is dry air, whatever the other two.
    equivalence_ratio : 0 to 2; a float or an uncertain number.
    residual : mass fraction 0 to 1 of burned gas of the same strength; an array gives one mixture per
        element.  1 is the burned gas itself, so that ``mixture(f, φ, 0).enthalpy(T) -
        mixture(f, φ, 1).enthalpy(T)`` is the heat that burning frees at T, J per kg.

    Burned gas is complete products, with CO and H2 by the water-gas equilibrium where there is
    too little air; nothing dissociated.

    Raises ValueError for a fuel or strength that it does not know.

    Source: stoichiometry; Heywood (1988) sec. 4.6 for rich products (from memory).

    >>> round(mixture('iso-octane', 1.0, 0.0).stoichiometric_air_fuel, 2)
    15.13
    """
    if fuel not in FUELS:
        raise ValueError(f"no such fuel: {fuel}")
    if not 0 <= plain(equivalence_ratio) <= RICHEST:
        raise ValueError("equivalence ratio must be from 0 to 2")
    strength = equivalence_ratio if fuel != DRY else 0.0
    parts = _parts(fuel, plain(strength))
    fresh, burned = _at(fuel, strength)
    return Mixture(
        fuel=fuel,
        equivalence_ratio=strength,
        residual=residual,
        gas_constant=fresh.constant + residual * (burned.constant - fresh.constant),
        cool=tuple(f + residual * (b - f) for f, b in zip(fresh.cool, burned.cool, strict=True)),
        hot=tuple(f + residual * (b - f) for f, b in zip(fresh.hot, burned.hot, strict=True)),
        stoichiometric_air_fuel=parts.air_fuel,
        heating_value=parts.heat,
        fuel_fraction=(1 - residual) * (0.0 if fuel == DRY else strength / (strength + parts.air_fuel)),
    )


@record
class _Gas:
    """One gas by the kilogram: gas constant and polynomial rows, J/(kg K)."""

    constant: Number
    cool: tuple[Number, ...]
    hot: tuple[Number, ...]


@record
class _Parts:
    """Fresh and burned gas of one fuel and strength, and what its fuel needs and frees."""

    fresh: _Gas
    burned: _Gas
    air_fuel: float
    heat: float


def _at(fuel: str, strength: Number) -> tuple[_Gas, _Gas]:
    """Fresh and burned gas; of an uncertain strength, with their slopes along it."""
    middle = _parts(fuel, plain(strength))
    if not is_uncertain(strength):
        return middle.fresh, middle.burned
    below, above = (max(0.0, nominal(strength) + side * _NUDGE) for side in (-1, 1))
    lean, rich = _parts(fuel, below), _parts(fuel, above)
    away = (strength - nominal(strength)) / (above - below)

    def line(at: _Gas, low: _Gas, high: _Gas) -> _Gas:
        return _Gas(
            constant=at.constant + away * (high.constant - low.constant),
            cool=tuple(a + away * (h - b) for a, b, h in zip(at.cool, low.cool, high.cool, strict=True)),
            hot=tuple(a + away * (h - b) for a, b, h in zip(at.hot, low.hot, high.hot, strict=True)),
        )

    return line(middle.fresh, lean.fresh, rich.fresh), line(middle.burned, lean.burned, rich.burned)


@lru_cache(maxsize=64)
def _parts(fuel: str, equivalence_ratio: float) -> _Parts:
    air_fuel, heat = _burning(fuel)
    fresh, burned = _fresh(fuel, equivalence_ratio), _burned(fuel, equivalence_ratio)
    return _Parts(fresh=_gas(fresh), burned=_gas(burned), air_fuel=air_fuel, heat=heat)


def _fresh(fuel: str, equivalence_ratio: float) -> dict[str, float]:
    """Molecules of air and fuel, for one of air."""
    if fuel == DRY:
        return dict(DRY_AIR)
    return {**DRY_AIR, fuel: equivalence_ratio * DRY_AIR["O2"] / SPECIES[fuel].oxygen_needed}


def _burned(fuel: str, equivalence_ratio: float) -> dict[str, float]:
    """The same molecules after burning as far as the air allows."""
    products = dict(DRY_AIR)
    if fuel == DRY:
        return products
    burnt = SPECIES[fuel]
    amount = equivalence_ratio * DRY_AIR["O2"] / burnt.oxygen_needed
    carbon, hydrogen = amount * burnt.atoms.carbon, amount * burnt.atoms.hydrogen / 2
    missing = max(0.0, 2 * (amount * burnt.oxygen_needed - DRY_AIR["O2"]))  # atoms of oxygen
    monoxide = _monoxide(carbon, hydrogen, missing)
    products["O2"] = max(0.0, DRY_AIR["O2"] - amount * burnt.oxygen_needed)
    products |= {"CO": monoxide, "CO2": carbon - monoxide}
    products |= {"H2": missing - monoxide, "H2O": hydrogen - missing + monoxide}
    return products


def _monoxide(carbon: float, hydrogen: float, missing: float) -> float:
    """CO of rich products: smaller root of K (C − x)(D − x) = x (H − D + x), D the oxygen atoms missing."""
    half = (WATER_GAS * (carbon + missing) + hydrogen - missing) / 2
    return (half - sqrt(half**2 - (WATER_GAS - 1) * WATER_GAS * carbon * missing)) / (WATER_GAS - 1)


def _gas(molecules: Mapping[str, float]) -> _Gas:
    """Molecules mixed, by the kilogram."""
    per_kilogram = GAS_CONSTANT / sum(count * SPECIES[name].molar_mass for name, count in molecules.items())

    def row(side: Mapping[str, Row]) -> tuple[float, ...]:
        return tuple(per_kilogram * sum(n * side[name][i] for name, n in molecules.items()) for i in range(7))

    return _Gas(
        constant=per_kilogram * sum(molecules.values()),
        cool=row({name: SPECIES[name].cool for name in molecules}),
        hot=row({name: SPECIES[name].hot for name in molecules}),
    )


def _burning(fuel: str) -> tuple[float, float]:
    """Stoichiometric air per fuel by mass, and lower heating value, J per kg of fuel vapour."""
    if fuel == DRY:
        return nan, 0.0
    burnt = SPECIES[fuel]
    air = sum(share * SPECIES[name].molar_mass for name, share in DRY_AIR.items())
    air_fuel = burnt.oxygen_needed / DRY_AIR["O2"] * air / burnt.molar_mass
    made = burnt.atoms.carbon * _formation("CO2") + burnt.atoms.hydrogen / 2 * _formation("H2O")
    used = _formation(fuel) + burnt.oxygen_needed * _formation("O2")
    return air_fuel, (used - made) / burnt.molar_mass


def _formation(name: str) -> float:
    """Molar enthalpy at 25 °C, J/mol."""
    a1, a2, a3, a4, a5, a6, _ = SPECIES[name].cool
    t = STANDARD_TEMPERATURE
    return GAS_CONSTANT * (a6 + t * (a1 + t * (a2 / 2 + t * (a3 / 3 + t * (a4 / 4 + t * a5 / 5)))))
