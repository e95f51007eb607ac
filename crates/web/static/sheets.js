// Line numbers, and what the checker says while one types; everything works without it.
for (const form of document.querySelectorAll("form[data-look]")) {
  const text = form.querySelector("textarea");
  const numbers = form.querySelector(".numbers");
  const beside = document.getElementById("beside");

  const number = () => {
    const wrong = new Set(
      [...beside.querySelectorAll("[data-line]")]
        .filter((at) => at.dataset.file === text.dataset.file)
        .map((at) => Number(at.dataset.line)),
    );
    const count = text.value.split("\n").length;
    const lines = [];
    for (let n = 1; n <= count; n += 1) {
      const line = document.createElement(wrong.has(n) ? "b" : "span");
      line.textContent = `${n}\n`;
      lines.push(line);
    }
    numbers.replaceChildren(...lines);
    follow();
  };
  const follow = () => {
    numbers.scrollTop = text.scrollTop;
  };

  const goTo = (line, column = 1, length = 0) => {
    const lines = text.value.split("\n");
    const start = lines.slice(0, line - 1).reduce((at, line) => at + line.length + 1, 0);
    // Columns count characters; a text of a page counts halves of the long ones.
    const units = (count) => [...(lines[line - 1] ?? "")].slice(0, count).join("").length;
    text.focus();
    text.setSelectionRange(start + units(column - 1), start + units(column - 1 + length));
    const height = parseFloat(getComputedStyle(text).lineHeight);
    text.scrollTop = Math.max(0, (line - 4) * height);
    follow();
  };

  let waiting, asked;
  const look = async () => {
    asked?.abort();
    asked = new AbortController();
    try {
      const answer = await fetch(form.dataset.look, {
        method: "POST",
        body: new URLSearchParams(new FormData(form)),
        signal: asked.signal,
      });
      if (!answer.ok) return;
      const page = new DOMParser().parseFromString(await answer.text(), "text/html");
      for (const part of page.querySelectorAll("[data-into]")) {
        document.getElementById(part.dataset.into)?.replaceChildren(...part.childNodes);
      }
      number();
    } catch {
      // No network, or a newer question: what is typed stays.
    }
  };

  text.addEventListener("input", () => {
    form.dataset.unsaved = "";
    number();
    clearTimeout(waiting);
    waiting = setTimeout(look, 400);
  });
  text.addEventListener("scroll", follow);
  beside.addEventListener("click", (event) => {
    const at = event.target.closest("[data-line]");
    if (!at || at.dataset.file !== text.dataset.file) return;
    event.preventDefault();
    goTo(Number(at.dataset.line), Number(at.dataset.column), Number(at.dataset.length));
  });
  form.classList.add("with-numbers");
  number();
  if (text.dataset.line) goTo(Number(text.dataset.line));
}

// What is not saved is not left by a slip.
let sending = false;
document.addEventListener("submit", () => {
  sending = true;
});
addEventListener("pageshow", () => {
  sending = false;
});
addEventListener("beforeunload", (event) => {
  if (!sending && document.querySelector("form[data-unsaved]")) event.preventDefault();
});
