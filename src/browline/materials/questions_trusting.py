"""Questions about what a reading means, as they come with the program."""

from browline.materials.question_row import question_row

TRUSTING = [
    question_row(
        "hand", "Does a hand tell fever?",
        "A hand is worth heeding, and a parent who says the child is hot is to be believed. It is no thermometer: take "
        "a reading, and escalate a patient who looks ill whatever either says.",
        trade="A palm is held to be a poor judge of fever: measure as well.",
        published="Hands found 87.5 of 100 fevers (79.3 to 92.8) and were right about 54.6 of 100 without (38.5 to "
        "69.9). Mothers: 89.2 and 50.",
        by="caregivers, 11 studies pooled; mothers, 10 studies, Teng 2008; NICE NG143 1.1.6",
        apart="They disagree in part. A hand finds most fevers, more than is taught; but in almost half of "
        "those without fever it says that there is one.",
        also="palpation touch feel hot parent mother",
    ),
    question_row(
        "two", "Two readings differ: which do I believe?",
        "Neither yet: check lens, sweat, side and cover, wait half a minute, repeat, then take a second instrument. "
        "Until it is settled go by the worse one; two that agree may still both be off, so ask another route if it "
        "matters.",
        trade="A repeat without a pause, damp skin or technique is suspected first. Another instrument is "
        "taken straight away. The slower site is read again after 1 h; nobody is kept waiting for it.",
        published="Against the pulmonary artery 20 of 100 temporal readings were off by more than {d 0.5}; "
        "reproducibility {d 0.53} (median of studies).",
        by="Lawson 2007 (60 adults); Pecoraro 2021 (46 studies)",
        apart="The trade looks for a cause; what is published says that half a degree apart is ordinary without one.",
        also="doubt disagree repeat second instrument",
    ),
    question_row(
        "rule-out", "It says normal, but the patient looks ill?",
        "Escalate: a normal reading rules nothing out. Take a reading by another route if it does not hold anybody up.",
        trade="The patient comes before the number.",
        published="The forehead finds 72 of 100 fevers (61 to 81) and is right about 94 of 100 without (87 to 97).",
        by="Geijer 2016 (37 studies, 5,026 patients)",
        apart="They agree.",
        also="ill unwell escalate missed normal sepsis",
    ),
    question_row(
        "add", "May I add a degree to make it core?",
        "No: chart what it showed, with unit and site. The gap changes with the fever, and some instruments have "
        "already added it.",
        trade="Chart as measured. The same instrument may be set to show core or oral, about {d 0.4} apart.",
        published="Temporal minus bladder {d 0.66} in hypothermia, {d -0.35} in between, {d -0.90} in fever.",
        by="Stelfox 2010 (14 patients, 736 pairs)",
        apart="They agree that nothing is added; the trade’s fixed half degree between core and mouth does not hold "
        "in one patient.",
        also="convert correction offset core mode",
    ),
    question_row(
        "normal", "What is normal?",
        "There is no single number: it depends on the site, the hour and the person. Compare with the patient’s own "
        "earlier readings at the same site.",
        trade="Mean normal {37.0} by mouth, {37.4} core.",
        published="Mean by mouth {36.8}, upper limit {37.2} in the early morning and {37.7} over the day; "
        "{d 0.23} lower from 60 years on.",
        by="Mackowiak 1992 (148 adults); Geneva review 2019 (36 papers)",
        apart="They disagree by about {d 0.2} by mouth; newer figures are lower still.",
        also="range 37 average elderly older",
    ),
    question_row(
        "evening", "Does the hour matter?",
        "Yes: temperature is lowest towards six in the morning and highest in the late afternoon. A fever is found "
        "more often in the evening, so compare like hours.",
        trade="Warmer in the evening.",
        published="About {d 0.5} between morning and afternoon. Fever 2.5 times as often from 19 to 21 h as from 7 to "
        "9 h (2.0 to 3.3).",
        by="Mackowiak 1992; charted fevers by hour (one author linked to a maker)",
        apart="They agree.",
        also="time day night morning",
    ),
    question_row(
        "children", "What about babies and young children?",
        "Under 5 years local policy decides. Published guidance names armpit or ear and no infrared artery scanner, so "
        "a forehead scan at that age needs a local decision.",
        trade="In infants a scan of about 5 cm, or a touch over the artery, is enough.",
        published="Under 4 weeks: armpit, electronic. 4 weeks to 5 years: armpit (electronic or chemical dot) or "
        "infrared ear; mouth and rectum not routinely; chemical forehead strips unreliable.",
        by="NICE NG143 1.1.1 to 1.1.6",
        apart="They disagree: the trade scans infants, the guideline does not name the instrument. In the United "
        "States a rectal reading is usual under 3 years.",
        also="infant newborn neonate baby child paediatric pediatric",
    ),
    question_row(
        "lag", "The fever was treated: why is the rectal reading still high?",
        "The rectum follows the core late, so it can stay high while the core already falls. A later "
        "reading there tells the trend; a patient who looks ill is escalated now.",
        trade="Hours in adults; 60 to 90 min in the first year of life.",
        published="After exercise in heat the rectum was about {d 0.8} behind the oesophagus. In 45 infants the "
        "temporal reading had fallen more than the rectal at 60 and 90 min.",
        by="Gagnon 2010; PubMed 15192635",
        apart="They agree in infants; for adults published time constants are tens of minutes rather than hours (not "
        "looked up again).",
        also="antipyretic paracetamol acetaminophen cooling rectum delay",
    ),
    question_row(
        "skin-colour", "Does skin colour matter?",
        "It may: in one large study forehead scans found fewer fevers in Black patients than the mouth did, and others "
        "dispute it. Where a fever is suspected, confirm by another site whoever the patient is.",
        published="Black patients: fever in 10.1 of 100 by forehead, 13.2 by mouth (odds 0.74, 0.61 to 0.90). White "
        "patients: 10.8 and 10.2.",
        by="Bhavani 2022 (4,375 patients); disputed by scientists of a maker, JAMA 2023;329:342",
        apart="The trade has no rule; the published studies disagree with one another.",
        also="color race black white equity",
    ),
    question_row(
        "not-taken", "What do I chart when I could not take it?",
        "“Not taken”, with the reason: it is a full answer. If no thermometer was at hand, say so, and a spare is "
        "brought.",
        trade="What is not measured is not charted as a value.",
        published="Exactly {36.0} was charted in excess: 11.3 of every 100 readings (10.6 to 12.1).",
        by="Jackson 2023 (4.4 million records of one hospital group, by ear)",
        apart="They agree on what should be; the figure shows how often a usual value stands in the chart instead.",
        also="refused asleep missing blank default",
    ),
    question_row(
        "show", "I was at the class: why do I have to show it?",
        "Being there is not the same as doing it, and a skill fades sooner than the knowledge. Showing it once with "
        "somebody beside you takes two minutes and is there to help.",
        trade="A return demonstration is the usual proof.",
        published="Of people trained in resuscitation 37 of 100 passed after 3 months, 14 after 12. No figure was "
        "found for artery scanning.",
        by="review of resuscitation skills, 2012 (secondary source)",
        apart="They agree for other skills; how fast this one fades is not known.",
        also="competence demonstration test refresh attendance",
    ),
]  # fmt: skip
