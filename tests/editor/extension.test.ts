// The packaged extension in a real VS Code (served, driven through a browser), as a user meets it.
import { execFileSync } from "node:child_process";
import { cpSync, existsSync, mkdtempSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import type { Frame, Locator } from "playwright-core";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { launchEditor, type EditorWindow } from "./bench/launch.ts";
import { pictureFacts } from "./bench/picture.ts";

const root = fileURLToPath(new URL("../../", import.meta.url));
const vsix = join(root, "dist", "cutwright.vsix");
const program = "seed-board-outline.nc";
const canvasSelector = "[data-testid=cut-view-canvas]";

/** The part of the cut view's page that is there for tests. */
interface TestWindow {
  cutwrightTest?: {
    motionCount: number;
    /** Middle of a motion in CSS px from the canvas's upper left corner; undefined outside the picture. */
    screenPointOfMotion(motion: number): { x: number; y: number } | undefined;
    /** Resolves after a picture that shows the present state in full. */
    frame(): Promise<void>;
  };
}

let workspace: string;
let editor: EditorWindow;

beforeAll(async () => {
  if (!existsSync(vsix)) execFileSync("npm", ["run", "package", "--silent"], { cwd: root, stdio: "inherit" });
  workspace = mkdtempSync(join(tmpdir(), "cutwright-workspace-"));
  cpSync(join(root, "tests", "jobs", "seed-board"), workspace, { recursive: true });
  editor = await launchEditor({ vsix, workspace });
});

afterAll(async () => {
  // A last picture says what stood there when a test failed.
  await editor?.screenshot("last");
  await editor?.close();
  if (workspace) rmSync(workspace, { recursive: true, force: true });
});

async function viewFrame(): Promise<{ frame: Frame; canvas: Locator; readout: Locator }> {
  const frame = await editor.webviewFrame(canvasSelector);
  return { frame, canvas: frame.locator(canvasSelector), readout: frame.locator("[data-testid=readout]") };
}

const readoutLine = async (readout: Locator) =>
  Number(/line (\d+)/i.exec((await readout.textContent()) ?? "")?.[1]);

const shortCuts = async () =>
  (await editor.readProblems()).map((row) => row.text).filter((text) => text.includes("through-cut-short"));

describe("the packaged extension in the editor", () => {
  test("lists the through cut that falls short among the problems", async () => {
    await editor.openFile(program);
    await expect
      .poll(async () => (await editor.readProblems()).map((row) => row.text), {
        timeout: 60_000,
        interval: 1_000,
      })
      .toContainEqual(expect.stringContaining("through-cut-short"));
    await editor.screenshot("problems");
    expect(await editor.notifications()).toEqual([]);
  });

  test("opens the cut view and draws the board in it", async () => {
    await editor.focusTab(program);
    await editor.runCommand("Cutwright: Open Cut View");
    const { frame, canvas } = await viewFrame();
    await canvas.waitFor();
    await frame.waitForFunction(() => ((window as TestWindow).cutwrightTest?.motionCount ?? 0) > 0);
    const facts = await pictureFacts(editor.page, await canvas.screenshot());
    expect(facts.colours).toBeGreaterThan(20);
    await editor.screenshot("cut-view");
  });

  test("a click on a motion in the view takes the editor's cursor to its line", async () => {
    await editor.focusTab(program);
    await editor.goToLine(1);
    const { frame, canvas, readout } = await viewFrame();
    const target = await motionToClick(frame, canvas);
    await canvas.click({ position: target });
    await expect.poll(() => readoutLine(readout), { timeout: 20_000 }).toBeGreaterThan(1);
    await editor.focusTab(program);
    const cursorLine = async () => (await editor.cursorPosition()).line;
    await expect.poll(cursorLine, { timeout: 20_000 }).toBeGreaterThan(1);
    const line = await cursorLine();
    expect(line).toBe(await readoutLine(readout));
    // The line it went to is one that moves the machine: it has an axis word.
    expect(readFileSync(join(workspace, program), "utf8").split(/\r?\n/)[line - 1]).toMatch(
      /[XYZ]\s*[-+\d.]/i,
    );
    await editor.screenshot("clicked-motion");
  });

  test("the view's readout follows the editor's cursor", async () => {
    const { readout } = await viewFrame();
    const lines = readFileSync(join(workspace, program), "utf8").split(/\r?\n/);
    const moving = lines.flatMap((text, index) =>
      /^\s*(N\d+\s*)?(G0?[123]\s*)?[XYZ]/i.test(text) ? [index + 1] : [],
    );
    expect(moving.length).toBeGreaterThan(4);
    await editor.focusTab(program);
    for (const line of [moving[2], moving[moving.length - 3]]) {
      await editor.goToLine(line);
      await expect.poll(() => readoutLine(readout), { timeout: 20_000 }).toBe(line);
    }
  });

  test("a finding chosen in the view takes the cursor to the line it stands on", async () => {
    await editor.focusTab(program);
    await editor.goToLine(1);
    const { frame } = await viewFrame();
    const finding = frame.locator("[data-testid=finding]", { hasText: "through-cut-short" }).first();
    const line = Number(/line (\d+)/.exec((await finding.textContent()) ?? "")?.[1]);
    await finding.click();
    await editor.focusTab(program);
    await expect.poll(async () => (await editor.cursorPosition()).line, { timeout: 20_000 }).toBe(line);
  });

  test("an unsaved declaration of a thinner board clears the problem, undoing it brings it back", async () => {
    await editor.focusTab(program);
    await editor.goToLine(1);
    await editor.page.keyboard.press("End");
    // 16 mm: the demo's outline goes 18 mm deep, 2 mm more than this board is thick.
    await editor.page.keyboard.press("Enter");
    await editor.page.keyboard.insertText("(cutwright: thickness 16 mm)");
    await expect.poll(shortCuts, { timeout: 60_000, interval: 1_000 }).toEqual([]);
    await editor.screenshot("declared-thinner");
    await editor.focusTab(program);
    await editor.runCommand("File: Revert File");
    await expect.poll(shortCuts, { timeout: 60_000, interval: 1_000 }).toHaveLength(1);
  });

  test("choosing the other board of the job changes what is said and writes it to the job file", async () => {
    await editor.focusTab(program);
    const statusBar = editor.page.locator(".part.statusbar");
    await statusBar.getByText("prototype").waitFor();
    await editor.runCommand("Cutwright: Choose Board");
    await editor.pickOpenItem("production");
    await statusBar.getByText("production").waitFor();
    await editor.screenshot("board-chosen");
    const job = () => readFileSync(join(workspace, "seed-board.job.json"), "utf8");
    await expect.poll(job, { timeout: 20_000 }).toMatch(/"board": "production"/);
  });

  test("the cut view is there again after the window is loaded anew", async () => {
    await editor.reload();
    const { frame, canvas } = await viewFrame();
    await canvas.waitFor();
    await frame.waitForFunction(() => ((window as TestWindow).cutwrightTest?.motionCount ?? 0) > 0);
    await editor.screenshot("reloaded");
  });

  test.each([
    ["dark", 1600, 950],
    ["light", 1600, 950],
    ["dark", 900, 800],
    ["light", 900, 800],
  ] as const)("draws in the %s theme, %i px wide", async (theme, width, height) => {
    await editor.page.setViewportSize({ width, height });
    await editor.setTheme(theme);
    await editor.closePanel();
    const { frame, canvas } = await viewFrame();
    await canvas.waitFor();
    await editor.page.waitForTimeout(1_000);
    await editor.screenshot(`cut-view-${theme}-${width}`);
    const facts = await pictureFacts(editor.page, await canvas.screenshot());
    expect(facts.colours).toBeGreaterThan(20);
    if (theme === "dark") expect(facts.cornerBrightness).toBeLessThan(110);
    else expect(facts.cornerBrightness).toBeGreaterThan(145);
    const page = await frame.evaluate(() => ({
      wanted: document.documentElement.scrollWidth,
      given: document.documentElement.clientWidth,
    }));
    expect(page.wanted).toBeLessThanOrEqual(page.given);
  });
});

/** Canvas point of the motion nearest the picture's middle, so that no control lies over it. */
async function motionToClick(frame: Frame, canvas: Locator): Promise<{ x: number; y: number }> {
  const box = (await canvas.boundingBox())!;
  const points = await frame.evaluate(async () => {
    const { cutwrightTest } = window as TestWindow;
    await cutwrightTest!.frame();
    return Array.from({ length: cutwrightTest!.motionCount }, (_, motion) =>
      cutwrightTest!.screenPointOfMotion(motion),
    ).filter((point) => point !== undefined);
  });
  const away = (point: { x: number; y: number }) =>
    Math.hypot(point.x - box.width / 2, point.y - box.height / 2);
  const inside = points.filter(({ x, y }) => x > 5 && y > 5 && x < box.width - 5 && y < box.height - 5);
  expect(inside.length).toBeGreaterThan(0);
  return inside.sort((a, b) => away(a) - away(b))[0];
}
