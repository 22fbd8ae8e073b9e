import pytest

from station.science.acid import ACIDS
from station.science.electrolyte import ph
from station.science.salts import ACID_SALTS, AcidSalt
from station.science.titration import titratable

# IUPAC/CIAAW abridged atomic weights.
ATOMS = {"C": 12.011, "H": 1.008, "O": 15.999, "P": 30.974, "Na": 22.990, "K": 39.098, "Ca": 40.078}


@pytest.mark.parametrize(
    ("name", "atoms"),
    [
        ("trisodium-citrate", {"C": 6, "H": 5, "O": 7, "Na": 3}),
        ("trisodium-citrate-dihydrate", {"C": 6, "H": 9, "O": 9, "Na": 3}),
        ("monosodium-citrate", {"C": 6, "H": 7, "O": 7, "Na": 1}),
        ("tripotassium-citrate", {"C": 6, "H": 5, "O": 7, "K": 3}),
        ("tripotassium-citrate-monohydrate", {"C": 6, "H": 7, "O": 8, "K": 3}),
        ("potassium-bitartrate", {"C": 4, "H": 5, "O": 6, "K": 1}),
        ("sodium-lactate", {"C": 3, "H": 5, "O": 3, "Na": 1}),
        ("calcium-lactate", {"C": 6, "H": 10, "O": 6, "Ca": 1}),
        ("calcium-lactate-pentahydrate", {"C": 6, "H": 20, "O": 11, "Ca": 1}),
        ("monopotassium-phosphate", {"H": 2, "O": 4, "P": 1, "K": 1}),
        ("sodium-bicarbonate", {"C": 1, "H": 1, "O": 3, "Na": 1}),
        ("potassium-bicarbonate", {"C": 1, "H": 1, "O": 3, "K": 1}),
    ],
)
def test_a_mole_of_salt_weighs_its_atoms_and_brings_their_charge(name: str, atoms: dict[str, int]) -> None:
    salt = ACID_SALTS[name]
    assert salt.molar_mass == pytest.approx(sum(ATOMS[atom] * count for atom, count in atoms.items()), abs=0.003)
    assert salt.cation_mol == atoms.get("Na", 0) + atoms.get("K", 0) + 2 * atoms.get("Ca", 0)
    assert salt.potassium == ("K" in atoms)


def test_every_salt_is_found_by_its_name() -> None:
    assert len(ACID_SALTS) == 12
    assert all(name == salt.name for name, salt in ACID_SALTS.items())


@pytest.mark.parametrize("salt", ACID_SALTS.values(), ids=ACID_SALTS)
def test_what_is_left_of_a_gram_is_the_cation_less_its_hydrogen(salt: AcidSalt) -> None:
    element = {"calcium": ATOMS["Ca"] / 2.0, "potassium": ATOMS["K"]}
    cation = element["calcium"] if "calcium" in salt.name else element["potassium"] if salt.potassium else ATOMS["Na"]
    assert salt.rest_g_per_g == pytest.approx(salt.cation_mol_per_g * (cation - ATOMS["H"]), abs=0.0002)


def test_a_gram_of_trisodium_citrate() -> None:
    salt = ACID_SALTS["trisodium-citrate"]
    assert salt.acid_g_per_g == pytest.approx(192.124 / 258.069)
    assert salt.cation_mol_per_g == pytest.approx(3.0 / 258.069)
    assert salt.potassium_mol_per_g == salt.water_g_per_g == salt.gas_g_per_g == 0.0


def test_a_gram_of_soda_gives_off_half_its_weight() -> None:
    assert ACID_SALTS["sodium-bicarbonate"].gas_g_per_g == pytest.approx(0.524, abs=0.001)
    assert ACID_SALTS["sodium-bicarbonate"].acid_g_per_g == 0.0


def test_potassium_is_told_from_other_cations() -> None:
    tartar = ACID_SALTS["potassium-bitartrate"]
    assert tartar.potassium_mol_per_g == tartar.cation_mol_per_g == pytest.approx(1.0 / 188.177)


@pytest.mark.parametrize(
    ("name", "left"), [("trisodium-citrate", 0), ("monosodium-citrate", 2), ("potassium-bitartrate", 1), ("calcium-lactate", 0)]
)
def test_a_salt_takes_the_base_its_last_protons_ask(name: str, left: int) -> None:
    salt = ACID_SALTS[name]
    grams = 2.0
    acids = {salt.acid: grams * salt.acid_g_per_g / ACIDS[salt.acid].molar_mass}
    base = titratable(acids, grams * salt.cation_mol_per_g)
    assert base == pytest.approx(left * grams / salt.molar_mass * salt.acid_mol, abs=0.006 * acids[salt.acid])


def test_soda_in_citric_is_sodium_citrate() -> None:
    soda, citrate = ACID_SALTS["sodium-bicarbonate"], ACID_SALTS["trisodium-citrate"]
    by_soda = ph({"citric": 0.02}, 0.06 * soda.molar_mass * soda.cation_mol_per_g)
    by_salt = ph({"citric": 0.02}, 0.02 * citrate.molar_mass * citrate.cation_mol_per_g)
    assert by_soda.ph == pytest.approx(by_salt.ph)
