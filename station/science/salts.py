"""Acids sold partly or wholly as their salts, and the bicarbonates that make such salts: what a gram of each brings.

A gram becomes acid counted as if free, the strong cation that binds it, water, and what is left: the cation's own mass less
the hydrogen it stands for. The carbonic acid of a bicarbonate leaves as gas once there is acid enough. Calcium is counted
as two monovalent ions: it raises the ionic strength more, and holds on to citrate, tartrate and phosphate. Molar masses from
the IUPAC/CIAAW abridged atomic weights.
"""

from dataclasses import dataclass
from typing import Final

from station.science.acid import ACIDS

_WATER: Final = 18.015
_CARBON_DIOXIDE: Final = 44.009


@dataclass(frozen=True, slots=True)
class AcidSalt:
    """One salt: g/mol, and what a mole of it brings: moles of an acid, of monovalent cation, of water, of gas that leaves."""

    name: str
    molar_mass: float
    cation_mol: int
    acid: str = ""
    acid_mol: int = 0
    potassium: bool = False
    water_mol: int = 0
    gas_mol: int = 0

    @property
    def acid_g_per_g(self) -> float:
        """Grams of acid, as if free, that a gram of the salt brings."""
        return self.acid_mol * ACIDS[self.acid].molar_mass / self.molar_mass if self.acid else 0.0

    @property
    def cation_mol_per_g(self) -> float:
        return self.cation_mol / self.molar_mass

    @property
    def potassium_mol_per_g(self) -> float:
        return self.cation_mol_per_g if self.potassium else 0.0

    @property
    def water_g_per_g(self) -> float:
        return self.water_mol * _WATER / self.molar_mass

    @property
    def gas_g_per_g(self) -> float:
        """Grams of carbon dioxide that a gram of the salt gives off to acid."""
        return self.gas_mol * _CARBON_DIOXIDE / self.molar_mass

    @property
    def rest_g_per_g(self) -> float:
        """What a gram weighs besides its acid, water and gas: the cation in place of hydrogen."""
        return 1.0 - self.acid_g_per_g - self.water_g_per_g - self.gas_g_per_g


_ALL: Final = (
    AcidSalt("trisodium-citrate", 258.069, 3, "citric", 1),
    AcidSalt("trisodium-citrate-dihydrate", 294.099, 3, "citric", 1, water_mol=2),
    AcidSalt("monosodium-citrate", 214.105, 1, "citric", 1),
    AcidSalt("tripotassium-citrate", 306.393, 3, "citric", 1, potassium=True),
    AcidSalt("tripotassium-citrate-monohydrate", 324.408, 3, "citric", 1, potassium=True, water_mol=1),
    AcidSalt("potassium-bitartrate", 188.177, 1, "tartaric", 1, potassium=True),
    AcidSalt("sodium-lactate", 112.060, 1, "lactic", 1),
    AcidSalt("calcium-lactate", 218.218, 2, "lactic", 2),
    AcidSalt("calcium-lactate-pentahydrate", 308.293, 2, "lactic", 2, water_mol=5),
    AcidSalt("monopotassium-phosphate", 136.084, 1, "phosphoric", 1, potassium=True),
    # Counted as the hydroxide they become when the gas has left: a mole of water besides.
    AcidSalt("sodium-bicarbonate", 84.006, 1, water_mol=1, gas_mol=1),
    AcidSalt("potassium-bicarbonate", 100.114, 1, potassium=True, water_mol=1, gas_mol=1),
)
ACID_SALTS: Final[dict[str, AcidSalt]] = {salt.name: salt for salt in _ALL}
