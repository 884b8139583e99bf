"""Questions about the scan itself, as they come with the program."""

from browline.materials.question_row import question_row

MEASURING = [
    question_row(
        "wait", "How long do I wait?",
        "About half a minute before a repeat, a minute after uncovering, ten minutes when drenched or just come in. "
        "For a reading by mouth 15 to 30 minutes after a drink; never wait to escalate.",
        trade="Repeat about 30 s; uncovered about 1 min; drenched about 10 min.",
        published="From the cold: even after 10 min indoors. Mouth: 15 min after a cold drink, 23 after a hot one; an "
        "older thesis says 30.",
        by="150 children coming in from the cold; drinks, PubMed 11606822; older thesis",
        apart="For 30 s and 1 min nothing is published; for coming in from the cold the study says 10 min where advice "
        "with instruments says 15 to 30.",
        also="repeat again minutes seconds drink coffee cold outside",
    ),
    question_row(
        "bandage", "What if the head is bandaged?",
        (
            "When the head is bandaged or hurt and the patient is awake, read by mouth; after an injury, a burn or an "
            "operation of the head the place behind the ear is never read on its own. Always escalate an injured head, "
            "whatever the number shows."
        ),
        trade="Only where the instrument’s instructions name them: the groin; else the side of the chest, "
        "in a band 10 cm wide.",
        published="Mouth or rectum come before armpit, ear and forehead where the number decides treatment; for groin "
        "and chest no figure was found.",
        by="critical-care fever guideline, Crit Care Med 2023;51:1570 (secondary source)",
        apart="The trade goes to another place on the skin, published guidance to another route.",
        also="bandaged covered helmet cap dressing groin chest out of reach",
    ),
    question_row(
        "neck", "Why the neck when the forehead is damp?",
        "Sweat that evaporates cools the forehead, so its value is too low. For that reason the skin below "
        "the ear is used, in the way the instrument’s instructions say.",
        trade="Damp: below the ear. Drenched: the next try at the forehead is after 10 min, and another "
        "route is used where that is too late. Neck without forehead: only as the instrument’s "
        "instructions name it; sources disagree.",
        published="After 30 min of heating the gut had risen by {d 0.39} while the temporal reading had fallen by "
        "{d 0.22}. With or without the touch, artery scans were within {d 0.3} of oral on average.",
        by="Low 2007 (16 people); Blake 2019 (abstract)",
        apart="They agree that sweat reads low; published advice disagrees on the touch itself (always, or only when "
        "damp), so the instrument’s instructions decide.",
        also="sweat sweating wet ear earlobe behind",
    ),
    question_row(
        "forehead", "Why the forehead and not the temple?",
        (
            "Over the forehead a vessel runs close under the skin, and blood flows through it steadily, so a scan "
            "across it can pick up its warmth. Move along the path that the instrument’s instructions describe."
        ),
        trade="At the forehead the artery lies 2 mm deep, over bone. Whether the maximum of the scan is "
        "kept: see the instrument’s instructions.",
        published="Depth about 1 mm (secondary source); the frontal branch is 1.24 mm wide on average.",
        by="ultrasound of the superficial temporal artery at 20 MHz, 1993",
        apart="They disagree on the depth, 2 mm against about 1 mm; both put it close enough to be read at the "
        "forehead.",
        also="artery anatomy cheek path straight hairline",
    ),
    question_row(
        "low", "What makes it read low?",
        "Sweat, a dirty lens, a scan too fast, off the path or let go early, a repeat too soon, and cold skin read "
        "low. So does a high fever itself, which is why a normal number never settles it.",
        trade="A damp forehead, a dirty lens, a path off the artery and too quick a repeat read low.",
        published="In fever {d -0.31} on average over nine comparisons, in intensive care {d -0.90}. In rooms of {14} "
        "to {32} the forehead was {d 0.5} under the mouth on average.",
        by="Geijer 2016; Stelfox 2010; forehead and mouth compared in a climate room",
        apart="The trade looks to technique; what is published adds that fever itself reads low.",
        also="sweat dirty cold fast early cosmetics",
    ),
    question_row(
        "high", "What makes it read high?",
        "Covered skin (pillow side, hat, hair, blanket) and heat in the path read high. Uncover or move the heat away, "
        "wait about a minute, and scan the side that was up.",
        trade="A source of warmth in view of the instrument makes the value too high: take it away. So does "
        "covered skin: uncover it and let it settle for 1 min.",
        published="Hot surroundings: estimates from skin off by about {d 1}. Hypothermia in intensive "
        "care: {d 0.66} over the bladder.",
        by="Sensors 2022;22:826; Stelfox 2010 (14 patients)",
        apart="The trade does not name the cold patient, whose forehead is published to read high; for pillow, hat "
        "and hair no size is published.",
        also="pillow hat hair heater warming too warm",
    ),
    question_row(
        "differ", "Why does it differ from an oral or rectal reading?",
        "Each site has its own temperature, and each changes at its own pace. One pair may lie {d 1} apart without "
        "either instrument being wrong, so chart the site and follow one site.",
        trade="Core is about {d 0.5} over oral: mean normal {37.4} against {37.0}.",
        published="Temporal minus reference {d -0.19} on average, single readings from {d -1.16} to {d 0.77}. Mean "
        "rectal {37.04}, oral {36.57}.",
        by="Geijer 2016 (37 studies); Geneva review 2019 (midpoints of its ranges)",
        apart="They agree on about half a degree between core and mouth; they disagree on what is normal, which is "
        "published about {d 0.4} lower, and on trusting one fixed gap.",
        also="mouth rectum sites gap core",
    ),
    question_row(
        "battery", "Is it the battery?",
        "Seldom: look first for damp skin, a dirty lens and a hurried scan. If the display is off, bring a "
        "spare and have the battery changed.",
        trade="One battery gives 15,000 readings: a figure from one maker’s instructions. Below its voltage "
        "limit there is no display (a claim, no source found).",
        published="5,000 to 6,000 readings a set of cells.",
        by="NICE costing for CG47 (2007)",
        apart="They disagree by about three times, for other instruments and other cells; the label of yours decides.",
        also="nine volt 9 V power blank display dead cell",
    ),
    question_row(
        "clean", "How do I clean it?",
        (
            "Clean the lens and the case with what this instrument’s own instructions name for each, as often as they "
            "say. Clean your hands too, and in isolation use the agent that infection prevention names."
        ),
        trade="Case: what infection control allows. Lens: agent and interval stand in the instrument’s "
        "instructions; one example is alcohol, every 14 days. Bleach and quaternary agents "
        "cause lens damage.",
        published="8 of 100 handles carried pathogens; shared armpit probes carried a resistant yeast, odds 6.8 (2.96 "
        "to 15.6). Quaternary wipes crack some plastics.",
        by="doi 10.1016/j.ajic.2017.12.005; N Engl J Med 2018;379:1322; a safety alert on wipes",
        apart="In isolation wiping alone does not do. An agent may be allowed and still crack a plastic, as "
        "the alert on wipes shows: the instrument’s instructions decide.",
        also="wipe bleach disinfect lens alcohol isolation spores probe cover c diff difficile clostridioides",
    ),
    question_row(
        "cover", "Does it need a cover?",
        "Intact skin and no isolation: none unless the instructions want one, and the probe is wiped "
        "between patients. Isolation: an instrument of the patient’s own or a whole-instrument cover, and "
        "the handle is cleaned too.",
        trade="Isolation: an instrument for this patient alone, or a whole-instrument cover. Other "
        "patients: none, and wiped. For both see the instrument’s instructions.",
        published="Spores on 20.8 of 100 rectal handles; 2.71 to 1.76 cases in 1,000 patient days with single-use "
        "thermometers.",
        by="PubMed 1541811",
        apart="They disagree where handles matter: a cover keeps the probe clean, not the handle.",
        also="probe whole-instrument isolation spores c diff difficile clostridioides resistant",
    ),
]  # fmt: skip
