// Starts the served editor with one .vsix installed and drives it through a real browser, as a user would.
import { execFile, spawn, type ChildProcess } from "node:child_process";
import { createWriteStream } from "node:fs";
import { mkdir, mkdtemp, rm, writeFile } from "node:fs/promises";
import { createServer } from "node:net";
import { tmpdir } from "node:os";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { promisify } from "node:util";
import { chromium, type Browser, type Frame, type Page } from "playwright-core";
import { benchEntry, chromiumProgram, ensureBench } from "./install.mjs";

/** Where screenshots of the editor are kept; not part of the repository. */
export const SCREENSHOT_FOLDER = fileURLToPath(new URL("../screenshots/", import.meta.url));

// The software renderer gives WebGL 2 on a machine with no graphics card.
const BROWSER_FLAGS = [
  "--no-sandbox",
  "--disable-quic",
  "--no-first-run",
  "--disable-background-networking",
  "--disable-component-update",
  "--disable-sync",
  "--enable-unsafe-swiftshader",
  "--use-gl=angle",
  "--use-angle=swiftshader",
];

/** Longest wait for one thing to appear, in ms; generous, since the machine may be shared. */
const PATIENCE = 60_000;

export interface LaunchOptions {
  /** Absolute path of the packaged extension. */
  vsix: string;
  /** Absolute path of the folder to open: a copy, since `.vscode/settings.json` is written into it. */
  workspace: string;
  /** Settings, as in settings.json. */
  settings?: Record<string, unknown>;
  /** Window size in CSS px. */
  viewport?: { width: number; height: number };
}

/** One row of the Problems panel. */
export interface ProblemRow {
  /** Whole accessible text of the row: severity, message, source, rule id, line. */
  text: string;
  /** File the row stands under. */
  file: string;
}

export type Theme = "dark" | "light";

const THEMES: Record<Theme, string> = { dark: "Default Dark Modern", light: "Default Light Modern" };

/** A running editor window. Close it in every outcome: it owns processes and a temporary folder. */
export interface EditorWindow {
  page: Page;
  /** Opens a workspace file by name through quick open and waits for its tab. */
  openFile(name: string): Promise<void>;
  /** Makes an open file's editor the active one by its tab: the cursor stays, and so does what is in other groups. */
  focusTab(name: string): Promise<void>;
  /** Runs a command by the title the command palette shows. */
  runCommand(title: string): Promise<void>;
  /** Takes an entry of the pick list that a command has put up. */
  pickOpenItem(label: string): Promise<void>;
  /** Hides the panel under the editors, if it shows. */
  closePanel(): Promise<void>;
  /** Loads the window anew, as after a restart of the browser. */
  reload(): Promise<void>;
  /** Rows of the Problems panel, which is opened if needed; empty when there are none. */
  readProblems(): Promise<ProblemRow[]>;
  /**
   * One-based line and column of the active editor's cursor, from the status bar. The status bar shows it only
   * while a text editor is active, so call focusTab first after a click in a webview.
   */
  cursorPosition(): Promise<{ line: number; column: number }>;
  /** Puts the cursor of the active editor on a one-based line. */
  goToLine(line: number): Promise<void>;
  /** Frame of the webview that holds `selector`. */
  webviewFrame(selector: string): Promise<Frame>;
  /** Changes settings in the folder's settings file, which the running editor picks up. */
  setSettings(settings: Record<string, unknown>): Promise<void>;
  setTheme(theme: Theme): Promise<void>;
  /** Keeps a picture of the window as NAME.png and returns its path. */
  screenshot(name: string): Promise<string>;
  /** Text of the notification toasts now on show. */
  notifications(): Promise<string[]>;
  /** Errors the browser console and page scripts reported so far. */
  browserErrors(): string[];
  close(): Promise<void>;
}

