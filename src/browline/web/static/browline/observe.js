// The page on which a demonstration is observed: choosing the person, what the marks come to, what is still asked.
// What is saved goes to the outbox (outbox.js); an unfinished one is kept on this phone until it is saved.
"use strict";

(() => {
  const { people, steps, sentences, days_between: daysBetween } = JSON.parse(document.getElementById("embedded").textContent);
  const at = (id) => document.getElementById(id);
  const form = at("observe");
  const SHOWN = 6;
  const DRAFT = `browline-draft:${form.dataset.outboxAs}`;
  const seenHere = new Map(); // Who was recorded on this page: what came of it, and from when the next try is.
  let chosen = null;

  // ---- who is observed

  const said = {
    0: "On duty within twelve hours and not signed off come first. Type to find anybody.",
    1: "Those not signed off come first. Type to find anybody.",
    2: "Everybody is signed off. Type to find anybody.",
  };

  function matching(typed) {
    const words = typed.toLowerCase().split(/\s+/).filter(Boolean);
    const fits = (one) => words.every((w) => `${one.name} ${one.identifier} ${one.ward}`.toLowerCase().includes(w));
    return words.length ? people.filter(fits) : people;
  }

  function about(one) {
    const parts = [one.identifier === one.name ? "" : one.identifier, one.role, one.ward];
    if (one.group === 0) parts.push("on duty soon");
    if (one.until) parts.push(`signed off until ${one.until}`);
    if (one.next && one.next.number > 1) parts.push(`try ${one.next.number}`);
    if (seenHere.has(one.id)) parts.push("recorded on this phone");
    return parts.filter(Boolean).join(" · ");
  }

  function row(one) {
    const button = document.createElement("button");
    const under = document.createElement("span");
    button.type = "button";
    button.textContent = one.name;
    under.className = "small";
    under.textContent = about(one);
    button.append(under);
    button.addEventListener("click", () => choose(one));
    const item = document.createElement("li");
    item.append(button);
    return item;
  }

  function list() {
    const found = matching(at("search").value);
    const more = found.length - SHOWN;
    at("people").replaceChildren(...found.slice(0, SHOWN).map(row));
    at("first-said").textContent = !people.length
      ? "The staff list is empty. Use “Not on this list”."
      : !found.length
        ? "Nobody of this name on the list."
        : more > 0
          ? `${said[found[0].group]} ${more} more.`
          : said[found[0].group];
  }

  // The day it is seen, by this phone's clock.
  function day() {
    const typed = form.elements.at_local.value;
    return (typed || outbox.moment()).slice(0, 10);
  }

  function later(from, days) {
    const [year, month, date] = from.split("-").map(Number);
    return new Date(Date.UTC(year, month - 1, date + days)).toISOString().slice(0, 10);
  }

  function earliest(one) {
    const here = seenHere.get(one.id)?.earliest ?? "";
    const known = one.next?.earliest ?? "";
    return here > known ? here : known;
  }

  // As the book writes a day: 07 Mar 2026.
  function words(iso) {
    const [year, month, date] = iso.split("-");
    return `${date} ${"Jan Feb Mar Apr May Jun Jul Aug Sep Oct Nov Dec".split(" ")[month - 1]} ${year}`;
  }

  function notes(one) {
    const next = one.next;
    const told = [];
    if (seenHere.has(one.id)) told.push(`Recorded on this phone already: ${seenHere.get(one.id).said}`);
    if (next?.again) told.push(`Try ${next.number}. Left from last time: ${next.again}.`);
    if (earliest(one) > day()) told.push(`The next try is from ${words(earliest(one))} on. Practise together today.`);
    if (next?.beyond) told.push("The last try of the local rule is behind. Agree with the ward’s manager how to go on.");
    else if (next?.second) told.push("This is the last try: a second assessor has to watch with you.");
    return told;
  }

  function choose(one) {
    chosen = one;
    form.elements.person.value = one ? one.id : "";
    at("choose").hidden = Boolean(one);
    at("chosen").hidden = !one;
    if (one) {
      at("chosen-name").textContent = one.name;
      at("chosen-about").textContent = about(one);
      const told = notes(one);
      at("chosen-note").hidden = !told.length;
      at("chosen-note").replaceChildren(...told.map((text) => Object.assign(document.createElement("p"), { textContent: text })));
      if (!form.elements.ward.value) form.elements.ward.value = one.ward;
      form.elements.person_typed.value = "";
    } else list();
    result();
    keep();
  }

  // ---- what the marks come to: the same rule as browline.skills.judging, which has the last word. A sign-off is the
  // book's alone to say, which knows every record of this person.

  const mark = (step) => form.elements[`step-${step.id}`].value;

  const notYet = () =>
    steps.some((step) => step.critical && mark(step) !== "done") || !steps.some((step) => mark(step) === "done");

  function judged() {
    const named = (wanted, critical) => steps.filter((s) => s.critical === critical && (mark(s) || "not-seen") === wanted).map((s) => s.name);
    const found = { missed: named("missed", true), unseen: named("not-seen", true), points: named("missed", false) };
    const parts = notYet() ? [] : [sentences.whole];
    if (!steps.some((step) => ["done", "missed"].includes(mark(step)))) return sentences.nothing;
    if (notYet() && !found.missed.length && !found.unseen.length) parts.push(sentences.nothing);
    for (const [key, names] of Object.entries(found))
      if (names.length) parts.push(sentences[key].replace("{steps}", names.join("; ")));
    return parts.join(" ");
  }

  // What this phone knows already that will keep the record from counting as it is.
  function hindrance() {
    if (!chosen) return "";
    if (String(chosen.id) === form.elements.assessor.value) return "Nobody signs themselves off: ask another assessor.";
    if (earliest(chosen) > day()) return `It will wait for the educator: the next try is from ${words(earliest(chosen))} on.`;
    if (chosen.next?.second && !form.elements.second.value) return "At the last try a second assessor watches with you: say who.";
    return "";
  }

  function soFar(left) {
    const missed = steps.filter((step) => step.critical && mark(step) === "missed").map((step) => step.name);
    const marked = `${steps.length - left} of ${steps.length} marked.`;
    if (missed.length) return `${marked} Not yet: ${missed.join("; ")}.`;
    return left ? marked : `${marked} ${judged().split(/[:.]/)[0]}.`;
  }

  function result() {
    const left = steps.filter((step) => !mark(step)).length;
    at("result").textContent = left === steps.length ? "Nothing marked yet." : [judged(), hindrance()].filter(Boolean).join(" ");
    at("so-far").hidden = left === steps.length;
    at("so-far").textContent = soFar(left);
    for (const place of form.querySelectorAll("[data-step]")) {
      const missed = place.querySelector("input[type=radio]:checked")?.value === "missed";
      place.querySelector(".on-miss").hidden = !missed;
      if (!missed) place.querySelector("input[type=checkbox]").checked = false;
    }
  }

  // ---- saving

  function amiss() {
    const fields = form.elements;
    if (!fields.person.value && !fields.person_typed.value.trim()) return ["Choose who is observed.", at("search")];
    if (!fields.assessor.value) return ["Say who observes.", fields.assessor];
    if (!fields.method.value) return ["Say whether it is shown on a patient or simulated.", fields.method[0]];
    if (steps.every((step) => !mark(step))) return ["Mark the steps that you saw.", fields[`step-${steps[0].id}`][0]];
    if (chosen?.next?.second && !fields.second.value) return ["At the last try a second assessor watches with you. Say who.", fields.second];
    if (fields.person.value && [fields.assessor.value, fields.second.value].includes(fields.person.value))
      return ["Nobody signs themselves off. Ask another assessor, or choose who was observed.", at("other")];
    if (fields.second.value && fields.second.value === fields.assessor.value) return ["The second assessor is somebody else.", fields.second];
    return null;
  }

  function tell(problem) {
    at("amiss").hidden = !problem;
    at("amiss").textContent = problem?.[0] ?? "";
    if (!problem) return;
    at("amiss").scrollIntoView({ block: "start" });
    problem[1].focus({ preventScroll: problem[1].type === "radio" });
  }

  form.addEventListener("submit", (event) => {
    const problem = amiss();
    tell(problem);
    if (problem) event.preventDefault();
    else form.dataset.outboxLabel = chosen?.name ?? form.elements.person_typed.value.trim();
  });

  // The time typed is this phone's own; the record carries it with its offset from UTC.
  form.addEventListener("formdata", (event) => {
    const typed = event.formData.get("at_local");
    event.formData.delete("at_local");
    if (typed) event.formData.set("at", outbox.moment(new Date(typed)));
  });

  form.addEventListener("outbox:put", (event) => {
    const outcome = [judged(), hindrance()].filter(Boolean).join(" ");
    if (chosen) seenHere.set(chosen.id, { said: outcome, earliest: notYet() ? later(day(), daysBetween) : "" });
    at("saved").textContent = `${event.detail.label}: ${outcome}`;
    at("saved").hidden = false;
    at("saved").dataset.key = event.detail.key;
  });

  // The book's own answer says the same and more.
  document.addEventListener("outbox:answered", (event) => {
    const { record, answer } = event.detail;
    if (record.key === at("saved").dataset.key) at("saved").hidden = true;
    const here = seenHere.get(Number(record.fields.person));
    if (here && answer.sentence) here.said = answer.sentence;
  });

  form.addEventListener("reset", () => setTimeout(afresh));

  function afresh() {
    at("typed").hidden = true;
    tell(null);
    choose(null);
    result();
    forget();
    scrollTo({ top: 0 });
    at("who").focus({ preventScroll: true });
  }

  // ---- an unfinished demonstration outlives a reload

  function keep() {
    const fields = [...new FormData(form)].filter(([name]) => name !== "csrfmiddlewaretoken");
    try {
      localStorage.setItem(DRAFT, JSON.stringify([...fields, ["at_local", form.elements.at_local.value]]));
    } catch {
      // A browser that stores nothing loses an unfinished one at a reload, no more.
    }
  }

  function forget() {
    try {
      localStorage.removeItem(DRAFT);
    } catch {
      // Nothing was stored.
    }
  }

  function drafted() {
    try {
      return JSON.parse(localStorage.getItem(DRAFT)) ?? [];
    } catch {
      return [];
    }
  }

  function takeUp() {
    const fields = drafted();
    for (const [name, value] of fields) {
      if (name === "checklist" || name === "person" || name === "at") continue;
      for (const input of form.querySelectorAll(`[name="${CSS.escape(name)}"]`)) {
        if (input.type === "radio" || input.type === "checkbox") input.checked ||= input.value === value;
        else if (input.type !== "hidden") input.value = value;
      }
    }
    const person = fields.find(([name]) => name === "person")?.[1];
    choose(people.find((one) => String(one.id) === person) ?? null);
    at("typed").hidden = !form.elements.person_typed.value;
  }

  at("search").addEventListener("input", list);
  at("search").addEventListener("keydown", (event) => {
    if (event.key !== "Enter") return;
    event.preventDefault();
    const found = matching(at("search").value);
    if (found.length === 1) choose(found[0]);
  });
  // The key at the end of a phone's keyboard says "go" and would save what is not finished.
  form.addEventListener("keydown", (event) => {
    if (event.key === "Enter" && event.target.matches("input")) event.preventDefault();
  });
  at("other").addEventListener("click", () => {
    choose(null);
    at("search").focus();
  });
  at("unlisted").addEventListener("click", () => {
    at("typed").hidden = false;
    form.elements.person_typed.value = at("search").value;
    form.elements.person_typed.focus();
  });
  at("anew").addEventListener("click", () => {
    at("saved").hidden = true;
    form.reset();
  });
  form.addEventListener("input", () => {
    result();
    keep();
  });

  takeUp();
  result();
})();
