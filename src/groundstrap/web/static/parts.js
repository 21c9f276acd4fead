// What a chosen fact wants is said beside it; what is not saved yet is shown in the other parts; a pack tells how far it is.
const { $, $$, Pane, behind, fetched, kept, main, openNamed, page, strip, tidy, wide } = await import(document.body.dataset.bench);

// Other parts of a job show what is not saved yet as well.
const writing = $("#job-text");
const draft = main.dataset.job && !writing ? kept.get(localStorage, `draft ${main.dataset.job}`) : null;
const show = (address, data) => fetched(address, "#answer", data).then((found) => { if (found) { $("#answer").replaceWith(found); tidy(found); openNamed(location.hash.slice(1)); } });
if ("sheets" in main.dataset && !wide.matches && !location.search.includes("compact")) { history.replaceState(null, "", `${location.search || "?"}&compact=1`); if (!draft) show(location.href); }
if (draft) {
  for (const each of $$("[data-draft]")) if (!each.value) {
    each.value = draft.text;
    // It is saved as what it was written from, never over what somebody has saved since.
    const { based_on: base } = each.form.elements;
    if (base) base.value = draft.base;
  }
  if ("redraw" in main.dataset) {
    const data = new FormData();
    data.set("csrf", page.token); data.set("text", draft.text);
    show(location.pathname + location.search, data).then(() => { $("#draft").hidden = false; });
  }
}
if (!writing) document.addEventListener("click", (event) => {
  const part = event.target.closest?.(".picture [data-kind][data-name]"), link = part && behind(part);
  if (link) location.href = link.href;
});

// What stands against its days joins the answer once nobody does anything, unless somebody has written meanwhile.
const same = () => !draft && (!writing || writing.value === writing.defaultValue), open = () => same() && $("#answer [data-days]");
async function joined() {
  const found = open() && await fetched(open().dataset.days, "#answer");
  if (!found || !open() || !$(".verdict", found)) return;
  if (writing) $("h1", found)?.remove();
  new Pane($("#answer"), () => strip($("#answer"))).paint(`\n${found.innerHTML.trim()}`, 200);
}
if (open()) {
  let timer, quiet = () => { clearTimeout(timer); timer = setTimeout(joined, 2000); }, stop = new AbortController();
  for (const each of ["pointerdown", "keydown", "input"]) addEventListener(each, () => open() ? quiet() : stop.abort(), { signal: stop.signal });
  quiet();
}

// A pack that is being made tells how far it is.
const going = () => main.dataset.pack && !["done", "failed"].includes($("#pack [data-state]")?.dataset.state);
async function packed() {
  const found = await fetched(location.href, "#pack");
  if (found) $("#pack").replaceChildren(...found.childNodes);
  if (going()) setTimeout(packed, 400);
}
if (going()) setTimeout(packed, 300);

// A fact that is one of a few words is chosen from a list of them.
document.addEventListener("change", ({ target: select }) => {
  const old = select.matches("#forms select[data-key]") && $("[data-new]", select.closest(".adding"));
  if (!old) return;
  const { example = "", help = "", list = "", choices } = $(`.keys option[value="${CSS.escape(select.selectedOptions[0]?.dataset.keyCode ?? "")}"]`)?.dataset ?? {};
  const kind = choices ? "SELECT" : "INPUT", field = old.tagName === kind ? old : document.createElement(kind);
  if (field !== old) { for (const each of old.attributes) field.setAttribute(each.name, each.value); old.replaceWith(field); }
  if (choices) field.replaceChildren(...[["", ""], ...JSON.parse(choices)].map(([value, text]) => new Option(text, value)));
  else { field.placeholder = example; field.setAttribute("list", list); }
  $("[data-hint]", select.closest(".adding")).textContent = help;
});
