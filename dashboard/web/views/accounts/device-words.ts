const BROWSERS = [
  ['Firefox/', 'Firefox'],
  ['Edg/', 'Edge'],
  ['Chrome/', 'Chrome'],
  ['Safari/', 'Safari'],
] as const;
const SYSTEMS = ['Android', 'iPhone', 'iPad', 'Windows', 'Mac OS X', 'Linux'] as const;

/** A browser and its system out of what it says of itself; null where it says neither. */
export function deviceWords(device: string): string | null {
  const browser = BROWSERS.find(([mark]) => device.includes(mark))?.[1];
  const system = SYSTEMS.find(mark => device.includes(mark));
  const words = [browser, system].filter(word => word !== undefined);
  if (words.length > 0) return words.join(', ');
  // A program of somebody's own says its name.
  return /^[\w.-]{1,30}/.exec(device)?.[0] ?? null;
}
