// Makes the walk quicker; everything works without it.
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
    if (key === "back") {
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
