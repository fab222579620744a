/** The cut view in a real browser, on the sample board. */
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { encodeScene } from "../../server/src/report/scene-codec.ts";
import type { Scene } from "../../server/src/report/scene.ts";
import { hostileComment, sampleProgram, sceneOf } from "./sample-board.ts";
import { frame, post, screenshotFile, sent, ViewBench } from "./view-page.ts";

declare global {
  interface Window {
    restoreContext?: () => void;
  }
}

let bench: ViewBench;
let scene: Scene;
let text: string;

beforeAll(async () => {
  bench = await ViewBench.open();
  scene = sceneOf(sampleProgram);
  text = encodeScene(scene);
});
afterAll(async () => {
  await bench?.close();
});

/** Zero-based line of the first block that is exactly this. */
function lineOf(block: string): number {
  const line = sampleProgram.split("\n").indexOf(block);
  expect(line).toBeGreaterThanOrEqual(0);
  return line;
}

function motionOn(line: number): number {
  return scene.motions.line.indexOf(line);
}

describe("the stand-alone page", () => {
  test("opens from a file without complaints and without asking for anything", async () => {
    const { page, complaints, close } = await bench.show({ scene: text });
    expect(complaints).toEqual([]);
    expect(await page.locator("h1").textContent()).toBe("seed-board.nc");
    expect(await page.getByTestId("readout").textContent()).toContain(
      `line ${scene.motions.line[scene.motions.count - 1] + 1}`,
    );
    expect(await page.getByTestId("finding").count()).toBe(scene.findings.length);
    await page.screenshot({ path: screenshotFile("page-light") });
    await close();
  });

  test("draws nothing while nothing changes", async () => {
    const { page, close } = await bench.show({ scene: text });
    const frames = await page.evaluate(async () => {
      const original = window.requestAnimationFrame.bind(window);
      let asked = 0;
      window.requestAnimationFrame = (callback) => {
        asked++;
        return original(callback);
      };
      await new Promise((resolve) => setTimeout(resolve, 600));
      return asked;
    });
    expect(frames).toBe(0);
    await close();
  });

  test("a comment that looks like markup stays text, as the name of an operation too", async () => {
    const program = [
      "(cutwright: thickness 12 mm; size 80 x 60 mm; tool 1 flat 6 mm)",
      "G21 G90",
      `(${hostileComment.replaceAll(";", "")})`,
      "T1 M6",
      "S9000 M3",
      "G0 X10 Y10 Z5",
      "G1 Z-3 F200",
      "G1 X60 F600",
      "G0 Z5",
      "M30",
    ].join("\n");
    const { page, complaints, close } = await bench.show({
      scene: encodeScene(sceneOf(program, "<b>board<b>.nc")),
    });
    expect(await page.locator("h1").textContent()).toBe("<b>board<b>.nc");
    await page.getByTestId("motion-back").click();
    expect(await page.getByTestId("readout").textContent()).toContain("<img src=x");
    expect(await page.locator("main img, main script, h1 b").count()).toBe(0);
    expect(await page.title()).toBe("Bench");
    expect(complaints).toEqual([]);
    await close();
  });
});

