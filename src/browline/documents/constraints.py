"""What the schema says of a field beyond its type. Reading a stored document does not check it: an earlier version's
document opens even where a later contract is narrower."""

from typing import Annotated

from msgspec import Meta

from browline.documents.encoding import Number
from browline.findings import KINDS
from browline.quantities.sites import SITES

Count = Annotated[int, Meta(extra_json_schema={"minimum": 0})]
Share = Annotated[Number, Meta(extra_json_schema={"minimum": 0, "maximum": 1})]
Size = Annotated[Number, Meta(extra_json_schema={"minimum": 0})]
Day = Annotated[str, Meta(extra_json_schema={"pattern": r"^\d{4}-\d\d-\d\d$"})]
Moment = Annotated[str, Meta(extra_json_schema={"pattern": r"^\d{4}-\d\d-\d\dT\d\d:\d\d:\d\dZ$"})]
Sentence = Annotated[str, Meta(extra_json_schema={"minLength": 1})]
Sentences = Annotated[tuple[Sentence, ...], Meta(extra_json_schema={"minItems": 1})]
SiteCode = Annotated[str, Meta(extra_json_schema={"enum": list(SITES)})]
KindCode = Annotated[str, Meta(extra_json_schema={"enum": list(KINDS)})]
VERDICTS = ("changed-as-hoped", "no-change-seen", "changed-the-wrong-way", "cannot-tell")
VerdictCode = Annotated[str, Meta(extra_json_schema={"enum": list(VERDICTS)})]
