import type { EngineSettings } from './engine-api.ts';

/**
 * Expanded relative uncertainty (k = 2) of a quantity from the standard uncertainties of the instruments,
 * combined as independent (GUM, JCGM 100); null where one of them is not known.
 */
export function expandedRelative(
  quantity: string,
  uncertainty: EngineSettings['uncertainty'],
): number | null {
  const { current, voltage, wireFeed, travel } = uncertainty;
  const parts: Record<string, readonly (number | null)[]> = {
    weldingCurrent: [current],
    arcVoltage: [voltage],
    wireFeedSpeed: [wireFeed],
    travelSpeed: [travel],
    arcEnergy: [current, voltage, travel],
    heatInput: [current, voltage, travel],
  };
  let squares = 0;
  for (const part of parts[quantity] ?? [null]) {
    if (part === null) return null;
    squares += part * part;
  }
  return 2 * Math.sqrt(squares);
}
