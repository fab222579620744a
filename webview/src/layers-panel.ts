/** What is drawn and what is not. */
import { element } from "./elements.ts";
import { layerNames, type LayerName, type Session } from "./session.ts";
import { severityShape } from "./severity-shapes.ts";
import { swatch } from "./swatch.ts";

const samples: Record<LayerName, () => SVGSVGElement> = {
  stock: () => swatch("board"),
  toolpath: () => swatch("path"),
  rapids: () => swatch("rapid"),
  tool: () => swatch("tool"),
  findings: () => severityShape("warning"),
  skin: () => swatch("skin"),
};

const words: Record<LayerName, string> = {
  stock: "Board",
  toolpath: "Cutting",
  rapids: "Rapids",
  tool: "Tool",
  findings: "Findings",
  skin: "Skin left",
};

/** Check boxes, one a layer. */
export function layersPanel(session: Session): HTMLElement {
  const boxes = layerNames.map((name) => {
    const box = element("input", { type: "checkbox", "data-testid": `layer-${name}` });
    box.checked = session.layers[name];
    box.addEventListener("change", () => session.setLayer(name, box.checked));
    session.onChange((change) => {
      if (change === "layers") box.checked = session.layers[name];
    });
    return element("label", { class: "cw-layer" }, box, samples[name](), words[name]);
  });
  return element(
    "fieldset",
    { class: "cw-layers cw-panel" },
    element("legend", {}, "Show"),
    element("div", { class: "cw-layer-boxes" }, ...boxes),
  );
}
