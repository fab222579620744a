// Commands, quick fixes, hover and outline of the packaged extension in a real VS Code, as a user meets them.
import { execFileSync } from "node:child_process";
import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { launchEditor, type EditorWindow } from "./bench/launch.ts";

const root = fileURLToPath(new URL("../../", import.meta.url));
const vsix = join(root, "dist", "cutwright.vsix");
const patience = { timeout: 20_000, interval: 200 };

/** Two slots of one depth; nothing says how thick the board is. */
const rack = `(Label rack)
G21 G90 G17
T1 M6
S18000 M3
G0 Z5
(Ends)
G0 X10 Y10
G1 Z-18 F300
G1 X110 F1200
G0 Z5
G0 X10 Y40
G1 Z-18 F300
G1 X110 F1200
G0 Z5
M5
M30
`;

let workspace: string;
let editor: EditorWindow;

beforeAll(async () => {
  if (!existsSync(vsix)) execFileSync("npm", ["run", "package", "--silent"], { cwd: root, stdio: "inherit" });
  workspace = mkdtempSync(join(tmpdir(), "cutwright-workspace-"));
  writeFileSync(join(workspace, "rack.nc"), rack);
  editor = await launchEditor({ vsix, workspace });
  await editor.openFile("rack.nc");
});

afterAll(async () => {
  await editor?.screenshot("last-action");
  await editor?.close();
  if (workspace) rmSync(workspace, { recursive: true, force: true });
});

const onDisk = (name: string) => readFileSync(join(workspace, name), "utf8");
const statusBar = () => editor.page.locator("#cutwright\\.cutwright\\.cutwright\\.board");

/** Does steps again from the start where the editor, busy, closed a menu or a box in the middle of them. */
async function untilDone(steps: () => Promise<void>): Promise<void> {
  for (let attempt = 0; ; attempt++) {
    try {
      return await steps();
    } catch (error) {
      if (attempt === 4) throw error;
      await editor.page.keyboard.press("Escape");
    }
  }
}

/** Opens the menu of quick fixes at the cursor and takes one. */
async function quickFix(title: string): Promise<void> {
  const { page } = editor;
  const entry = page.locator(".action-widget .action", { hasText: title }).first();
  await untilDone(async () => {
    await page.keyboard.press("Control+.");
    await entry.waitFor({ timeout: 8_000 });
    // A moved mouse takes away the shield that keeps the menu from being clicked by chance.
    const box = (await entry.boundingBox())!;
    await page.mouse.move(box.x + 20, box.y + box.height / 2);
    await page.mouse.move(box.x + 24, box.y + box.height / 2);
    await entry.click({ timeout: 8_000 });
  });
}

