/** Themes and sizes: nothing overlaps, nothing is cut off, words can be read. */
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { encodeScene } from "../../server/src/report/scene-codec.ts";
import { sampleProgram, sceneOf } from "./sample-board.ts";
import { frame, screenshotFile, ViewBench, type PageOptions } from "./view-page.ts";

let bench: ViewBench;
let scene: string;

beforeAll(async () => {
  bench = await ViewBench.open();
  scene = encodeScene(sceneOf(sampleProgram));
});
afterAll(async () => {
  await bench?.close();
});

/** Colours the editor's themes set, a few of those the view uses. */
const editorDark = {
  "--vscode-foreground": "#cccccc",
  "--vscode-descriptionForeground": "#9d9d9d",
  "--vscode-editor-background": "#1f1f1f",
  "--vscode-sideBar-background": "#181818",
  "--vscode-panel-border": "#2b2b2b",
  "--vscode-focusBorder": "#0078d4",
};

const themes: [name: string, options: PageOptions][] = [
  ["page-dark", { colorScheme: "dark" }],
  ["editor-dark", { bodyClass: "vscode-dark", editor: true, variables: editorDark }],
  ["editor-light", { bodyClass: "vscode-light", colorScheme: "dark", editor: true }],
  ["contrast-dark", { bodyClass: "vscode-high-contrast" }],
  ["contrast-light", { bodyClass: "vscode-high-contrast vscode-high-contrast-light" }],
  ["forced-colours", { forcedColors: "active", colorScheme: "dark" }],
];

describe("themes", () => {
  test.each(themes)("%s: words stand out from their ground", async (name, options) => {
    const { page, complaints, close } = await bench.show({ ...options, scene });
    await page.getByTestId("finding").first().click();
    await frame(page);
    await page.screenshot({ path: screenshotFile(`theme-${name}`) });
    const ratios = await page.evaluate(() => {
      const channels = (css: string) => (css.match(/[\d.]+/g) ?? []).map(Number);
      // Relative luminance and contrast as WCAG 2.2 defines them.
      const luminance = (css: string) => {
        const [r, g, b] = channels(css)
          .slice(0, 3)
          .map((value) => value / 255)
          .map((value) => (value <= 0.04045 ? value / 12.92 : ((value + 0.055) / 1.055) ** 2.4));
        return 0.2126 * r + 0.7152 * g + 0.0722 * b;
      };
      const groundOf = (element: Element): string => {
        for (let at: Element | null = element; at; at = at.parentElement) {
          const colour = getComputedStyle(at).backgroundColor;
          if ((channels(colour)[3] ?? 1) > 0.99) return colour;
        }
        return "rgb(255, 255, 255)";
      };
      const selectors = [
        ".cw-title",
        ".cw-views button",
        ".cw-counter-of",
        ".cw-line",
        ".cw-facts",
        ".cw-finding-message",
        ".cw-finding-where",
        ".cw-summary p",
        ".cw-layer",
        ".cw-keys span",
        ".cw-operation",
        ".cw-size",
      ];
      return selectors.map((selector) => {
        const element = document.querySelector(selector)!;
        const [a, b] = [luminance(getComputedStyle(element).color), luminance(groundOf(element))];
        return { selector, ratio: (Math.max(a, b) + 0.05) / (Math.min(a, b) + 0.05) };
      });
    });
    // WCAG 2.2, 1.4.3 Contrast (Minimum): 4.5 to 1 for text.
    for (const { selector, ratio } of ratios) expect(ratio, selector).toBeGreaterThanOrEqual(4.5);
    expect(complaints).toEqual([]);
    await close();
  });

  test("a change of the editor's theme repaints the drawing", async () => {
    const { page, close } = await bench.show({ scene, bodyClass: "vscode-dark" });
    const corner = [{ x: 4, y: 4 }];
    const [dark] = await bench.coloursAt(page, corner);
    await page.evaluate(() => (document.body.className = "vscode-light"));
    await frame(page);
    const [light] = await bench.coloursAt(page, corner);
    expect(light[0] - dark[0]).toBeGreaterThan(100);
    await close();
  });
});

describe("sizes", () => {
  test.each([
    [360, 740],
    [480, 900],
    [640, 900],
    [900, 600],
    [1200, 800],
    [1900, 1000],
  ])("%d by %d: nothing is cut off and nothing covers the drawing", async (width, height) => {
    const { page, close } = await bench.show({ scene, width, height });
    await page.screenshot({ path: screenshotFile(`size-${width}`), fullPage: true });
    const found = await page.evaluate(() => {
      const box = (selector: string) => document.querySelector(selector)!.getBoundingClientRect();
      const stage = box(".cw-stage");
      const others = [".cw-bar", ".cw-time", ".cw-readout", ".cw-side"].map(box);
      const covering = others.filter(
        (other) =>
          other.left < stage.right - 0.5 &&
          stage.left < other.right - 0.5 &&
          other.top < stage.bottom - 0.5 &&
          stage.top < other.bottom - 0.5,
      ).length;
      const labels = [...document.querySelectorAll(".cw-label:not(.cw-off)")]
        .filter((label) => label.getClientRects().length > 0)
        .map((label) => label.getBoundingClientRect());
      let overlapping = 0;
      labels.forEach((a, i) =>
        labels.slice(i + 1).forEach((b) => {
          if (a.left < b.right && b.left < a.right && a.top < b.bottom && b.top < a.bottom) overlapping++;
        }),
      );
      return {
        covering,
        overlapping,
        labels: labels.length,
        stage: { width: stage.width, height: stage.height },
        wider: document.documentElement.scrollWidth - document.documentElement.clientWidth,
        cut: [...document.querySelectorAll("button:not(.cw-marker), label, .cw-counter")]
          .filter(
            (element) => element.getClientRects().length > 0 && element.scrollWidth > element.clientWidth + 1,
          )
          .map((element) => `${element.className}: ${element.textContent}`),
      };
    });
    expect(found.covering).toBe(0);
    expect(found.overlapping).toBe(0);
    expect(found.labels).toBeGreaterThanOrEqual(5);
    expect(found.wider).toBe(0);
    expect(found.cut).toEqual([]);
    expect(found.stage.height).toBeGreaterThanOrEqual(240);
    expect(found.stage.width).toBeGreaterThanOrEqual(340);
    await close();
  });
});
