/** Invented programs for the benchmarks: deterministic, so that runs compare. */

/**
 * A program of `lines` lines on a 300 x 200 mm board: rows of short straight moves with an arc now and then,
 * at growing depth.
 */
export function boardProgram(lines: number): string {
  const text = [
    "(bench: bulb tray)",
    "(cutwright: thickness 18 mm; size 300 x 200 mm; corner 0 mm, 0 mm; tool 1 flat 6 mm)",
  ];
  text.push("G21 G90 G17", "T1 M6", "S18000 M3", "G0 Z5", "G0 X10 Y10", "G1 Z-1 F300", "G1 X10 F1200");
  const rowLength = 280;
  const step = 1.5;
  let x = 10;
  let y = 10;
  let z = -1;
  let way = 1;
  while (text.length < lines - 3) {
    if (x + way * step > 10 + rowLength || x + way * step < 10) {
      const next = y + 2.5;
      if (next > 190) {
        z = z <= -17 ? -1 : z - 1;
        text.push("G0 Z5", `G0 X10 Y10`, `G1 Z${z} F300`, "G1 X10 F1200");
        x = 10;
        y = 10;
        way = 1;
        continue;
      }
      text.push(`${way > 0 ? "G3" : "G2"} X${x.toFixed(3)} Y${next.toFixed(3)} I0 J1.25`);
      y = next;
      way = -way;
      continue;
    }
    x += way * step;
    const wave = 0.2 * Math.sin(x);
    text.push(`G1 X${x.toFixed(3)} Y${(y + wave).toFixed(3)}`);
    if (Math.abs(x + way * step - 150) > 140 - step) {
      text.push(`G1 X${x.toFixed(3)} Y${y.toFixed(3)}`);
    }
  }
  text.push("G0 Z20", "M5", "M30");
  return `${text.slice(0, lines).join("\n")}\n`;
}
