// Draws the plan anew while wishes change; everything works without it.
for (const form of document.querySelectorAll("form[data-plan]")) {
  const answer = form.querySelector("#answer");
  let waiting, asked;

  const ask = async () => {
    asked = new AbortController();
    const query = new URLSearchParams([...new FormData(form)].filter(([, text]) => text !== ""));
    const address = `${form.getAttribute("action")}?${query}`;
    try {
      // What can be told at once comes first, and the whole answer takes its place.
      const early = await fresh(`${address}&first=yes`, asked.signal);
      if (early) show(early, true);
      const whole = await fresh(address, asked.signal);
      if (whole) show(whole, false);
      // What is asked stays in the address: a page loaded again, or sent to somebody, is as it was.
      history.replaceState(null, "", address);
    } catch {
      // No network, or a newer question: the last answer stays.
    }
  };

  const fresh = async (address, signal) => {
    const said = await fetch(address, { signal });
    if (!said.ok) return null;
    const page = new DOMParser().parseFromString(await said.text(), "text/html");
    return page.getElementById("answer") && page;
  };

  const show = (page, early) => {
    draw(page.getElementById("answer"), early);
    // What is wrong with a wish stands beside its field.
    for (const said of page.querySelectorAll("[data-problem]")) {
      const field = form.elements.namedItem(said.dataset.problem);
      form.querySelector(`[data-problem="${said.dataset.problem}"]`)?.replaceChildren(...said.childNodes);
      const wrong = page.getElementById(said.dataset.problem)?.getAttribute("aria-invalid");
      if (wrong) field?.setAttribute("aria-invalid", wrong);
      else field?.removeAttribute("aria-invalid");
    }
  };

  const draw = (fresh, early) => {
    // Who was at a wish stays there, and what was opened stays open.
    const here = document.activeElement;
    const mine = answer.contains(here) && here.name ? [here.name, here.value] : null;
    const keep = [...answer.querySelectorAll("details[data-keep]")].map((one) => [one.dataset.keep, one.open]);
    // What is still being worked out stands as it was, and pale, until it is known.
    for (const later of early ? fresh.querySelectorAll("[data-later]") : []) {
      const before = answer.querySelector(`[data-later="${CSS.escape(later.dataset.later)}"]`);
      if (!before) continue;
      later.replaceChildren(...before.childNodes);
      later.setAttribute("aria-busy", "true");
    }
    answer.replaceChildren(...fresh.childNodes);
    for (const [name, open] of keep) {
      const one = answer.querySelector(`details[data-keep="${CSS.escape(name)}"]`);
      if (one) one.open = open;
    }
    if (mine) {
      const same = [...answer.querySelectorAll(`input[name="${mine[0]}"]`)];
      same.find((one) => one.value === mine[1])?.focus();
    }
  };

  form.addEventListener("input", (event) => {
    // A thing cannot be wished for and refused at once.
    const { name, value, checked } = event.target;
    if (checked && (name === "must" || name === "not")) {
      for (const other of form.querySelectorAll(`input[name="${name === "must" ? "not" : "must"}"]`)) {
        if (other.value === value) other.checked = false;
      }
    }
    // An answer to what was wished before would take this wish back.
    asked?.abort();
    clearTimeout(waiting);
    waiting = setTimeout(ask, 120);
  });
}
