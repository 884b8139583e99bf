// Dropping files on the form is the same as choosing them in it; without this script the form still works.
for (const form of document.querySelectorAll("[data-drop]")) {
  const input = form.querySelector("input[type=file]");
  const over = (on) => (event) => {
    event.preventDefault();
    form.classList.toggle("over", on);
  };
  form.addEventListener("dragenter", over(true));
  form.addEventListener("dragover", over(true));
  form.addEventListener("dragleave", over(false));
  form.addEventListener("drop", (event) => {
    over(false)(event);
    if (!event.dataTransfer.files.length) return;
    input.files = event.dataTransfer.files;
    form.requestSubmit();
  });
}

// A file dropped beside the form would replace the page.
for (const moment of ["dragover", "drop"]) {
  window.addEventListener(moment, (event) => event.preventDefault());
}