describe("the picture", () => {
  test("scrubbing carves the board: top before, floor or bed after", async () => {
    const { page, close } = await bench.show({ scene: text });
    await page.getByTestId("view-top").click();
    for (const layer of ["toolpath", "rapids", "tool", "findings", "skin"])
      await page.getByTestId(`layer-${layer}`).uncheck();
    const pocket = motionOn(lineOf("G1 X280 Y24 F1500"));
    const hole = motionOn(lineOf("G3 X45 Y100 Z-5 I-5 J0 F900"));
    const outline = motionOn(lineOf("G1 X140"));
    const places = await page.evaluate(
      (motions) => motions.map((i) => window.cutwrightTest!.screenPointOfMotion(i)!),
      [pocket, hole, outline],
    );
    await page.getByTestId("scrubber").fill("0");
    await frame(page);
    const before = await bench.coloursAt(page, places);
    expect(distance(before[0], before[1])).toBeLessThan(3);
    expect(distance(before[0], before[2])).toBeLessThan(3);
    await page.getByTestId("scrubber").fill(String(hole));
    await frame(page);
    const middle = await bench.coloursAt(page, places);
    expect(distance(middle[0], before[0])).toBeGreaterThan(60);
    expect(distance(middle[1], before[1])).toBeLessThan(3);
    await page.getByTestId("scrubber").fill(String(scene.motions.count));
    await frame(page);
    const after = await bench.coloursAt(page, places);
    // Floor of the rebate, bed under the hole, deep floor of the outline: three shades that are not the top's.
    for (const [a, b] of [
      [after[0], after[1]],
      [after[1], after[2]],
      [after[0], after[2]],
      [after[1], before[1]],
    ])
      expect(distance(a, b)).toBeGreaterThan(40);
    // And back again, through the keyframes.
    await page.getByTestId("scrubber").fill("0");
    await frame(page);
    expect(await bench.coloursAt(page, places)).toEqual(before);
    await close();
  });

  test("the layers are drawn or not", async () => {
    const { page, close } = await bench.show({ scene: text });
    await page.getByTestId("view-top").click();
    await frame(page);
    // Out of the way: markers may lie over the tool.
    await page.getByTestId("layer-findings").uncheck();
    await page.getByTestId("scrubber").fill("60");
    await frame(page);
    for (const layer of ["skin", "toolpath", "rapids", "stock", "tool"]) {
      const canvas = page.getByTestId("cut-view-canvas");
      const on = await canvas.screenshot();
      await page.getByTestId(`layer-${layer}`).uncheck();
      await frame(page);
      expect((await canvas.screenshot()).equals(on), layer).toBe(false);
      await page.getByTestId(`layer-${layer}`).check();
      await frame(page);
      expect((await canvas.screenshot()).equals(on), `${layer} again`).toBe(true);
    }
    expect(await page.locator(".cw-marker:visible").count()).toBe(0);
    await page.getByTestId("layer-findings").check();
    await frame(page);
    expect(await page.locator(".cw-marker:visible").count()).toBeGreaterThan(5);
    await close();
  });

  test("comes back after the graphics context was lost", async () => {
    const { page, close } = await bench.show({ scene: text });
    const canvas = page.getByTestId("cut-view-canvas");
    const before = await canvas.screenshot();
    await page.evaluate(async () => {
      const element = document.querySelector("canvas[data-testid=cut-view-canvas]") as HTMLCanvasElement;
      const lose = element.getContext("webgl2")!.getExtension("WEBGL_lose_context")!;
      const lost = new Promise((resolve) => element.addEventListener("webglcontextlost", resolve));
      window.restoreContext = () => lose.restoreContext();
      lose.loseContext();
      await lost;
    });
    expect(await page.locator(".cw-stage-notice").textContent()).toContain("interrupted");
    await page.evaluate(async () => {
      const element = document.querySelector("canvas[data-testid=cut-view-canvas]") as HTMLCanvasElement;
      const restored = new Promise((resolve) => element.addEventListener("webglcontextrestored", resolve));
      window.restoreContext!();
      await restored;
    });
    await frame(page);
    expect(await page.locator(".cw-stage-notice").textContent()).toBe("");
    await canvas.screenshot({ path: screenshotFile("context-restored") });
    expect((await canvas.screenshot()).equals(before)).toBe(true);
    await close();
  });

  test("shades keep apart for colour-blind readers", async () => {
    const { page, close } = await bench.show({ scene: text });
    await page.getByTestId("view-top").click();
    for (const layer of ["toolpath", "rapids", "tool", "findings"])
      await page.getByTestId(`layer-${layer}`).uncheck();
    const motions = [
      motionOn(lineOf("G1 X280 Y24 F1500")),
      motionOn(lineOf("G3 X45 Y100 Z-5 I-5 J0 F900")),
      motionOn(lineOf("G0 X30 Y172")),
    ];
    const places = await page.evaluate(
      (list) => list.map((i) => window.cutwrightTest!.screenPointOfMotion(i)!),
      motions,
    );
    const session = await page.context().newCDPSession(page);
    for (const type of ["none", "deuteranopia", "protanopia", "tritanopia", "achromatopsia"] as const) {
      await session.send("Emulation.setEmulatedVisionDeficiency", { type });
      await frame(page);
      await page.screenshot({ path: screenshotFile(`vision-${type}`) });
      const [floor, bed, top] = await bench.coloursAt(page, places);
      expect(distance(floor, bed), `${type}: floor and bed`).toBeGreaterThan(25);
      expect(distance(floor, top), `${type}: floor and top`).toBeGreaterThan(40);
      expect(distance(bed, top), `${type}: bed and top`).toBeGreaterThan(15);
    }
    await close();
  });
});

