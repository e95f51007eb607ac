// Makes the walk quicker; everything works without it.
// What was sent and never arrived is there again when its stop is opened.
for (const form of document.querySelectorAll("form.stop-form")) {
  const key = `sent ${form.getAttribute("action")}`;
  const { stands } = form.dataset; // what is written of this stop; not there on a form that came back
  const typed = () => [...new FormData(form)].filter(([name]) => !["draft", "act"].includes(name));
  let sent = null;
  try {
    sent = JSON.parse(sessionStorage.getItem(key));
    // Had it arrived, something else would stand there now.
    if (sent && stands !== undefined && sent.stands !== stands) {
      sessionStorage.removeItem(key);
      sent = null;
    }
    form.addEventListener("submit", () => {
      sessionStorage.setItem(key, JSON.stringify({ stands: stands ?? sent?.stands, left: typed() }));
    });
  } catch {
    // A browser that keeps nothing: the form is as the server gave it.
  }
  if (!sent || stands === undefined) continue;
  const { left } = sent;
  for (const field of form.elements) {
    const is_choice = field.type === "radio" || field.type === "checkbox";
    const was = is_choice ? field.checked : field.value;
    const at = left.findIndex(([name, text]) => name === field.name && (!is_choice || text === field.value));
    if (is_choice) field.checked = at >= 0;
    else if (at >= 0) field.value = left.splice(at, 1)[0][1];
    if ((is_choice ? field.checked : field.value) !== was) field.closest("details")?.setAttribute("open", "");
  }
  const note = document.createElement("p");
  note.className = "say";
  note.role = "status";
  note.textContent = "This was sent and did not arrive. Send it again.";
  form.prepend(note);
}

// A keypad for dirty hands, and the verdict said while a value is typed.
for (const form of document.querySelectorAll("form[data-voice]")) {
  const value = form.querySelector("[data-value]");
  const pad = form.querySelector("[data-pad]");
  const says = form.querySelector("[data-says]");
  const bar = document.querySelector("[data-bar]");
  if (!value || !pad || !says) continue;

  // The keypad replaces a phone's own keyboard where a finger is the only pointer; keyboards and gauges still type.
  if (matchMedia("(pointer: coarse)").matches) value.inputMode = "none";
  pad.hidden = false;

  pad.addEventListener("click", (event) => {
    const key = event.target.closest("[data-key]")?.dataset.key;
    if (!key) return;
    const [from, to] = [value.selectionStart ?? value.value.length, value.selectionEnd ?? value.value.length];
    if (key === "sign") {
      const text = value.value.trim();
      value.value = /^[-−]/.test(text) ? text.slice(1) : `-${text}`;
    } else if (key === "back") {
      const start = from === to ? Math.max(0, from - 1) : from;
      value.setRangeText("", start, to, "end");
    } else {
      value.setRangeText(key, from, to, "end");
    }
    value.dispatchEvent(new Event("input", { bubbles: true }));
  });

  const before = bar ? [...bar.childNodes] : [];
  let waiting, asked;
  const ask = async () => {
    asked?.abort();
    asked = new AbortController();
    if (!value.value.trim()) {
      says.replaceChildren();
      bar?.replaceChildren(...before);
      return;
    }
    const typed = new URLSearchParams(new FormData(form));
    typed.delete("act");
    try {
      const answer = await fetch(`${form.dataset.voice}?${typed}`, { signal: asked.signal });
      if (!answer.ok) return;
      const page = new DOMParser().parseFromString(await answer.text(), "text/html");
      // The bar takes the place of last time's, the verdict stands beside the thumb: nothing moves while one types.
      const drawn = page.querySelector("[data-for=bar]");
      drawn?.remove();
      bar?.replaceChildren(...(drawn ? drawn.childNodes : before));
      says.replaceChildren(...page.body.childNodes);
    } catch {
      // No network, or a newer question: what is typed stays, and is judged when it is written down.
    }
  };
  form.addEventListener("input", () => {
    clearTimeout(waiting);
    waiting = setTimeout(ask, 200);
  });
}
