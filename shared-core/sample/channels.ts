/**
 * The channels a rig can report, with the SI-based unit every value is kept in and
 * the resolution it is quantised to once, where it enters the edge.
 *
 * `cumulative` channels count up (a length); the engine differentiates them.
 * `program` and `status` are integers: the program number selected on the rig and
 * a device-defined bit word.
 */
export const CHANNELS = {
  weldingCurrent: { unit: 'A', resolution: 0.1, cumulative: false },
  arcVoltage: { unit: 'V', resolution: 0.01, cumulative: false },
  power: { unit: 'W', resolution: 1, cumulative: false },
  wireFeedSpeed: { unit: 'mm/s', resolution: 0.01, cumulative: false },
  wireLength: { unit: 'mm', resolution: 0.1, cumulative: true },
  travelSpeed: { unit: 'mm/s', resolution: 0.001, cumulative: false },
  travelDistance: { unit: 'mm', resolution: 0.01, cumulative: true },
  gasFlow: { unit: 'L/min', resolution: 0.01, cumulative: false },
  temperature: { unit: 'Cel', resolution: 0.1, cumulative: false },
  oscillationWidth: { unit: 'mm', resolution: 0.01, cumulative: false },
  oscillationFrequency: { unit: 'Hz', resolution: 0.001, cumulative: false },
  program: { unit: '1', resolution: 1, cumulative: false },
  status: { unit: '1', resolution: 1, cumulative: false },
} as const satisfies Record<string, { unit: string; resolution: number; cumulative: boolean }>;

export type Channel = keyof typeof CHANNELS;

/** In the order that frames, chunks and tables list them. */
export const CHANNEL_NAMES = Object.keys(CHANNELS) as readonly Channel[];

export function isChannel(name: string): name is Channel {
  return Object.hasOwn(CHANNELS, name);
}