describe("in the editor", () => {
  test("says it is ready, shows the scene it is sent, ignores what it does not know", async () => {
    const { page, complaints, close } = await bench.show({ editor: true });
    expect(await sent(page)).toEqual([{ type: "ready" }]);
    expect(await page.locator(".cw-empty").isVisible()).toBe(true);
    for (const odd of [
      undefined,
      null,
      7,
      "scene",
      {},
      { type: "scene" },
      { type: "cursor", line: -1 },
      { type: "x" },
    ])
      await post(page, odd);
    expect(await page.locator(".cw-empty").isVisible()).toBe(true);
    await post(page, { type: "scene", scene: text });
    await frame(page);
    expect(await page.locator(".cw-empty").isVisible()).toBe(false);
    await post(page, { type: "empty", message: "Open a <b>program</b>." });
    expect(await page.locator(".cw-empty").textContent()).toBe("Open a <b>program</b>.");
    await post(page, { type: "scene", scene: "{" });
    expect(await page.locator(".cw-empty").textContent()).toContain("could not be read");
    expect(complaints).toEqual([]);
    await close();
  });

  test("a click on a motion reveals its line", async () => {
    const { page, close } = await bench.show({ editor: true });
    await post(page, { type: "scene", scene: text });
    await frame(page);
    await page.getByTestId("layer-findings").uncheck();
    await frame(page);
    const canvas = await page.getByTestId("cut-view-canvas").boundingBox();
    for (const block of [
      "G1 X170 Z-9 F900",
      "G1 X280 Y24 F1500",
      "G2 X110 Y172 I10 J0",
      "G1 X290",
      "G0 X120 Y180",
    ]) {
      const line = lineOf(block);
      const motion = motionOn(line);
      const at = (await page.evaluate((i) => window.cutwrightTest!.screenPointOfMotion(i), motion))!;
      // Lines that lie over one another are taken in turn by further clicks.
      for (let click = 0; click < 5; click++) {
        await page.mouse.click(canvas!.x + at.x, canvas!.y + at.y);
        if ((await page.evaluate(() => window.cutwrightTest!.current())) === motion) break;
      }
      expect(await page.evaluate(() => window.cutwrightTest!.current()), block).toBe(motion);
      expect((await sent(page)).at(-1)).toEqual({ type: "revealLine", line });
      const readout = (await page.getByTestId("readout").textContent())!;
      expect(readout).toContain(`line ${line + 1}`);
      expect(readout).toContain(block);
    }
    await close();
  });

  test("the editor's cursor moves the place and marks the line's motions", async () => {
    const { page, close } = await bench.show({ editor: true });
    await post(page, { type: "scene", scene: text });
    await frame(page);
    const canvas = page.getByTestId("cut-view-canvas");
    const line = lineOf("G1 X170 Z-9 F900");
    await post(page, { type: "cursor", line, endLine: line });
    await frame(page);
    expect(await page.evaluate(() => window.cutwrightTest!.current())).toBe(motionOn(line));
    expect(await page.getByTestId("readout").textContent()).toContain(`line ${line + 1}`);
    expect(await page.getByTestId("scrubber").inputValue()).toBe(String(motionOn(line) + 1));
    const one = await canvas.screenshot();
    await post(page, { type: "cursor", line: line - 3, endLine: line });
    await frame(page);
    // The place lies within the selected lines and stays; more motions are marked.
    expect(await page.evaluate(() => window.cutwrightTest!.current())).toBe(motionOn(line));
    expect((await canvas.screenshot()).equals(one)).toBe(false);
    // A comment has no motions: the board is shown as the machine finds it there.
    await post(page, { type: "cursor", line: lineOf("(Outline)"), endLine: lineOf("(Outline)") });
    const shown = await page.evaluate(() => window.cutwrightTest!.current());
    expect(scene.motions.line[shown]).toBeLessThan(lineOf("(Outline)"));
    expect(scene.motions.line[shown + 1]).toBeGreaterThan(lineOf("(Outline)"));
    await post(page, { type: "reveal", motion: 3 });
    expect(await page.evaluate(() => window.cutwrightTest!.current())).toBe(3);
    await close();
  });

  test("a finding in the list or in the drawing goes to its place and tells the editor", async () => {
    const { page, close } = await bench.show({ editor: true });
    await post(page, { type: "scene", scene: text });
    await frame(page);
    const short = scene.findings.findIndex((finding) => finding.rule === "through-cut-short");
    await page.getByText("will not go through").click();
    expect((await sent(page)).at(-1)).toEqual({ type: "showFinding", index: short });
    expect(await page.locator("[aria-current=true]").textContent()).toContain("will not go through");
    const rapid = scene.findings.findIndex((finding) => finding.rule === "rapid-in-stock");
    await page.locator(".cw-marker:visible").first().click();
    const last = (await sent(page)).at(-1)!;
    expect(last.type).toBe("showFinding");
    expect([rapid, short]).toContain(last.index);
    await page.screenshot({ path: screenshotFile("finding-chosen") });
    await close();
  });
});

