"""The sites of readings as a nurse says them."""

PLACES: dict[str, str] = {
    "temporal": "forehead",
    "oral": "mouth",
    "rectal": "rectum",
    "axillary": "armpit",
    "tympanic": "ear",
    "bladder": "bladder",
    "oesophageal": "oesophagus",
    "nasopharyngeal": "nasopharynx",
    "intravascular": "blood",
    "behind-ear": "behind the ear",
    "femoral": "groin",
    "chest-side": "side of the chest",
}