describe("the packaged extension's actions", () => {
  test("the status bar says that no thickness is declared", async () => {
    await expect.poll(() => statusBar().innerText(), patience).toContain("no thickness");
  });

  test("Declare Thickness inserts the line with its number selected, and the review follows", async () => {
    await editor.focusTab("rack.nc");
    await editor.runCommand("Cutwright: Declare Thickness");
    await editor.page.locator(".view-line", { hasText: "cutwright" }).first().waitFor();
    await editor.screenshot("declare-thickness");
    await editor.page.keyboard.type("18.6");
    await expect.poll(() => statusBar().innerText(), patience).toMatch(/18\.60 mm.*2 errors/s);
    await editor.page.keyboard.press("Control+s");
    await expect
      .poll(() => onDisk("rack.nc").split("\n")[0], patience)
      .toBe("(cutwright: thickness 18.6 mm)");
  });

  test("hover tells depth, what stays, and the cut", async () => {
    await editor.goToLine(10);
    const hover = editor.page
      .locator(".monaco-hover:not(.hidden)", { hasText: "of the board stays" })
      .first();
    await untilDone(async () => {
      await editor.runCommand("Show or Focus Hover");
      await hover.waitFor({ timeout: 8_000 });
    });
    await editor.screenshot("hover");
    const text = (await hover.innerText()).replace(/\s+/g, " ");
    expect(text).toContain("18.00 mm deep here");
    expect(text).toContain("0.60 mm of the board stays under it");
    expect(text).toContain("meant to go through");
    await editor.page.keyboard.press("Escape");
  });

  test("a finding's rule id opens the page about the rule", async () => {
    const { page } = editor;
    await editor.readProblems();
    await page.locator(".markers-panel a", { hasText: "through-cut-short" }).first().click();
    await page.locator(".tab.active", { hasText: "through-cut-short.md" }).waitFor();
    const preview = await editor.webviewFrame("h1");
    expect(await preview.locator("h1").first().innerText()).toMatch(/through/i);
    await editor.screenshot("rule-page");
    await editor.closePanel();
    await editor.focusTab("rack.nc");
  });

  test("a quick fix silences a finding once its reason is typed", async () => {
    await editor.goToLine(13);
    await quickFix("Silence through-cut-short here");
    await editor.page.keyboard.type("the offcut is snapped off");
    await expect.poll(() => statusBar().innerText(), patience).toContain("1 error");
    await editor.page.keyboard.press("Control+s");
    await expect
      .poll(() => onDisk("rack.nc"), patience)
      .toContain("(cutwright: silence through-cut-short because the offcut is snapped off)\nG1 Z-18");
  });

  test("a quick fix declares the other cut partway, and no error stays", async () => {
    await editor.goToLine(9);
    await quickFix("stops partway on purpose");
    await expect.poll(() => statusBar().innerText(), patience).not.toContain("error");
    await editor.page.keyboard.press("Control+s");
    await expect.poll(() => onDisk("rack.nc"), patience).toContain("(cutwright: partway)\nG1 Z-18");
  });

  test("the outline speaks of operations and cuts", async () => {
    const { page } = editor;
    const rows = page.locator(".quick-input-list .monaco-list-row");
    const slot = rows.filter({ hasText: "Slot, 1 pass, 18.00 mm deep" }).first();
    await untilDone(async () => {
      await page.keyboard.press("Control+Shift+O");
      await slot.waitFor({ timeout: 8_000 });
    });
    await editor.screenshot("outline");
    expect((await rows.allInnerTexts()).join("\n")).toContain("Ends");
    await page.keyboard.press("Escape");
  });

  test("Create Job File writes one beside the program, with the place for the thickness ready", async () => {
    writeFileSync(join(workspace, "rail.nc"), rack);
    await editor.openFile("rail.nc");
    await expect.poll(() => statusBar().innerText(), patience).toContain("no thickness");
    await editor.runCommand("Cutwright: Create Job File");
    await editor.page.locator('.tab.active[data-resource-name="rail.job.json"]').waitFor();
    await editor.screenshot("job-file");
    expect(onDisk("rail.job.json")).toContain('"thickness": ""');
    await editor.page.keyboard.type("17.2 mm");
    await editor.page.keyboard.press("Control+s");
    await expect.poll(() => onDisk("rail.job.json"), patience).toContain('"thickness": "17.2 mm"');
    await editor.focusTab("rail.nc");
    await expect.poll(() => statusBar().innerText(), patience).toContain("17.20 mm");
    expect(await editor.notifications()).toEqual([]);
  });

  test("the cut view says so when its program is closed", async () => {
    const { page } = editor;
    await editor.focusTab("rail.nc");
    await editor.runCommand("Cutwright: Open Cut View");
    const frame = await editor.webviewFrame("[data-testid=cut-view-canvas]");
    await editor.focusTab("rail.nc");
    await editor.runCommand("View: Close All Editors in Group");
    await frame.getByText("The program was closed").first().waitFor();
    await statusBar().waitFor({ state: "hidden" });
    await editor.screenshot("program-closed");
    expect(await page.locator(".notifications-toasts .notification-list-item-message").count()).toBe(0);
  });
});
