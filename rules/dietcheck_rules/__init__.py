"""The rules that ship with dietcheck, registered by entry point as anybody's are."""

from importlib.resources import files

from dietcheck import __version__
from dietcheck.contract import CONTRACT, Pack, hookimpl
from dietcheck_rules import (
    amount_slip,
    back_dated,
    batch_limit,
    body_mass_known,
    browse_identified,
    calcium_to_phosphorus,
    change_pace,
    composition_known,
    concentrate_ceiling,
    diet_balance_by_class,
    energy_for_maintenance,
    fat_and_whole_prey,
    feed_for_its_species,
    feed_origin,
    fish_thiamin_and_e,
    fruit_as_treat,
    iron_ceiling,
    limit_has_evidence,
    limit_loosened,
    look_alike_food,
    nutrient_range,
    portion_for_body_mass,
    reach,
    required_supplement,
    rota_complete,
    roughage_floor,
    sign_off,
    sugar_ceiling,
    supplement_dropped,
    supplement_stack,
    swap_equivalence,
    toxic_item,
    unknown_food,
    vitamin_c_floor,
    vitamin_d3_source,
)

RULES = (
    amount_slip,
    back_dated,
    batch_limit,
    body_mass_known,
    browse_identified,
    calcium_to_phosphorus,
    change_pace,
    composition_known,
    concentrate_ceiling,
    diet_balance_by_class,
    energy_for_maintenance,
    fat_and_whole_prey,
    feed_for_its_species,
    feed_origin,
    fish_thiamin_and_e,
    fruit_as_treat,
    iron_ceiling,
    limit_has_evidence,
    limit_loosened,
    look_alike_food,
    nutrient_range,
    portion_for_body_mass,
    reach,
    required_supplement,
    rota_complete,
    roughage_floor,
    sign_off,
    sugar_ceiling,
    supplement_dropped,
    supplement_stack,
    swap_equivalence,
    toxic_item,
    unknown_food,
    vitamin_c_floor,
    vitamin_d3_source,
)


@hookimpl
def pack() -> Pack:
    """The rules and their bibliography."""
    return Pack(
        name="dietcheck_rules",
        version=__version__,
        contract=CONTRACT,
        rules=RULES,
        sources=files(__name__) / "sources.yaml",
    )
