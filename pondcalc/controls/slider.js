/* One slider of an explorer: a box for an exact number and the browser's own slider beside it.
 *
 * `value` is what the model works with. `face` says how the reader sees it: label and unit, the two ends and the
 * step as shown, and value = shown * factor + zero. Changing the units changes the face and never the value. */

const tag = (name, fields) => Object.assign(document.createElement(name), fields);

function render({ model, el }) {
  const words = tag("span"), box = tag("input", { type: "number", step: "any" }), handle = tag("input", { type: "range" });
  const label = tag("label");
  label.append(words, box);
  el.classList.add("pond-slider");
  el.append(label, handle);

  const inside = (shown) => shown * model.get("face").factor + model.get("face").zero;

  function show() {
    const { label, unit, low, high, step, factor, zero } = model.get("face"), value = model.get("value");
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
    model.set("value", inside(box.valueAsNumber));
    model.save_changes();
  }

  handle.addEventListener("input", () => {
    box.value = handle.value;
    speak();
    if (model.get("live")) send();
  });
  handle.addEventListener("change", send);
  box.addEventListener("change", () => {
    const { low, high } = model.get("face"), typed = box.valueAsNumber;
    if (Number.isNaN(typed)) box.value = "";          // show() puts back what is held
    else if (typed < low || typed > high) box.value = Math.min(Math.max(typed, low), high);
    if (box.value !== "") send();
    show();
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
