/** How the program ends: shared by every Girthlog command. */
export const EXIT = { ok: 0, unexpected: 1, usage: 2, configuration: 3, device: 5, network: 6 } as const;
