// The first look: one question, answered while it is typed.
const { $, Pane, strip } = await import(document.body.dataset.bench);

const first = $("#first");
if (first) {
  const box = document.getElementById(first.dataset.into);
  const pane = new Pane(box, () => strip(box));
  const look = () => {
    const values = Object.fromEntries([...new FormData(first)].filter(([, value]) => value.trim()));
    if (values.kind || values.label || values.measured) pane.show(first.dataset.live, values);
  };
  first.addEventListener("input", look);
  first.addEventListener("submit", (event) => { event.preventDefault(); look(); });
  box.addEventListener("click", (event) => {
    const put = event.target.closest("[data-put]");
    if (!put) return;
    const field = document.getElementById(`f-${put.dataset.put}`);
    if (field) { event.preventDefault(); field.value = put.value; field.focus(); look(); }
  });
  strip(box);
  // What was typed before this module was there.
  if (!$(".said", box)) look();
}
