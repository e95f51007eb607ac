// Answers while one types, and takes what a spreadsheet pastes; everything works without it.
for (const form of document.querySelectorAll("form[data-bench]")) {
  const part = (id) => document.getElementById(id);
  const field = (key) => form.querySelectorAll(`[name="${CSS.escape(key)}"]`);
  const typed = () => {
    const all = new URLSearchParams();
    for (const [name, text] of new FormData(form)) {
      if (!name.startsWith("paste_") && (text !== "" || field(name).length > 1)) all.append(name, text);
    }
    return all;
  };

  let waiting, asked;
  const ask = async () => {
    asked?.abort();
    asked = new AbortController();
    const query = typed();
    try {
      const answer = await fetch(`${form.dataset.bench}?${query}`, { signal: asked.signal });
      if (!answer.ok) return;
      const page = new DOMParser().parseFromString(await answer.text(), "text/html");
      show(page);
      // What is typed stays in the address: a page loaded again, or sent to somebody, is as it was.
      history.replaceState(null, "", `${form.getAttribute("action")}?${query}`);
    } catch {
      // No network, or a newer question: what is typed stays.
    }
  };

  const show = (page) => {
    const open = [...part("answer").querySelectorAll("details[open]")].map((details) => details.dataset.keep);
    for (const part_ of page.querySelectorAll("[data-into]")) {
      part(part_.dataset.into)?.replaceChildren(...part_.childNodes);
    }
    for (const name of open) part("answer").querySelector(`details[data-keep="${name}"]`)?.setAttribute("open", "");
    const keep = part("keep");
    if (keep) keep.hidden = !page.querySelector("[data-worked]") && !part("keep-wrong");
    const wrong = new Map([...page.querySelectorAll("[data-wrong]")].map((says) => [says.dataset.wrong, says.textContent]));
    for (const says of form.querySelectorAll("[id^=in-][id$=-wrong]")) {
      const key = says.id.slice("in-".length, -"-wrong".length);
      // Half a number is no mistake yet: a field is only marked once it is left.
      const here = [...field(key)].includes(document.activeElement) && says.hidden;
      const text = here ? "" : (wrong.get(key) ?? "");
      says.textContent = text;
      says.hidden = !text;
      for (const input of field(key)) text ? input.setAttribute("aria-invalid", "true") : input.removeAttribute("aria-invalid");
    }
  };

  form.addEventListener("input", (event) => {
    event.target.closest(".field")?.querySelector(".came")?.remove(); // it is no longer what the car gave
    event.target.closest(".measure")?.classList.toggle("own-unit", /\p{L}/u.test(event.target.value));
    if (event.target.closest(".from-car, .paste")) return;
    clearTimeout(waiting);
    waiting = setTimeout(ask, 200);
  });
  form.addEventListener("change", (event) => {
    if (event.target.closest(".from-car, .paste")) return;
    clearTimeout(waiting);
    waiting = setTimeout(ask, 0);
  });

  // Tables: rows and columns of a spreadsheet go where the cursor is; a row is added when the last one is filled.
  for (const grid of form.querySelectorAll("[data-grid]")) {
    const body = grid.querySelector("tbody");
    const addRow = () => {
      const row = body.lastElementChild.cloneNode(true);
      const n = body.children.length + 1;
      row.querySelector("th").textContent = n;
      for (const input of row.querySelectorAll("input")) {
        input.value = "";
        input.setAttribute("aria-label", input.getAttribute("aria-label").replace(/\d+$/, n));
      }
      body.append(row);
      return row;
    };
    body.addEventListener("paste", (event) => {
      const text = event.clipboardData?.getData("text/plain") ?? "";
      if (!/[\t\n;]/.test(text.trim())) return;
      event.preventDefault();
      const cell = event.target.closest("td");
      const [left, top] = [cell.cellIndex, [...body.children].indexOf(cell.parentElement)];
      const rows = text.replace(/[\r\n]+$/, "").split(/\r?\n/).map((row) => row.split(/[\t;]/));
      for (const [down, cells] of rows.entries()) {
        if (top + down >= 200) break;
        const row = body.children[top + down] ?? addRow();
        for (const [right, value] of cells.entries()) {
          const input = row.children[left + right]?.querySelector("input");
          if (input) input.value = value.trim();
        }
      }
      if (body.children.length < 200) roomBelow();
      cell.querySelector("input").dispatchEvent(new Event("input", { bubbles: true }));
    });
    const roomBelow = () => {
      if ([...body.lastElementChild.querySelectorAll("input")].some((input) => input.value)) addRow();
    };
    body.addEventListener("input", () => body.children.length < 200 && roomBelow());
    body.addEventListener("keydown", (event) => {
      if (event.key !== "Enter") return;
      event.preventDefault();
      const cell = event.target.closest("td");
      const below = cell.parentElement.nextElementSibling ?? addRow();
      below.children[cell.cellIndex].querySelector("input").focus();
    });
    const more = grid.querySelector("button[value=more]");
    more?.addEventListener("click", (event) => {
      event.preventDefault();
      for (let n = 0; n < 4 && body.children.length < 200; n += 1) addRow();
    });
  }
}
