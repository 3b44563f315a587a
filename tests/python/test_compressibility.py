"""Real gas against reference equations, as tabulated and as a library of them computes them here.

`validation/compressibility.md` shows where this library is worst.
"""

from __future__ import annotations

import importlib.util
from pathlib import Path
from types import ModuleType

import pytest
import upline
from reference.data import rows
from upline import _core

VALIDATION = Path(__file__).parents[2] / "validation"
ATMOSPHERE = 1.01325  # bar
# Off the grid of the table, at pressures of cylinders.
MOMENTS = [(4.0, 3.0), (7.0, 232.0), (18.0, 137.0), (37.0, 206.0), (48.0, 299.0)]  # degrees C, bar


def tool(name: str) -> ModuleType:
    path = VALIDATION / "tools" / f"{name}.py"
    spec = importlib.util.spec_from_file_location(name, path)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


# ---- the page ------------------------------------------------------------------------------------


def test_the_page_is_what_its_script_writes() -> None:
    written = (VALIDATION / "compressibility.md").read_text(encoding="utf-8")
    assert written == tool("make_compressibility_report").report()


def test_the_page_hides_nothing() -> None:
    # Counted here from the tables themselves.
    text = (VALIDATION / "compressibility.md").read_text(encoding="utf-8")
    wide = [
        row
        for row in rows("compressibility")
        if 0 <= float(row["temperature_C"]) <= 50 and row["known_off"]
    ]
    assert len(wide) == 6  # and one whose content alone is beyond 1 %
    for row in wide:
        place = f"| {row['gas']} | {row['temperature_C']} °C, {row['pressure_bar']} bar | "
        assert f"{place}{100 * float(row['known_off']):+.2f} |" in text
    assert text.index("## Outside 1 %") < text.index("## The worst of each gas")
    for name in {row["gas"] for row in rows("compressibility")}:
        assert text.count(f"| {name} | ") >= 3
    for name in ("oxygen", "nitrogen", "helium", "air"):
        count = sum(row["gas"] == name for row in rows("compressibility_handbook"))
        assert f"| {name} | {count} | " in text


@pytest.mark.parametrize("row", rows("compressibility_handbook"), ids=lambda row: row["gas"])
def test_handbooks(row: dict[str, str]) -> None:
    mixes = {"oxygen": (1.0, 0.0), "nitrogen": (0.0, 0.0), "helium": (0.0, 1.0), "air": (0.21, 0.0)}
    z = _core.compressibility(
        *mixes[row["gas"]], float(row["pressure_bar"]), float(row["temperature_C"])
    )
    assert z == pytest.approx(float(row["z"]), abs=float(row["tol"]))


# ---- the reference equations, asked now ----------------------------------------------------------


@pytest.fixture(scope="module")
def reference() -> ModuleType:
    pytest.importorskip("CoolProp")
    return tool("make_compressibility")


def density(reference: ModuleType, gas: tuple[str, float, float], celsius: float, bar: float):
    """Molar density [mol/m3], and that of an ideal gas over it."""
    state, _ = reference.state_of(*gas)
    state.specify_phase(reference.CP.iphase_gas)
    state.update(reference.CP.PT_INPUTS, bar * 1e5, celsius + 273.15)
    rho = state.rhomolar()
    return rho, bar * 1e5 / (rho * state.gas_constant() * (celsius + 273.15))


def test_the_table_is_what_the_reference_gives(reference: ModuleType) -> None:
    table = rows("compressibility")
    assert [one[0] for one in reference.GASES] == list(dict.fromkeys(row["gas"] for row in table))
    for row in table[::37]:
        gas = (row["gas"], float(row["oxygen"]), float(row["helium"]))
        _, z = density(reference, gas, float(row["temperature_C"]), float(row["pressure_bar"]))
        # Half a unit of the last digit; another version may move a few parts in a million.
        assert z == pytest.approx(float(row["z"]), abs=3e-6)


def test_factors_and_contents_off_the_grid(reference: ModuleType) -> None:
    for gas in reference.GASES:
        name, oxygen, helium = gas
        stated = 0.0115 if name == "20/80" else 0.01  # helium and oxygen alone: see the page
        for celsius, bar in MOMENTS:
            full, z = density(reference, gas, celsius, bar)
            assert _core.compressibility(oxygen, helium, bar, celsius) == pytest.approx(
                z, rel=stated
            )
            if name in ("nitrogen", "helium"):
                continue  # nobody breathes them, so no cylinder holds them
            empty, _ = density(reference, gas, celsius, ATMOSPHERE)
            litres = 12 * (full - empty) * 8.314472 * (celsius + 273.15) / 1e5  # at 1 bar
            mix = upline.Gas(oxygen=oxygen, helium=helium)
            cylinder = upline.Cylinder(12, bar - ATMOSPHERE, mix, celsius)
            assert cylinder.content == pytest.approx(litres, rel=stated)
