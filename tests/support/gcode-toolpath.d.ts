/** The package ships no types; only what the tests and the benchmark use. */
declare module "gcode-toolpath" {
  interface Place {
    x: number;
    y: number;
    z: number;
  }
  export default class {
    constructor(options: {
      addLine: (modal: unknown, from: Place, to: Place) => void;
      addArcCurve: (modal: unknown, from: Place, to: Place, centre: Place) => void;
    });
    loadFromStringSync(text: string): unknown;
  }
}
