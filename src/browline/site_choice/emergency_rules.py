"""The rules as they come with the program: what cannot wait, said before any site."""

from browline.site_choice.written import OWN, POOLED, row

EMERGENCY_RULES = [
    row(
        "ill", "emergency", "Looks ill: escalate before you measure, and go on from there.", priority=100,
        when=("looks-ill",), source=OWN, published=POOLED, why="A number can be wrong; what you see is evidence too.",
    ),
    row(
        "infant-fever", "emergency",
        "Under 3 months: {38.0} or more, or looks ill, or feeds poorly, whatever the number: high risk, escalate at "
        "once.",
        priority=97,
        when=("under-3-months",), source="NICE NG143 (read in a secondary source)",
        published="Agrees: guidance for infants of 8 to 60 days also takes {38.0} (Pantell 2021).",
        why="Serious infection is commoner in the first months.",
    ),
    row(
        "infant-cold", "emergency",
        "Under 3 months and cold to the touch, or under {36.0} by armpit: an emergency too. Call the senior doctor for "
        "infants now, and keep the baby warm, skin to skin.",
        priority=96, when=("under-3-months",), source="WHO, temperature of the newborn (read in a secondary source)",
        published="WHO, by armpit: {36.0} to {36.4} mild, {32.0} to {35.9} moderate, under {32.0} severe hypothermia.",
        why="A baby who grows cold may be septic.",
    ),
    row(
        "cold-or-shock", "emergency", "In shock or feared too cold: an emergency. Call now, and measure meanwhile.",
        priority=98, when=("cold-or-shut-down",), source=OWN, why="It is treated before it is measured well.",
    ),
    row(
        "neutropenic-fever", "emergency",
        "Fever in neutropenia is an emergency: oral {38.3} once, {38.0} for an hour, or looking ill with any number.",
        priority=95, when=("neutropenia",), source="neutropenic fever definitions (secondary source)",
        published="Some texts say over {38.0}, others from {38.0} on. The armpit reads low.",
        why="It is treated without delay.",
    ),
]  # fmt: skip
