"""Who may do what: the four ways of holding a right to the pages, in the words of the house."""

EDUCATOR = "educator"
ASSESSOR = "assessor"
VIEWER = "viewer"
PERSON = "person"

ROLES: dict[str, str] = {
    EDUCATOR: "teaches, keeps every record, and is the only one who changes rules",
    ASSESSOR: "observes return demonstrations while entitled, and does instrument rounds",
    VIEWER: "sees how many can do it by ward, shift and role; no names, small numbers withheld",
    PERSON: "sees the own record, and what is handed out",
}