async function freePort(): Promise<number> {
  return new Promise((resolve, reject) => {
    const probe = createServer();
    probe.once("error", reject);
    probe.listen(0, "127.0.0.1", () => {
      const address = probe.address();
      const port = typeof address === "object" && address ? address.port : 0;
      probe.close(() => resolve(port));
    });
  });
}

/** Environment of the served editor: without what a surrounding editor or test run would leak into it. */
function editorEnvironment(scratch: string): NodeJS.ProcessEnv {
  const leaked =
    /^(VSCODE_|ELECTRON_|VITEST|NODE_OPTIONS$|NODE_ENV$|PORT$|CODE_SERVER|PASSWORD|HASHED_PASSWORD)/;
  const kept = Object.entries(process.env).filter(([name]) => !leaked.test(name));
  return {
    ...Object.fromEntries(kept),
    XDG_CONFIG_HOME: join(scratch, "config"),
    XDG_DATA_HOME: join(scratch, "data"),
    // No extension gallery: a test asks nothing of the network.
    EXTENSIONS_GALLERY: JSON.stringify({ serviceUrl: "" }),
  };
}

async function untilAnswering(url: string, server: ChildProcess, log: string): Promise<void> {
  const end = Date.now() + PATIENCE;
  while (Date.now() < end) {
    if (server.exitCode !== null) break;
    const answer = await fetch(url).catch(() => undefined);
    if (answer?.ok) return;
    await new Promise((resolve) => setTimeout(resolve, 200));
  }
  throw new Error(`the served editor did not answer on ${url}; its log is ${log}`);
}

/** Ends the server and the extension hosts it started: they share its process group. */
async function endGroup(server: ChildProcess): Promise<void> {
  if (server.pid === undefined || server.exitCode !== null) return;
  const gone = new Promise<void>((resolve) => server.once("exit", () => resolve()));
  const signal = (name: NodeJS.Signals) => {
    try {
      process.kill(-server.pid!, name);
    } catch {
      // the group is already gone
    }
  };
  signal("SIGTERM");
  const hard = setTimeout(() => signal("SIGKILL"), 5_000);
  await gone;
  clearTimeout(hard);
  signal("SIGKILL");
}

/**
 * Builds the bench if needed, installs the .vsix, opens the workspace in a browser and waits for the workbench.
 * Throws when the bench cannot be built, the extension does not install, or the workbench does not appear.
 */
