/**
 * What a device says about its own frames, in either form, before it is turned into our units.
 */
import { CHANNELS, type Channel } from '../sample/channels.ts';
import { CHANNEL_CODES, channelOfCode } from './channel-codes.ts';
import type { FrameFormat, SourceAnnouncement } from './frame-decoder.ts';
import { possibleRaw, resolutionOf, scalingOf, type ValueScaling } from './value-scaling.ts';

export const PROTOCOL_VERSION = 1;
export const MAX_CHANNELS = 24;
/** An averaging interval and a sample period lie in 1 µs … 60 s. */
export const MAX_INTERVAL_US = 60_000_000;
/** Encoded, with the delimiter that ends it. */
export const MAX_FRAME_BYTES = 256;

/** A binary value that stands for "unknown". */
export const UNKNOWN_RAW = { 2: -0x8000, 4: -0x8000_0000 } as const;

export interface DeviceChannel {
  /** A letter of channel-codes.ts; one we do not know is skipped in each frame. */
  readonly code: string;
  /** UCUM code, printable ASCII without comma, colon and asterisk, 1–20 characters. */
  readonly unit: string;
  /** Carried integer × scale = value in `unit`; positive, at most 5 significant digits. */
  readonly scale: number;
  /** Bytes of one value in a binary frame. */
  readonly width: 2 | 4;
}

export interface DeviceAnnouncement {
  readonly simulated: boolean;
  /** Counts the device's starts; 0 where it cannot count them. */
  readonly boot: number;
  readonly samplePeriodUs: number;
  /** Binary frames only: each carries its interval; without it an interval is the sample period. */
  readonly ownIntervals?: boolean;
  readonly channels: readonly DeviceChannel[];
}

const DEFAULT_LAYOUT: { readonly [K in Channel]?: { readonly scale?: number; readonly width?: 4 } } = {
  // 16 bits at 0.001 mm/s would end at 32 mm/s: a carriage runs back faster.
  travelSpeed: { scale: 0.002 },
  wireLength: { width: 4 },
  travelDistance: { width: 4 },
  status: { width: 4 },
};

/** Our own unit and resolution for each channel: what a new device should announce unless it knows better. */
export function defaultDeviceChannels(channels: readonly Channel[]): DeviceChannel[] {
  return channels.map(channel => ({
    code: CHANNEL_CODES[channel],
    unit: CHANNELS[channel].unit,
    scale: DEFAULT_LAYOUT[channel]?.scale ?? CHANNELS[channel].resolution,
    width: DEFAULT_LAYOUT[channel]?.width ?? 2,
  }));
}

/** How to read one announced value; null where the channel is not one we can take. */
export interface FieldLayout {
  readonly width: 2 | 4;
  readonly scaling: ValueScaling | null;
  /** Lowest and highest raw integer that is possible. */
  readonly lo: number;
  readonly hi: number;
}

export interface FrameLayout {
  readonly announcement: SourceAnnouncement;
  readonly fields: readonly FieldLayout[];
  /** Channels left out: letter or unit unknown, or the same channel twice. */
  readonly unknown: number;
}

export function layoutOf(device: DeviceAnnouncement, format: FrameFormat): FrameLayout {
  const taken = new Set<Channel>();
  let unknown = 0;
  const fields = device.channels.map((field): FieldLayout => {
    const scaling = usableScaling(field, taken);
    const top = field.width === 2 ? 0x7fff : 0x7fff_ffff;
    if (scaling === null) {
      unknown++;
      return { width: field.width, scaling: null, lo: -top, hi: top };
    }
    taken.add(scaling.channel);
    return { width: field.width, scaling, ...possibleRaw(scaling, -top, top) };
  });
  const channels = fields.flatMap(({ scaling }) =>
    scaling === null
      ? []
      : [
          {
            channel: scaling.channel,
            unit: CHANNELS[scaling.channel].unit,
            resolution: resolutionOf(scaling),
          },
        ],
  );
  return {
    announcement: {
      format,
      boot: device.boot === 0 ? null : device.boot,
      samplePeriodUs: device.samplePeriodUs,
      simulated: device.simulated,
      channels,
    },
    fields,
    unknown,
  };
}

function usableScaling(field: DeviceChannel, taken: ReadonlySet<Channel>): ValueScaling | null {
  const channel = channelOfCode(field.code);
  if (channel === null || taken.has(channel)) return null;
  try {
    return scalingOf(channel, field.unit, field.scale);
  } catch {
    return null;
  }
}
