// Every page works without this file; it only saves presses.
"use strict";
(() => {
  // One press, one deed: a form that is on its way cannot be sent again.
  document.addEventListener("submit", (event) => {
    const form = event.target;
    if (form.dataset.sent) { event.preventDefault(); return; }
    const file = form.querySelector("input[type=file]");
    if (file && file.files[0] && file.files[0].size > 25 * 1048576) {
      event.preventDefault();
      Object.assign(form.querySelector(".too-large"), { hidden: false }).focus();
      return;
    }
    form.dataset.sent = "yes";
    if (event.submitter) { event.submitter.classList.add("sent"); event.submitter.ariaBusy = "true"; }
    if (form.method === "get") for (const field of form.elements) if (field.name && field.value === "") field.disabled = true; // out of the address
  });
  window.addEventListener("pageshow", () => { // back again: everything can be pressed anew
    for (const link of document.querySelectorAll("a.sent")) location.reload();
    for (const form of document.forms) {
      delete form.dataset.sent;
      for (const field of form.elements) { field.disabled = false; field.classList.remove("sent"); field.removeAttribute("aria-busy"); }
    }
  });

  // Enter sends a sentence; with Shift it begins a new line.
  const words = document.querySelector("form.question textarea[name=words]");
  if (words) words.addEventListener("keydown", (event) => {
    if (event.key === "Enter" && !event.shiftKey && !event.isComposing) { event.preventDefault(); words.form.requestSubmit(); }
  });

  // A sheet that is dropped on its field needs no press more.
  const sheet = document.querySelector(".drop input[type=file]");
  if (sheet) sheet.addEventListener("drop", (event) => {
    event.preventDefault();
    sheet.files = event.dataTransfer.files;
    if (sheet.files.length) sheet.form.requestSubmit();
  });

  // Words can be copied; a page of the home Wi-Fi has no clipboard of its own, there they are marked and copied.
  for (const button of document.querySelectorAll("button[data-copy]")) {
    button.hidden = false;
    button.addEventListener("click", async () => {
      const from = document.getElementById(button.dataset.copy);
      if (navigator.clipboard) await navigator.clipboard.writeText(from.innerText);
      else { getSelection().selectAllChildren(from); document.execCommand("copy"); }
      button.textContent = "Copied";
    });
  }

  // A report takes seconds to make: the press shows that it is at work.
  for (const link of document.querySelectorAll('a[href="/report"], a[href^="/report/page"]')) {
    link.addEventListener("click", () => { link.classList.add("sent"); link.textContent = "Making the report…"; });
  }

  // While it learns, say when it is done.
  const note = document.getElementById("learning");
  if (note && ["waiting", "learning"].includes(note.dataset.state)) {
    const look = () => fetch("/learning").then((answer) => answer.json()).then((state) => {
      note.textContent = state.said || "Learned: answers are up to date.";
      note.className = "learning " + state.state;
      if (["waiting", "learning"].includes(state.state)) setTimeout(look, 1500);
    }).catch(() => {});
    setTimeout(look, 1500);
  }
})();
