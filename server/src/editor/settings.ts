/** The user's settings, as the editor holds them. Their values are checked where they are used (job layer). */
import type { Connection } from "vscode-languageserver";

export const settingsSection = "cutwright";

/** Asks the editor for the settings and keeps them until it says that they changed. */
export class Settings {
  private current: Promise<unknown> | undefined;
  private pushed: unknown = undefined;

  constructor(
    private readonly connection: Connection,
    /** Whether the client answers `workspace/configuration`; if not, only what it pushes is known. */
    private readonly canAsk: () => boolean,
  ) {}

  /** The `cutwright` section, an object or undefined. Never rejects. */
  value(): Promise<unknown> {
    this.current ??= this.ask();
    return this.current;
  }

  /** Forgets what was asked; `pushed` is what came with the change notification. */
  changed(pushed: unknown): void {
    this.current = undefined;
    if (isObject(pushed) && settingsSection in pushed) this.pushed = pushed[settingsSection];
  }

  private async ask(): Promise<unknown> {
    if (!this.canAsk()) return this.pushed;
    try {
      return (await this.connection.workspace.getConfiguration(settingsSection)) ?? this.pushed;
    } catch (error) {
      this.connection.console.warn(`The settings could not be asked for: ${String(error)}`);
      return this.pushed;
    }
  }
}

function isObject(value: unknown): value is Record<string, unknown> {
  return typeof value === "object" && value !== null && !Array.isArray(value);
}
