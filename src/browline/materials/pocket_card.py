"""The pocket card, and the poster made from the same rows: steps, waits, the fever line, when to doubt, charting."""

from typing import Any

from browline.controlled import Field, Layout

PARTS: dict[str, str] = {
    "step": "Step",
    "wait": "Wait",
    "fever": "Fever line",
    "doubt": "When to doubt it",
    "chart": "Chart",
}
LAYOUT = Layout(
    kind="pocket-card",
    title="Pocket card and poster",
    row="line",
    head=(
        Field("title", "Title", needed=True),
        Field("call", "Whom to call", help="An extension or a role. Empty: left out."),
    ),
    fields=(
        Field("id", "Name", needed=True, help="One short word; it names the line in the history."),
        Field("part", "Part of the card", "choice", needed=True, choices=PARTS),
        Field(
            "says",
            "What it says",
            "long",
            needed=True,
            help="Write {38.0} for a temperature, {d 0.5} for a difference and {fever} for the fever line in force: "
            "both units are then shown. Few words: eight cards share a page.",
        ),
        Field("by_instructions", "Depends on the instrument's instructions", "tick"),
    ),
)


def default() -> dict[str, Any]:
    """The card as it comes with the program: common practice, no source, but for the waits after cold and drinks.

    Those two are published: at least 10 minutes indoors (150 children); 15 minutes after a cold, 23 after a hot drink.
    """
    return {"head": {"title": "Forehead scan", "call": ""}, "rows": [_row(*row) for row in LINES]}


def _row(id: str, part: str, says: str, by_instructions: bool = False) -> dict[str, Any]:
    return {"id": id, "part": part, "says": says, "by_instructions": by_instructions}


LINES: tuple[tuple[Any, ...], ...] = (
    ("look", "step", "Right patient. Looks ill? Escalate first, then measure."),
    ("site", "step", "Forehead dry, bare, the side that was up. If not, use the site card."),
    ("lens", "step", "Lens clean and dry. Wipe or cover as this patient needs."),
    ("start", "step", "Middle of the forehead, probe flat. Button as the instructions say.", True),
    ("scan", "step", "Keep touching the skin. Move level until you reach the hair.", True),
    ("ear", "step", "Damp skin: the place below the ear too, as the instructions say.", True),
    ("read", "step", "Scan over: read the display. Chart it without delay."),
    ("clean", "step", "Wipe the case; the lens only with what it may have."),
    ("again", "wait", "Repeat: about 30 s.", True),
    ("bare", "wait", "After uncovering, or taking heat away: about 1 min."),
    ("drenched", "wait", "Drenched: dry, about 10 min."),
    ("cold", "wait", "From cold or heat: at least 10 min indoors.", True),
    ("drink", "wait", "Mouth after a drink: 15 to 30 min."),
    ("line", "fever", "Fever here: {fever}. A lower reading rules nothing out."),
    ("misfit", "doubt", "It does not fit the patient, or two differ by more than {d 0.5}."),
    ("then", "doubt", "Check lens, sweat, side, cover. Wait. Repeat. Second instrument. Other route."),
    ("meanwhile", "doubt", "Until settled, go by the worse one."),
    ("spare", "doubt", "Instrument in doubt: bring a spare, tag it, send it for a check."),
    ("as-read", "chart", "Value as read, unit, site. Never add a degree."),
    ("not-taken", "chart", "Could not? Chart “not taken” and why."),
)
