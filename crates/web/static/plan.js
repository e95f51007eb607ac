// Draws the plan anew while wishes change; everything works without it.
for (const form of document.querySelectorAll("form[data-plan]")) {
  const answer = form.querySelector("#answer");
  let waiting, asked;

  const ask = async () => {
    asked?.abort();
    asked = new AbortController();
    const query = new URLSearchParams([...new FormData(form)].filter(([, text]) => text !== ""));
    const address = `${form.getAttribute("action")}?${query}`;
    try {
      const said = await fetch(address, { signal: asked.signal });
      if (!said.ok) return;
      const page = new DOMParser().parseFromString(await said.text(), "text/html");
      const fresh = page.getElementById("answer");
      if (!fresh) return;
      show(fresh);
      // What is wrong with a wish stands beside its field.
      for (const said of page.querySelectorAll("[data-problem]")) {
        const field = form.elements.namedItem(said.dataset.problem);
        form.querySelector(`[data-problem="${said.dataset.problem}"]`)?.replaceChildren(...said.childNodes);
        const wrong = page.getElementById(said.dataset.problem)?.getAttribute("aria-invalid");
        if (wrong) field?.setAttribute("aria-invalid", wrong);
        else field?.removeAttribute("aria-invalid");
      }
      // What is asked stays in the address: a page loaded again, or sent to somebody, is as it was.
      history.replaceState(null, "", address);
    } catch {
      // No network, or a newer question: the last answer stays.
    }
  };

  const show = (fresh) => {
    // Who was at a wish stays there, and what was opened stays open.
    const here = document.activeElement;
    const mine = answer.contains(here) && here.name ? [here.name, here.value] : null;
    const keep = [...answer.querySelectorAll("details[data-keep]")].map((one) => [one.dataset.keep, one.open]);
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
    clearTimeout(waiting);
    waiting = setTimeout(ask, 120);
  });
}
