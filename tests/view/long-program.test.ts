/** A program of a hundred thousand motions stays usable. */
import { afterAll, beforeAll, expect, test } from "vitest";
import { encodeScene } from "../../server/src/report/scene-codec.ts";
import { sceneOf } from "./sample-board.ts";
import { frame, screenshotFile, ViewBench } from "./view-page.ts";

let bench: ViewBench;

beforeAll(async () => {
  bench = await ViewBench.open();
});
afterAll(async () => {
  await bench?.close();
});

/** A wavy surface, raster by raster, with a ball cutter. */
function wavyBoard(motions: number): string {
  const lines = [
    "(cutwright: thickness 30 mm; size 200 x 200 mm; tool 1 ball 6 mm)",
    "G21 G90 G17 G94",
    "(Waves)",
    "T1 M6",
    "S18000 M3",
    "G0 X5 Y5 Z5",
    "G1 Z-4 F300",
    "F1800",
  ];
  const rasters = 125;
  const steps = Math.ceil(motions / rasters);
  for (let raster = 0; raster < rasters; raster++) {
    const y = 5 + (190 * raster) / (rasters - 1);
    for (let step = 0; step < steps; step++) {
      const share = (step + 0.5) / steps;
      const x = 5 + 190 * (raster % 2 ? 1 - share : share);
      const z = -6 - 3 * Math.sin(x / 14) * Math.cos(y / 17);
      lines.push(`G1 X${x.toFixed(3)} Y${y.toFixed(3)} Z${z.toFixed(3)}`);
    }
  }
  lines.push("G0 Z5", "M5", "M30");
  return lines.join("\n");
}

test("opens, is carved, turned, scrubbed and clicked", async () => {
  const started = performance.now();
  const scene = sceneOf(wavyBoard(100_000), "waves.nc");
  const reviewed = performance.now();
  expect(scene.motions.count).toBeGreaterThan(100_000);
  const { page, complaints, close } = await bench.show({
    scene: encodeScene(scene),
    width: 1000,
    height: 700,
  });
  const shown = performance.now();
  await page.screenshot({ path: screenshotFile("long-end") });
  const scrub = async (done: number) => {
    const start = performance.now();
    await page.getByTestId("scrubber").fill(String(done));
    await frame(page);
    return performance.now() - start;
  };
  const half = await scrub(Math.floor(scene.motions.count / 2));
  await page.screenshot({ path: screenshotFile("long-half") });
  const on = await scrub(Math.floor(scene.motions.count / 2) + 40);
  // Software rendering on a shared machine: the bounds only catch a loss of another order.
  expect(half).toBeLessThan(20_000);
  expect(on).toBeLessThan(6_000);
  await page.getByTestId("view-top").click();
  await page.getByTestId("layer-findings").uncheck();
  await frame(page);
  const motion = Math.floor(scene.motions.count / 2) + 100;
  const at = (await page.evaluate((i) => window.cutwrightTest!.screenPointOfMotion(i), motion))!;
  const canvas = (await page.getByTestId("cut-view-canvas").boundingBox())!;
  await page.mouse.click(canvas.x + at.x, canvas.y + at.y);
  const picked = await page.evaluate(() => window.cutwrightTest!.current());
  // Motions here are shorter than a pixel: the one taken ends within the reach of a click.
  const gap = Math.hypot(
    scene.motions.x[picked] - scene.motions.x[motion],
    scene.motions.y[picked] - scene.motions.y[motion],
  );
  expect(gap).toBeLessThan(3);
  expect(complaints).toEqual([]);
  console.log(
    `100 k motions: review ${(reviewed - started).toFixed(0)} ms, first full picture ${(shown - reviewed).toFixed(0)} ms`,
  );
  console.log(`100 k motions: to the middle ${half.toFixed(0)} ms, 40 motions on ${on.toFixed(0)} ms`);
  await close();
});
