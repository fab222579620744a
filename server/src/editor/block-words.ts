/** What the codes of a block do, in plain words. */
import { lineEnd, WordKind, type Program } from "../language/program.ts";

/** Meaning of G codes by ten times their number (NISTIR 6556 section 3.5). Motion codes are told by their motions. */
const gMeaning: Readonly<Record<number, string>> = {
  40: "waits (dwell)",
  170: "arcs turn in the XY plane",
  180: "arcs turn in the ZX plane",
  190: "arcs turn in the YZ plane",
  200: "numbers are inches",
  210: "numbers are millimetres",
  280: "goes to the first reference point",
  300: "goes to the second reference point",
  400: "no cutter compensation",
  430: "tool length offset on",
  490: "tool length offset off",
  530: "this block counts in machine coordinates",
  540: "work coordinate system 1",
  550: "work coordinate system 2",
  560: "work coordinate system 3",
  570: "work coordinate system 4",
  580: "work coordinate system 5",
  590: "work coordinate system 6",
  591: "work coordinate system 7",
  592: "work coordinate system 8",
  593: "work coordinate system 9",
  610: "exact path",
  611: "exact stop at every corner",
  640: "corners may be blended",
  800: "ends the cycle in force",
  900: "places are counted from the zero",
  901: "arc centres are counted from the zero",
  910: "places are counted from where the tool is",
  911: "arc centres are counted from where the arc starts",
  920: "gives the place where the tool is new numbers",
  921: "takes the shift of the numbers (G92) back and forgets it",
  922: "takes the shift of the numbers (G92) back",
  923: "puts the stored shift of the numbers (G92) in force again",
  930: "F is one over the minutes of the move",
  940: "F is the feed per minute",
  980: "cycles come back to the height they started from",
  990: "cycles come back to R",
};

/** Meaning of M codes (NISTIR 6556 section 3.6). */
const mMeaning: Readonly<Record<number, string>> = {
  0: "stops until you go on",
  1: "stops if the optional-stop switch is on",
  2: "ends the program",
  3: "starts the spindle clockwise",
  4: "starts the spindle counter-clockwise",
  5: "stops the spindle",
  6: "changes the tool",
  7: "mist on",
  8: "coolant on",
  9: "coolant off",
  30: "ends the program",
  48: "feed and speed may be overridden",
  49: "feed and speed may not be overridden",
  60: "stops for a pallet change",
};

/** "G21: numbers are millimetres", one entry for each code of the line that is no motion code, in line order. */
export function codeMeanings(program: Program, line: number): string[] {
  const meanings: string[] = [];
  for (let word = program.firstWord[line]; word < program.firstWord[line + 1]; word++) {
    if (program.wordKind[word] !== WordKind.number) continue;
    const letter = String.fromCharCode(program.wordLetter[word]);
    const value = program.wordValue[word];
    const written = program.text.slice(program.wordStart[word], program.wordEnd[word]).toUpperCase();
    const meaning =
      letter === "G"
        ? gMeaning[Math.round(value * 10)]
        : letter === "M"
          ? mMeaning[value]
          : letter === "T"
            ? `selects tool ${value}`
            : letter === "S"
              ? `sets the spindle to ${value} rev/min`
              : undefined;
    if (meaning) meanings.push(`${written}: ${meaning}`);
  }
  return meanings;
}

/** Comment on a line without its marks, empty without one. */
export function commentOf(program: Program, line: number): string {
  const start = program.lineStart[line];
  const end = lineEnd(program, line);
  const { comments } = program;
  let low = 0;
  let high = comments.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (comments[middle].start < start) low = middle + 1;
    else high = middle;
  }
  const texts: string[] = [];
  for (; low < comments.length && comments[low].start < end; low++) texts.push(comments[low].text.trim());
  return texts.join(" ");
}
