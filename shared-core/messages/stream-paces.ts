/** How often a screen is given live values, ms: the first unless its line or its device is too slow for it. */
export const STREAM_PACES_MS = [100, 300, 1000] as const;
