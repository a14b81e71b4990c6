/* One slider of an explorer: a box for an exact number and the browser's own slider beside it.
 *
 * `value` is what the model works with. `face` says how the reader sees it: label and unit, the two ends and the
 * step as shown, and value = shown * factor + zero. Changing the units changes the face and never the value. */

const tag = (name, fields) => Object.assign(document.createElement(name), fields);
let named = 0;      // a box points to its note by a name of its own

function render({ model, el }) {
  const words = tag("span"), box = tag("input", { type: "number", step: "any" }), handle = tag("input", { type: "range" });
  const label = tag("label"), note = tag("output", { className: "pond-note", id: `pond-note-${named++}` });
  box.setAttribute("aria-describedby", note.id);
  label.append(words, box);
  el.classList.add("pond-slider");
  el.append(label, handle, note);

  const inside = (shown) => shown * model.get("face").factor + model.get("face").zero;
  let refused = "";   // signs pressed in the box that cannot stand in a number
  let sending = false;

  function show() {
    const { label, unit, low, high, step, factor, zero } = model.get("face"), value = model.get("value");
    if (!sending) note.textContent = "";
    words.textContent = unit ? `${label} (${unit})` : label;
    box.title = `any number from ${low} to ${high} ${unit}`.trim();
    Object.assign(box, { min: low, max: high });
    Object.assign(handle, { min: low, max: high, step });
    // what was typed stays as it was typed for as long as it means the same
    if (box.value === "" || Math.abs(inside(box.valueAsNumber) - value) > 1e-9 * Math.abs(factor * step))
      box.value = Number(Number(((value - zero) / factor).toPrecision(4)).toFixed(9));
    handle.value = box.value;
    speak();
  }

  function speak() {
    handle.setAttribute("aria-label", words.textContent);
    handle.setAttribute("aria-valuetext", `${box.value} ${model.get("face").unit}`.trim());
  }

  function send() {
    sending = true;
    model.set("value", inside(box.valueAsNumber));
    sending = false;
    model.save_changes();
  }

  // what the reader must be told about a number that came from the box
  function told(typed) {
    const { unit, low, high } = model.get("face"), with_unit = (number) => `${number} ${unit}`.trim();
    if (Number.isNaN(typed)) return `That is no number; ${with_unit(box.value)} stays.`;
    const read = refused ? `Read as ${with_unit(typed)}: only a number can stand here. ` : "";
    if (typed < low) return `${read}The scale begins at ${with_unit(low)}; ${typed} was set to ${low}.`;
    if (typed > high) return `${read}The scale ends at ${with_unit(high)}; ${typed} was set to ${high}.`;
    return read.trim();
  }

  handle.addEventListener("input", () => {
    box.value = handle.value;
    note.textContent = "";
    speak();
    if (model.get("live")) send();
  });
  handle.addEventListener("change", send);
  // browsers drop letters and commas in a box of numbers without a word, so "3 m" would be 3 feet and "3,5" be 35
  box.addEventListener("beforeinput", (event) => {
    const signs = (event.data || "").replace(/[\d.eE+\-\s]/g, "");
    if (signs) refused += signs;
  });
  box.addEventListener("change", () => {
    const { low, high } = model.get("face"), typed = box.valueAsNumber;
    if (Number.isNaN(typed)) box.value = "";          // show() puts back what is held
    else if (typed < low || typed > high) box.value = Math.min(Math.max(typed, low), high);
    if (box.value !== "") send();
    show();
    note.textContent = told(typed);
    refused = "";
  });
  model.on("change:value", show);
  model.on("change:face", show);
  show();
  return () => { model.off("change:value", show); model.off("change:face", show); };
}

/* JupyterLab takes a single key pressed anywhere in a notebook for a command of its own: on a slider or a button a
 * letter would add, cut or turn a cell, and an arrow would walk away to another cell. In a widget the key belongs to
 * the widget. Combinations (Ctrl+S), Shift+Enter, Tab, Escape and function keys stay JupyterLab's. */
function keep(event) {
  const { key, target, shiftKey } = event;
  const theirs = event.ctrlKey || event.altKey || event.metaKey || (shiftKey && key === "Enter")
    || key === "Tab" || key === "Escape" || /^F\d+$/.test(key);
  if (!theirs && target.closest(".jp-OutputArea .jupyter-widgets")) event.stopPropagation();
}

if (!document.body.dataset.pondKeys) {
  document.body.dataset.pondKeys = "kept";
  document.body.addEventListener("keydown", keep);
}

export default { render };
