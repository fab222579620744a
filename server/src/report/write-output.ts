/** Writing report files without ever harming a file that is not ours. */
import { existsSync, readFileSync, realpathSync, statSync, writeFileSync } from "node:fs";
import { InputError } from "./input-error.ts";
import { generatorMark } from "./html.ts";
import { printable } from "./printable.ts";

/**
 * Writes an HTML report. Refuses (`InputError`) to write over an input, or over any file that an earlier
 * call did not write.
 */
export function writeReport(file: string, content: string, inputs: readonly string[]): void {
  const name = printable(file);
  const refuse = (why: string) => new InputError(file, `${name}: ${why}`);
  if (existsSync(file)) {
    if (statSync(file).isDirectory()) throw refuse("this is a folder. Name a file with -o.");
    const real = realpathSync(file);
    if (inputs.some((input) => existsSync(input) && realpathSync(input) === real)) {
      throw refuse("this is an input and stays as it is. Name another file with -o.");
    }
    // The mark stands near the top of what we write.
    if (!readFileSync(file, "utf8").slice(0, 2000).includes(generatorMark)) {
      throw refuse(
        "this file is there already and was not written by Cutwright. Name another file with -o, or move it away.",
      );
    }
  }
  try {
    writeFileSync(file, content);
  } catch (error) {
    const code = (error as { code?: string }).code;
    throw refuse(
      code === "ENOENT"
        ? "its folder does not exist. Make it first."
        : `could not be written (${code ?? String(error)}).`,
    );
  }
}
