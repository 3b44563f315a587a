"""Write validation/data/compressibility.csv: how far real gases depart from the ideal one.

    python validation/tools/make_compressibility.py

Needs the package CoolProp, a general library of fluid properties that nothing else here uses. It
evaluates the reference equation of each gas, and of air with its argon; mixes by its own mixture
model. The library is not involved.
"""

from __future__ import annotations

from importlib.metadata import version
from pathlib import Path

import CoolProp.CoolProp as CP

TARGET = Path(__file__).parents[1] / "data" / "compressibility.csv"

HEAD = f"""\
# What:   compressibility factor of gases and mixes at absolute pressures.
# Origin: CoolProp {version("CoolProp")}, by validation/tools/make_compressibility.py. Pure gases by
#         their reference equations: nitrogen Span et al. 2000, oxygen Schmidt and Wagner 1985 in
#         the form of Stewart et al. 1991, helium Ortiz-Vega et al. 2019. Air by that of Lemmon et
#         al. 2000 for real air, its argon included, which this library counts as nitrogen. Mixes
#         by these equations of the pure gases, mixed in the form of Kunz and Wagner 2012 with the
#         reducing parameters that CoolProp ships.
# How far this is independent: the equations of the pure gases and of air are others than this
#         library's. The reducing parameters of the pairs are the same publication's, so the rows
#         of mixes check the equations within a mix and the arithmetic, not those parameters; air
#         checks the pair of nitrogen and oxygen.
# Helium with oxygen: both take plain means for this pair, so its rows compare two estimates.
# Tol:    relative, 1 %: the accuracy that this library states. known_off is not empty where the
#         library misses it, and then says by how much (library over row, less 1): heliox with 80 %
#         helium near 300 bar, where the two estimates part.
"""

GASES: list[tuple[str, float, float]] = [  # name, oxygen, helium
    ("nitrogen", 0.0, 0.0),
    ("oxygen", 1.0, 0.0),
    ("helium", 0.0, 1.0),
    ("air", 0.21, 0.0),
    ("32", 0.32, 0.0),
    ("36", 0.36, 0.0),
    ("50", 0.5, 0.0),
    ("80", 0.8, 0.0),
    ("21/35", 0.21, 0.35),
    ("18/45", 0.18, 0.45),
    ("15/55", 0.15, 0.55),
    ("10/70", 0.1, 0.7),
    ("25/25", 0.25, 0.25),
    ("50/25", 0.5, 0.25),
    ("20/80", 0.2, 0.8),
    ("50/50", 0.5, 0.5),
]
TEMPERATURES = (-20, 0, 10, 20, 30, 40, 50, 70)  # degrees C
PRESSURES = (1, 5, 10, 25, 50, 75, 100, 125, 150, 175, 200, 225, 250, 275, 300)  # bar, absolute

# What the library gives there over the row, less 1; see HEAD.
KNOWN_OFF = {
    ("20/80", -20, 275): "-0.0103",
    ("20/80", -20, 300): "-0.0116",
    ("20/80", 0, 300): "-0.0112",
    ("20/80", 10, 300): "-0.0111",
    ("20/80", 20, 300): "-0.0109",
    ("20/80", 30, 300): "-0.0107",
    ("20/80", 40, 300): "-0.0105",
    ("20/80", 50, 300): "-0.0104",
    ("20/80", 70, 300): "-0.0101",
}


def state_of(name: str, oxygen: float, helium: float) -> tuple[CP.AbstractState, str]:
    """Return the model of a gas, and the words for it."""
    if name == "air":
        return CP.AbstractState("HEOS", "Air"), "equation of air"
    parts = {"Nitrogen": 1.0 - oxygen - helium, "Oxygen": oxygen, "Helium": helium}
    present = {fluid: x for fluid, x in parts.items() if x > 1e-9}
    state = CP.AbstractState("HEOS", "&".join(present))
    if len(present) == 1:
        return state, "equation of the pure gas"
    state.set_mole_fractions(list(present.values()))
    return state, "mixture model"


def main() -> None:
    """Write the table."""
    with TARGET.open("w", encoding="utf-8", newline="\n") as file:
        file.write(HEAD)
        file.write("gas,oxygen,helium,temperature_C,pressure_bar,z,tol_rel,known_off,origin\n")
        for name, oxygen, helium in GASES:
            state, origin = state_of(name, oxygen, helium)
            state.specify_phase(CP.iphase_gas)
            for temperature in TEMPERATURES:
                for pressure in PRESSURES:
                    kelvin, pascal = temperature + 273.15, pressure * 1e5
                    state.update(CP.PT_INPUTS, pascal, kelvin)
                    z = pascal / (state.rhomolar() * state.gas_constant() * kelvin)
                    known = KNOWN_OFF.get((name, temperature, pressure), "")
                    file.write(
                        f"{name},{oxygen:g},{helium:g},{temperature},{pressure},{z:.6f},0.01,"
                        f"{known},{origin}\n"
                    )


if __name__ == "__main__":
    main()
