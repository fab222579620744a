/** Builds the view and opens it in a real Chromium, as the stand-alone page or as the editor's webview. */
import { build } from "esbuild";
import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { chromium, type Browser, type Page } from "playwright-core";

const root = join(import.meta.dirname, "../..");
const screenshots = join(import.meta.dirname, "screenshots");

export interface PageOptions {
  readonly width?: number;
  readonly height?: number;
  /** Classes the editor would put on the body. */
  readonly bodyClass?: string;
  readonly colorScheme?: "light" | "dark";
  readonly forcedColors?: "active" | "none";
  readonly reducedMotion?: "reduce" | "no-preference";
  /** Scene as text, embedded as on the stand-alone page. */
  readonly scene?: string;
  /** True: as in the editor, with a stand-in for its message port. */
  readonly editor?: boolean;
  /** CSS variables as the editor sets them. */
  readonly variables?: Readonly<Record<string, string>>;
  readonly noWebgl?: boolean;
}

export interface ViewPage {
  readonly page: Page;
  /** Console errors, page errors, CSP violations and requests beyond the page itself. */
  readonly complaints: string[];
  close(): Promise<void>;
}

export class ViewBench {
  private constructor(
    private readonly browser: Browser,
    private readonly folder: string,
    private readonly script: string,
    private readonly css: string,
  ) {}

  static async open(): Promise<ViewBench> {
    const built = await build({
      absWorkingDir: root,
      entryPoints: ["webview/src/main.ts"],
      bundle: true,
      format: "iife",
      platform: "browser",
      target: "es2022",
      write: false,
    });
    const browser = await chromium.launch({
      executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium",
      args: [
        "--no-sandbox",
        "--disable-quic",
        "--no-first-run",
        "--disable-background-networking",
        "--disable-component-update",
        "--disable-sync",
        "--enable-unsafe-swiftshader",
        "--use-gl=angle",
        "--use-angle=swiftshader",
      ],
    });
    mkdirSync(screenshots, { recursive: true });
    const folder = mkdtempSync(join(tmpdir(), "cutwright-view-"));
    const css = readFileSync(join(root, "webview/src/view.css"), "utf8");
    return new ViewBench(browser, folder, built.outputFiles[0].text, css);
  }

  async close(): Promise<void> {
    await this.browser.close();
    rmSync(this.folder, { recursive: true, force: true });
  }

  /** Red, green, blue of places of the canvas (CSS px), as they are on the screen. */
  async coloursAt(page: Page, places: readonly { x: number; y: number }[]): Promise<number[][]> {
    const shot = await page.getByTestId("cut-view-canvas").screenshot();
    const blank = await this.browser.newPage();
    try {
      return await blank.evaluate(
        async ({ png, at }) => {
          const bytes = Uint8Array.from(atob(png), (letter) => letter.charCodeAt(0));
          const picture = await createImageBitmap(new Blob([bytes], { type: "image/png" }));
          const canvas = new OffscreenCanvas(picture.width, picture.height);
          const context = canvas.getContext("2d")!;
          context.drawImage(picture, 0, 0);
          return at.map(({ x, y }) =>
            [...context.getImageData(Math.round(x), Math.round(y), 1, 1).data].slice(0, 3),
          );
        },
        { png: shot.toString("base64"), at: places },
      );
    } finally {
      await blank.close();
    }
  }

  /** Opens a page under the policy that the real ones have, and waits for the first picture. */
  async show(options: PageOptions = {}): Promise<ViewPage> {
    const file = join(this.folder, `page-${Math.random().toString(36).slice(2)}.html`);
    writeFileSync(file, pageText(this.script, this.css, options));
    const context = await this.browser.newContext({
      viewport: { width: options.width ?? 1200, height: options.height ?? 800 },
      colorScheme: options.colorScheme ?? "light",
      forcedColors: options.forcedColors ?? "none",
      reducedMotion: options.reducedMotion ?? "no-preference",
    });
    const page = await context.newPage();
    const complaints: string[] = [];
    page.on("console", (message) => {
      if (message.type() === "error") complaints.push(message.text());
    });
    page.on("pageerror", (error) => complaints.push(String(error)));
    page.on("request", (request) => {
      if (request.url() !== pathToFileURL(file).href) complaints.push(`request ${request.url()}`);
    });
    if (options.noWebgl) {
      await page.addInitScript(() => {
        const original = HTMLCanvasElement.prototype.getContext;
        HTMLCanvasElement.prototype.getContext = function (this: HTMLCanvasElement, kind: string) {
          return kind === "2d" ? original.call(this, "2d") : null;
        } as typeof original;
      });
    }
    await page.goto(pathToFileURL(file).href);
    await page.evaluate(() => window.cutwrightTest?.frame());
    return { page, complaints, close: () => context.close() };
  }
}

/** Waits for a picture that shows the present state in full. */
export async function frame(page: Page): Promise<void> {
  await page.evaluate(() => window.cutwrightTest!.frame());
}

/** Sends the view a message as the editor does. */
export async function post(page: Page, message: unknown): Promise<void> {
  await page.evaluate((data) => window.postMessage(data, "*"), message);
  // Messages are delivered in their own task.
  await page.evaluate(() => new Promise((resolve) => setTimeout(resolve, 0)));
}

/** What the view sent to the editor so far. */
export function sent(page: Page): Promise<{ type: string; line?: number; index?: number }[]> {
  return page.evaluate(() => window.sentMessages ?? []);
}

declare global {
  interface Window {
    sentMessages?: { type: string; line?: number; index?: number }[];
  }
}

export function screenshotFile(name: string): string {
  return join(screenshots, `${name}.png`);
}

function pageText(script: string, css: string, options: PageOptions): string {
  const nonce = "bench";
  const port = `window.sentMessages = [];
    let keptState;
    window.acquireVsCodeApi = () => ({
      postMessage: (message) => window.sentMessages.push(message),
      getState: () => keptState,
      setState: (state) => { keptState = state; },
    });`;
  const variables = Object.entries(options.variables ?? {})
    .map(([name, value]) => `${name}: ${value};`)
    .join(" ");
  return `<!doctype html>
<html lang="en"><head><meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; script-src 'nonce-${nonce}'; style-src 'nonce-${nonce}'">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>Bench</title>
<style nonce="${nonce}">:root { ${variables} } ${css}</style></head>
<body class="${options.bodyClass ?? ""}">
<main id="cutwright-view"></main>
${options.scene === undefined ? "" : `<script type="application/json" id="cutwright-scene">${options.scene.replaceAll("<", "\\u003c")}</script>`}
${options.editor ? `<script nonce="${nonce}">${port}</script>` : ""}
<script nonce="${nonce}">${script.replaceAll("</script", "<\\/script")}</script>
</body></html>`;
}
