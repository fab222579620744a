/** Starts the cut view: in the editor's webview it waits for messages, on the stand-alone page it reads its scene. */
import { CutView } from "./cut-view.ts";
import { openPort } from "./port.ts";

const root = document.getElementById("cutwright-view");
if (root) {
  const port = openPort();
  const view = new CutView(root, port);
  const embedded = document.getElementById("cutwright-scene")?.textContent;
  if (embedded) view.showEncoded(embedded);
  // The page's own heading is for readers without scripts; the view has one (see view.css).
  document.documentElement.dataset.cutView = "on";
  port.send({ type: "ready" });
}
