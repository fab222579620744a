export declare const CODE_SERVER_VERSION: string;
export declare function benchFolder(): string;
export declare function benchEntry(folder?: string): string;
export declare function programOnPath(name: string): string | undefined;
export declare function chromiumProgram(): string | undefined;
export declare function ensureBench(): Promise<string>;
