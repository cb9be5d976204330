// The page calls Python as soon as it is shown, and says whether an answer came.

const PATIENCE = 5000; // ms to wait for an answer

function render({ model, el }) {
  const root = html("div", { class: "rl-trip" });
  root.style.cssText = "color: #1a1a1a; background: #fff; padding: 2px 4px";
  root.innerHTML = model.get("table");
  el.append(root);
  const cell = root.querySelector(".rl-live");
  const late = setTimeout(() => {
    cell.textContent = "no answer from Python: pictures cannot move. Menu Kernel, Restart Kernel; then run this cell again";
  }, PATIENCE);
  const heard = () => {
    clearTimeout(late);
    cell.textContent = "it answers: pictures move";
  };
  model.on("change:answer", heard);
  model.set("call", model.get("call") + 1);
  model.save_changes();
  return () => {
    clearTimeout(late);
    model.off("change:answer", heard);
  };
}

export default widget(render);
