/** Names of columns: `snake_case`, the unit at the end. */
import { CHANNELS, type Channel } from '#core/sample/channels';

const SUFFIX: Readonly<Record<(typeof CHANNELS)[Channel]['unit'], string>> = {
  A: '_a',
  V: '_v',
  W: '_w',
  mm: '_mm',
  'mm/s': '_mm_s',
  'L/min': '_l_min',
  Cel: '_cel',
  Hz: '_hz',
  '1': '',
};

/** "wire_feed_speed_mm_s". */
export function columnOf(channel: Channel): string {
  return `${snakeCase(channel)}${SUFFIX[CHANNELS[channel].unit]}`;
}

/** "arcEnergy" → "arc_energy". */
export function snakeCase(name: string): string {
  return name.replaceAll(/[A-Z]/g, letter => `_${letter.toLowerCase()}`);
}
