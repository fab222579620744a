/** Makes elements. Text always goes in as text, never as markup, so a program's comments cannot become page. */

type Attributes = Readonly<Record<string, string | number | boolean | undefined>>;

function setAttributes(target: Element, attributes: Attributes): void {
  for (const [name, value] of Object.entries(attributes)) {
    if (value === undefined || value === false) continue;
    target.setAttribute(name, value === true ? "" : String(value));
  }
}

/** An HTML element with attributes and children; strings become text nodes. */
export function element<K extends keyof HTMLElementTagNameMap>(
  tag: K,
  attributes: Attributes = {},
  ...children: readonly (Node | string)[]
): HTMLElementTagNameMap[K] {
  const made = document.createElement(tag);
  setAttributes(made, attributes);
  made.append(...children);
  return made;
}

/** An SVG element. Colours come from classes or presentation attributes: inline styles are not allowed here. */
export function drawing<K extends keyof SVGElementTagNameMap>(
  tag: K,
  attributes: Attributes = {},
  ...children: readonly (Node | string)[]
): SVGElementTagNameMap[K] {
  const made = document.createElementNS("http://www.w3.org/2000/svg", tag);
  setAttributes(made, attributes);
  made.append(...children);
  return made;
}

/** A push button. `label` is its accessible name where the visible text is short or a picture. */
export function button(
  content: Node | string,
  onPress: () => void,
  attributes: Attributes = {},
): HTMLButtonElement {
  const made = element("button", { type: "button", ...attributes }, content);
  made.addEventListener("click", onPress);
  return made;
}
