// A table or picture that follows its panel.

function render({ model, el }) {
  const show = () => { el.innerHTML = model.get("table"); };
  el.classList.add("jp-RenderedHTMLCommon", "rl-working"); // the first is the page's own look of tables
  model.on("change:table", show);
  show();
  return () => model.off("change:table", show);
}

export default widget(render);