export async function launchEditor(options: LaunchOptions): Promise<EditorWindow> {
  const bench = await ensureBench();
  const entry = benchEntry(bench);
  const scratch = await mkdtemp(join(tmpdir(), "cutwright-editor-"));
  const extensionsFolder = join(scratch, "extensions");
  const userFolder = join(scratch, "user");
  // In a browser the user's own settings live in the browser's storage, so the folder's settings are written.
  const settingsFile = join(options.workspace, ".vscode", "settings.json");
  const environment = editorEnvironment(scratch);
  const folders = ["--extensions-dir", extensionsFolder, "--user-data-dir", userFolder];

  let settings: Record<string, unknown> = {
    "workbench.startupEditor": "none",
    "workbench.tips.enabled": false,
    "telemetry.telemetryLevel": "off",
    // A served editor saves by itself unless told; then no test could tell unsaved text from saved.
    "files.autoSave": "off",
    "extensions.ignoreRecommendations": true,
    "workbench.colorTheme": THEMES.dark,
    ...options.settings,
  };
  const setSettings = async (changed: Record<string, unknown>) => {
    settings = { ...settings, ...changed };
    await mkdir(dirname(settingsFile), { recursive: true });
    await writeFile(settingsFile, JSON.stringify(settings, null, 2));
  };
  await setSettings({});
  await mkdir(extensionsFolder, { recursive: true });

  // A folder dropped into the extensions folder is not found: the package has to be installed.
  const install = [entry, "--install-extension", options.vsix, ...folders];
  const { stdout, stderr } = await promisify(execFile)(process.execPath, install, { env: environment });
  if (!/successfully installed/i.test(stdout)) {
    throw new Error(`the extension did not install:\n${stdout}\n${stderr}`);
  }

  const port = await freePort();
  const logFile = join(scratch, "server.log");
  const server = spawn(
    process.execPath,
    [
      entry,
      "--bind-addr",
      `127.0.0.1:${port}`,
      "--auth",
      "none",
      "--disable-telemetry",
      "--disable-update-check",
      "--disable-workspace-trust",
      ...folders,
    ],
    { env: environment, detached: true, stdio: ["ignore", "pipe", "pipe"] },
  );
  const log = createWriteStream(logFile);
  server.stdout.pipe(log, { end: false });
  server.stderr.pipe(log, { end: false });
  const lastResort = () => {
    if (server.pid !== undefined && server.exitCode === null) process.kill(-server.pid, "SIGKILL");
  };
  process.once("exit", lastResort);

  let browser: Browser | undefined;
  const close = async () => {
    await browser?.close().catch(() => undefined);
    await endGroup(server);
    process.off("exit", lastResort);
    log.end();
    await rm(scratch, { recursive: true, force: true, maxRetries: 5, retryDelay: 200 });
  };

  try {
    const origin = `http://127.0.0.1:${port}`;
    await untilAnswering(`${origin}/healthz`, server, logFile);
    const executablePath = chromiumProgram();
    if (!executablePath) throw new Error("no chromium found: install it or set CHROMIUM");
    browser = await chromium.launch({ executablePath, args: BROWSER_FLAGS });
    const page = await browser.newPage({ viewport: options.viewport ?? { width: 1600, height: 950 } });
    page.setDefaultTimeout(PATIENCE);
    const errors: string[] = [];
    page.on("console", (message) => {
      if (message.type() === "error") errors.push(message.text());
    });
    page.on("pageerror", (error) => errors.push(String(error)));
    await page.goto(`${origin}/?folder=${encodeURIComponent(options.workspace)}`);
    await workbenchShown(page);
    return { ...drive(page, setSettings), setSettings, browserErrors: () => [...errors], close };
  } catch (error) {
    await close();
    throw error;
  }
}

async function workbenchShown(page: Page): Promise<void> {
  await page.locator(".monaco-workbench .part.statusbar .statusbar-item").first().waitFor();
  await page.locator(".part.sidebar .explorer-folders-view .monaco-list-row").first().waitFor();
}

type Driver = Omit<EditorWindow, "setSettings" | "browserErrors" | "close">;

