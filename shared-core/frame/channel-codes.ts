import type { Channel } from '../sample/channels.ts';

/**
 * One letter a channel, in both frame forms (docs/serial.md): short enough that an announcement of all
 * channels fits one frame. A letter, once given, keeps its meaning.
 */
export const CHANNEL_CODES = {
  weldingCurrent: 'I',
  arcVoltage: 'U',
  power: 'P',
  wireFeedSpeed: 'F',
  wireLength: 'L',
  travelSpeed: 'V',
  travelDistance: 'S',
  gasFlow: 'G',
  temperature: 'T',
  oscillationWidth: 'W',
  oscillationFrequency: 'H',
  program: 'N',
  status: 'B',
} as const satisfies Record<Channel, string>;

const CHANNEL_OF_CODE: ReadonlyMap<string, Channel> = new Map(
  Object.entries(CHANNEL_CODES).map(([channel, code]) => [code, channel as Channel]),
);

/** The channel of a letter, or null for one this version does not know. */
export function channelOfCode(code: string): Channel | null {
  return CHANNEL_OF_CODE.get(code) ?? null;
}
