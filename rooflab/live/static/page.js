// What every widget of ours uses: nodes with attributes, keys that stay ours, a node that fills the window.
// `page.py` puts this file before a widget's own file; there is no build step.

const OWN_KEYS = "data-lm-suppress-shortcuts"; // JupyterLab's shortcuts stay away: "b" on a slider would insert a cell

const html = (tag, attributes = {}, ...children) => {
  const node = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) node.setAttribute(name, value);
  if (["input", "button", "select", "textarea"].includes(tag)) node.setAttribute(OWN_KEYS, "true");
  node.append(...children);
  return node;
};

const newId = () => `rl-${Math.random().toString(36).slice(2)}`;

// Lay `node` over the whole window, above JupyterLab.  The dialog that comes back is left by its close() or by Esc:
// then the node stands where it stood, `left` is called, and the focus is where it was.
function fillWindow(node, label, left = () => {}) {
  const place = document.createComment("");
  node.replaceWith(place);
  const dialog = html("dialog", { "aria-label": label, tabindex: "-1", [OWN_KEYS]: "true" }, node);
  dialog.style.cssText = "position: fixed; inset: 0; width: 100vw; height: 100vh; max-width: none; max-height: none; "
    + "margin: 0; padding: 0; border: none; outline: none; overflow: hidden; background: #fff; color: #1a1a1a; color-scheme: light";
  dialog.addEventListener("close", () => {
    place.replaceWith(node);
    dialog.remove();
    left();
  });
  document.body.append(dialog);
  dialog.showModal();
  dialog.focus();
  return dialog;
}
