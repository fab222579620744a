import type { Page } from "playwright-core";

/** What a picture holds, enough to tell a drawn view from a blank one. */
export interface PictureFacts {
  /** Count of different colours, each channel cut to 4 bits so that noise does not count. */
  colours: number;
  /** Mean brightness of the four corners, 0 (black) to 255 (white): the background. */
  cornerBrightness: number;
}

/** Decodes a PNG in the browser, which needs no image library here, and measures it. */
export async function pictureFacts(page: Page, png: Buffer): Promise<PictureFacts> {
  return page.evaluate(async (base64) => {
    const bytes = Uint8Array.from(atob(base64), (letter) => letter.charCodeAt(0));
    const image = await createImageBitmap(new Blob([bytes], { type: "image/png" }));
    const canvas = new OffscreenCanvas(image.width, image.height);
    const context = canvas.getContext("2d")!;
    context.drawImage(image, 0, 0);
    const { data, width, height } = context.getImageData(0, 0, image.width, image.height);
    const seen = new Set<number>();
    for (let at = 0; at < data.length; at += 4) {
      seen.add(((data[at] >> 4) << 8) | ((data[at + 1] >> 4) << 4) | (data[at + 2] >> 4));
    }
    const brightness = (x: number, y: number) => {
      const at = 4 * (y * width + x);
      return (data[at] + data[at + 1] + data[at + 2]) / 3;
    };
    const corners = [
      brightness(1, 1),
      brightness(width - 2, 1),
      brightness(1, height - 2),
      brightness(width - 2, height - 2),
    ];
    return { colours: seen.size, cornerBrightness: corners.reduce((sum, value) => sum + value) / 4 };
  }, png.toString("base64"));
}
