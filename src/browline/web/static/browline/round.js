// A round on a phone: a chosen button tapped again is taken back, and the button to send says how many were looked at.
"use strict";

function untick(tapped) {
  tapped.checked = false;
  delete tapped.dataset.was;
  tapped.dispatchEvent(new Event("change", { bubbles: true }));
}

// A slip of a gloved finger can be taken back: a radio button alone could only be changed, never emptied.
document.addEventListener("click", (event) => {
  const tapped = event.target.closest(".tap input");
  if (!tapped) return;
  if (tapped.dataset.was) return untick(tapped);
  for (const other of document.getElementsByName(tapped.name)) if (other.form === tapped.form) delete other.dataset.was;
  tapped.dataset.was = "yes";
});

// What was ticked of one that is then not found is no longer shown, so it is not sent either.
function forget(look) {
  if (look?.querySelector("input[value=present]:checked, input[value=in-use]:checked")) return;
  for (const one of look?.querySelectorAll(".more input:checked") ?? []) {
    one.checked = false;
    delete one.dataset.was;
  }
  for (const one of look?.querySelectorAll(".more select") ?? []) one.value = "";
}

function tell(form) {
  const rows = form.querySelectorAll(".listed");
  const looked = form.querySelectorAll(".listed .tap input[name^=state-]:checked").length;
  form.querySelector(".send button").textContent = looked ? `Keep ${looked} of ${rows.length}` : "Keep this round";
}

for (const form of document.querySelectorAll("form.round")) {
  form.addEventListener("change", (event) => {
    forget(event.target.closest(".look"));
    tell(form);
  });
  form.addEventListener("reset", () => {
    for (const one of form.querySelectorAll("[data-was]")) delete one.dataset.was;
    setTimeout(() => tell(form));
  });
}
