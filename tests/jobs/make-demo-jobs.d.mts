export declare const demoPrograms: Readonly<Record<string, () => string>>;
