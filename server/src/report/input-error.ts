/** An input that could not be read. The message names the file, the line where there is one, and the remedy. */
export interface UnreadInput {
  readonly file: string;
  readonly message: string;
}

/** Thrown where an input cannot be read. */
export class InputError extends Error implements UnreadInput {
  constructor(
    readonly file: string,
    message: string,
  ) {
    super(message);
    this.name = "InputError";
  }
}