describe("by keyboard", () => {
  test("everything is reached by Tab and shows its focus", async () => {
    const { page, close } = await bench.show({ scene: text });
    const reached = new Set<string>();
    for (let press = 0; press < 60; press++) {
      await page.keyboard.press("Tab");
      const at = await page.evaluate(() => {
        const element = document.activeElement as HTMLElement;
        if (element === document.body) return undefined;
        const style = getComputedStyle(element);
        const name =
          element.getAttribute("aria-label") ?? element.closest("label")?.textContent ?? element.textContent;
        return {
          name: name?.trim() ?? "",
          outline: style.outlineStyle,
          width: parseFloat(style.outlineWidth),
        };
      });
      if (!at) break;
      expect(at.name).not.toBe("");
      expect(at.outline, at.name).toBe("solid");
      expect(at.width, at.name).toBeGreaterThanOrEqual(2);
      reached.add(at.name);
    }
    for (const name of [
      "Top",
      "Fit",
      "Keys",
      "Play",
      "One pass on",
      "One cut back",
      "Motions done",
      "Skin left",
    ])
      expect([...reached]).toContain(name);
    expect([...reached].some((name) => name.includes("The board in 3D"))).toBe(true);
    await close();
  });

  test("keys step, turn, fit and list themselves", async () => {
    const { page, close } = await bench.show({ editor: true });
    await post(page, { type: "scene", scene: text });
    await frame(page);
    const canvas = page.getByTestId("cut-view-canvas");
    await canvas.focus();
    const current = () => page.evaluate(() => window.cutwrightTest!.current());
    const last = scene.motions.count - 1;
    await page.keyboard.press(",");
    expect(await current()).toBe(last - 1);
    await page.keyboard.press(".");
    expect(await current()).toBe(last);
    await page.keyboard.press("[");
    expect(await current()).toBe(scene.tree.passes.at(-1)!.end - 1);
    await page.keyboard.press("{");
    expect(await current()).toBeLessThan(scene.tree.passes.at(-1)!.first);
    await page.keyboard.press("Enter");
    expect((await sent(page)).at(-1)).toEqual({
      type: "revealLine",
      line: scene.motions.line[await current()],
    });
    await page.keyboard.press("n");
    expect((await sent(page)).at(-1)!.type).toBe("showFinding");
    await frame(page);
    const before = await canvas.screenshot();
    await page.keyboard.press("ArrowLeft");
    await frame(page);
    const turned = await canvas.screenshot();
    expect(turned.equals(before)).toBe(false);
    await page.keyboard.press("+");
    await frame(page);
    expect((await canvas.screenshot()).equals(turned)).toBe(false);
    await page.keyboard.press("1");
    await page.keyboard.press("0");
    await frame(page);
    await page.keyboard.press("?");
    expect(await page.locator("dialog[open]").isVisible()).toBe(true);
    await page.screenshot({ path: screenshotFile("keys") });
    await page.keyboard.press("Escape");
    expect(await page.locator("dialog[open]").count()).toBe(0);
    await close();
  });
});

