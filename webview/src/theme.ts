/** Which of the four palettes of the style sheet is in force. */

export type ThemeKind = "light" | "dark" | "contrast-light" | "contrast-dark";

const queries = [
  "(prefers-color-scheme: dark)",
  "(forced-colors: active)",
  "(prefers-contrast: more)",
] as const;

/** The editor's theme by the classes it puts on the body; on a page of its own, what the system prefers. */
export function themeKind(): ThemeKind {
  const { classList } = document.body;
  // The editor puts both high-contrast classes on the body of a light one.
  if (classList.contains("vscode-high-contrast-light")) return "contrast-light";
  if (classList.contains("vscode-high-contrast")) return "contrast-dark";
  if (classList.contains("vscode-dark")) return "dark";
  if (classList.contains("vscode-light")) return "light";
  const [dark, forced, contrast] = queries.map((query) => window.matchMedia(query).matches);
  if (forced || contrast) return dark ? "contrast-dark" : "contrast-light";
  return dark ? "dark" : "light";
}

/** Keeps `data-theme` of the root in step with the theme; calls back after each change. */
export function followTheme(root: HTMLElement, changed: () => void): void {
  const apply = () => {
    root.dataset.theme = themeKind();
    changed();
  };
  new MutationObserver(apply).observe(document.body, {
    attributes: true,
    attributeFilter: ["class", "data-vscode-theme-id"],
  });
  // The editor's colour variables stand in the style of the page's root element.
  new MutationObserver(apply).observe(document.documentElement, {
    attributes: true,
    attributeFilter: ["style"],
  });
  for (const query of queries) window.matchMedia(query).addEventListener("change", apply);
  root.dataset.theme = themeKind();
}
