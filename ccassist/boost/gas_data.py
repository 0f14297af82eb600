"""Thermodynamic data of the gases of a cylinder charge: the NASA 7-coefficient polynomials.

Source: B. J. McBride, S. Gordon and M. A. Reno, Coefficients for Calculating
Thermodynamic and Transport Properties of Individual Species, NASA TM-4513
(1993), public data.  Each species has two rows, below and above 1000 K, valid
from 200 to 6000 K:

    cp/R = a1 + a2 T + a3 T² + a4 T³ + a5 T⁴
    h/RT = a1 + a2 T/2 + a3 T²/3 + a4 T³/4 + a5 T⁴/5 + a6/T
    s/R  = a1 ln T + a2 T + a3 T²/2 + a4 T³/3 + a5 T⁴/4 + a7

Enthalpies count from the elements at 25 °C; entropies are at 1 bar.
"""

from __future__ import annotations

from dataclasses import dataclass

GAS_CONSTANT = 8.31446261815324  # J/(mol K), exact since the SI of 2019
BREAK = 1000.0  # K, where the row of each polynomial changes

# kg/mol: IUPAC abridged standard atomic weights (2021)
ATOMIC_WEIGHTS = {"carbon": 0.012011, "hydrogen": 0.001008, "oxygen": 0.015999, "nitrogen": 0.014007, "argon": 0.03995}

# Mole fractions of dry air, rounded; the traces (carbon dioxide among them) are counted as nitrogen
DRY_AIR = {"O2": 0.2095, "N2": 0.7812, "Ar": 0.0093}

Row = tuple[float, float, float, float, float, float, float]


@dataclass(frozen=True, kw_only=True)
class Atoms:
    """Atoms of one molecule."""

    carbon: int = 0
    hydrogen: int = 0
    oxygen: int = 0
    nitrogen: int = 0
    argon: int = 0


@dataclass(frozen=True, kw_only=True)
class Species:
    """One gas: its atoms, and its polynomial below (``cool``) and above (``hot``) 1000 K."""

    atoms: Atoms
    cool: Row
    hot: Row

    @property
    def molar_mass(self) -> float:
        """kg/mol."""
        return sum(weight * float(getattr(self.atoms, name)) for name, weight in ATOMIC_WEIGHTS.items())

    @property
    def oxygen_needed(self) -> float:
        """Molecules of O2 that burn one of it to CO2 and H2O."""
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