describe("playing", () => {
  test("runs to the end and is quiet for the screen reader meanwhile", async () => {
    const { page, close } = await bench.show({ scene: text });
    const words = page.getByTestId("readout");
    await page.getByLabel("Speed of playing").selectOption("256");
    await page.getByTestId("play").click();
    expect(await page.evaluate(() => window.cutwrightTest!.current())).toBeLessThan(scene.motions.count - 1);
    expect(await words.getAttribute("aria-live")).toBe("off");
    await page.waitForFunction(
      () => window.cutwrightTest!.current() === window.cutwrightTest!.motionCount - 1,
      undefined,
      { timeout: 60_000 },
    );
    await page.getByLabel("Play", { exact: true }).waitFor();
    expect(await words.getAttribute("aria-live")).toBe("polite");
    await close();
  });

  test("jumps instead of gliding where less motion is asked for", async () => {
    const { page, close } = await bench.show({ scene: text, reducedMotion: "reduce" });
    await page.getByTestId("scrubber").fill("0");
    const seen = await page.evaluate(async () => {
      const values: string[] = [];
      const slider = document.querySelector("[data-testid=scrubber]") as HTMLInputElement;
      new MutationObserver(() => values.push(slider.value)).observe(slider, { attributes: true });
      (document.querySelector("[data-testid=play]") as HTMLElement).click();
      await new Promise((resolve) => setTimeout(resolve, 1700));
      (document.querySelector("[data-testid=play]") as HTMLElement).click();
      return values;
    });
    expect(seen.length).toBeGreaterThan(0);
    expect(seen.length).toBeLessThanOrEqual(4);
    await close();
  });
});

describe("without WebGL", () => {
  test("says so and still lists the findings and steps", async () => {
    const { page, complaints, close } = await bench.show({ scene: text, noWebgl: true });
    expect(await page.getByTestId("no-drawing").textContent()).toContain("cannot be drawn");
    expect(await page.getByTestId("finding").count()).toBe(scene.findings.length);
    await page.getByTestId("pass-back").click();
    expect(await page.getByTestId("readout").textContent()).toContain("line ");
    expect(complaints).toEqual([]);
    await page.screenshot({ path: screenshotFile("no-webgl") });
    await close();
  });
});

/** Distance of two colours, 0 to 441. */
function distance(a: readonly number[], b: readonly number[]): number {
  return Math.hypot(a[0] - b[0], a[1] - b[1], a[2] - b[2]);
}
