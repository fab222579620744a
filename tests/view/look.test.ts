import { test, beforeAll, afterAll } from "vitest";
import { existsSync, readFileSync, writeFileSync } from "node:fs";
import { screenshotFile, ViewBench } from "./view-page.ts";
let bench: ViewBench;
beforeAll(async () => { bench = await ViewBench.open(); });
afterAll(async () => { await bench.close(); });
const scene = readFileSync("/tmp/vb/scene.json", "utf8");
const shoot = async (name: string, o: any, f?: (p: any) => Promise<void>, fullPage = false) => {
  const { page, complaints, close } = await bench.show(o);
  await f?.(page);
  await page.evaluate(() => window.cutwrightTest?.frame());
  await page.screenshot({ path: screenshotFile(name), fullPage });
  if (complaints.length) console.log(name, complaints);
  await close();
};
test("look", async () => {
  await shoot("look-hc", { scene, bodyClass: "vscode-high-contrast", width: 1100, height: 760 }, async (p) => { await p.getByTestId("scrubber").fill("150"); await p.getByTestId("finding").nth(1).click(); });
  await shoot("look-hcl", { scene, bodyClass: "vscode-high-contrast vscode-high-contrast-light", width: 1100, height: 760 }, async (p) => { await p.getByTestId("scrubber").fill("60"); });
  await shoot("look-narrow", { scene, width: 360, height: 740 }, undefined, true);
  await shoot("look-keys", { scene, editor: false, colorScheme: "dark", width: 1000, height: 700 }, async (p) => { await p.getByText("Keys", { exact: true }).first().click(); });
  await shoot("look-nogl", { scene, noWebgl: true, width: 1000, height: 700 });
  await shoot("look-empty", { editor: true, width: 700, height: 400 });
  await shoot("look-forced", { scene, forcedColors: "active", colorScheme: "dark", width: 1100, height: 700 }, async (p) => { await p.getByTestId("view-top").click(); await p.getByTestId("scrubber").fill("0"); });
});