function drive(page: Page, setSettings: EditorWindow["setSettings"]): Driver {
  const quickInput = page.locator(".quick-input-widget");
  const quickRows = quickInput.locator(".quick-input-list .monaco-list-row");

  /**
   * Opens quick input with a key and types into it. A key pressed while a webview has the focus reaches the
   * editor late or not at all, and quick input closes when the focus moves, so both are tried again.
   */
  async function typeInQuickInput(key: string, typed: string): Promise<void> {
    const input = quickInput.locator(".quick-input-box input");
    for (let attempt = 0; ; attempt++) {
      await page.keyboard.press("Escape");
      await page.keyboard.press(key);
      try {
        await quickInput.waitFor({ state: "visible", timeout: 5_000 });
        await input.fill(typed, { timeout: 5_000 });
        return;
      } catch (error) {
        if (attempt === 3) throw error;
      }
    }
  }

  /**
   * Opens quick input with a key, types, waits for a row that names `wanted`, and takes it. On a busy machine the
   * focus may move away after the typing, which closes quick input: then all of it is done again.
   */
  async function pick(key: string, typed: string, wanted: string): Promise<void> {
    const row = quickRows.filter({ hasText: wanted }).first();
    for (let attempt = 0; ; attempt++) {
      await typeInQuickInput(key, typed);
      try {
        await row.click({ timeout: 15_000 });
        return;
      } catch (error) {
        if (attempt === 3) throw error;
      }
    }
  }

  const runCommand = (title: string) => pick("F1", `>${title}`, title);

  async function cursorPosition(): Promise<{ line: number; column: number }> {
    const item = page.locator("#status\\.editor\\.selection");
    await item.waitFor();
    const match = /Ln (\d+), Col (\d+)/.exec((await item.textContent()) ?? "");
    if (!match) throw new Error(`the status bar shows no cursor position: ${await item.textContent()}`);
    return { line: Number(match[1]), column: Number(match[2]) };
  }

  async function readProblems(): Promise<ProblemRow[]> {
    const panel = page.locator(".markers-panel");
    if (!(await panel.isVisible())) await runCommand("View: Focus Problems");
    await panel.waitFor();
    await page.waitForTimeout(300);
    const rows = panel.locator(".monaco-list-row");
    const found: ProblemRow[] = [];
    let file = "";
    // The list is virtual: only rows in sight exist, so callers that need all of them make the panel tall.
    for (const row of await rows.all()) {
      const text = `${(await row.getAttribute("aria-label")) ?? ""} ${(await row.innerText()).replace(/\s+/g, " ")}`;
      const level = await row.getAttribute("aria-level");
      if (level === "1") file = await row.locator(".label-name").first().innerText();
      else found.push({ text: text.trim(), file });
    }
    return found;
  }

  async function webviewFrame(selector: string): Promise<Frame> {
    const end = Date.now() + PATIENCE;
    // The page's content sits in a frame within the webview's own frame; which one is not told, so ask each.
    while (Date.now() < end) {
      for (const frame of page.frames()) {
        const found = await frame
          .locator(selector)
          .count()
          .catch(() => 0);
        if (found > 0) return frame;
      }
      await page.waitForTimeout(200);
    }
    throw new Error(
      `no webview shows ${selector}; frames: ${page
        .frames()
        .map((frame) => frame.url())
        .join(" ")}`,
    );
  }

  return {
    page,
    runCommand,
    cursorPosition,
    readProblems,
    webviewFrame,
    async openFile(name) {
      await pick("Control+P", name, name);
      await page.locator(`.tabs-container .tab.active[data-resource-name="${name}"]`).first().waitFor();
      await page.locator(".editor-instance .monaco-editor .view-lines").first().waitFor();
    },
    async pickOpenItem(label) {
      await quickRows.filter({ hasText: label }).first().click();
    },
    async closePanel() {
      const panel = page.locator(".part.panel");
      if (!(await panel.isVisible())) return;
      await runCommand("View: Hide Panel");
      await panel.waitFor({ state: "hidden" });
    },
    async reload() {
      await page.reload();
      await workbenchShown(page);
    },
    async focusTab(name) {
      const tab = page.locator(`.tabs-container .tab[data-resource-name="${name}"]`).first();
      await tab.click();
      await page.locator("#status\\.editor\\.selection").waitFor();
    },
    async goToLine(line) {
      await typeInQuickInput("Control+G", `:${line}`);
      await page.keyboard.press("Enter");
      await quickInput.waitFor({ state: "hidden" });
      await page.locator("#status\\.editor\\.selection", { hasText: `Ln ${line},` }).waitFor();
    },
    async setTheme(theme) {
      await setSettings({ "workbench.colorTheme": THEMES[theme] });
      const themeClass = theme === "dark" ? ".vs-dark" : ".vs";
      await page.locator(`.monaco-workbench${themeClass}`).waitFor();
      await page.waitForTimeout(500);
    },
    async screenshot(name) {
      await mkdir(SCREENSHOT_FOLDER, { recursive: true });
      const path = join(SCREENSHOT_FOLDER, `${name}.png`);
      await page.screenshot({ path });
      return path;
    },
    async notifications() {
      return page.locator(".notifications-toasts .notification-list-item-message").allInnerTexts();
    },
  };
}
