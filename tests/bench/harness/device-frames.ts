/** Frames as a measuring device sends them, binary form, four channels. */
import { encodeBinaryAnnouncement, encodeBinaryData } from '#core/frame/binary-encoder';
import { type DeviceAnnouncement, defaultDeviceChannels } from '#core/frame/device-announcement';
import type { Channel } from '#core/sample/channels';

export const FOUR_CHANNELS = ['weldingCurrent', 'arcVoltage', 'wireFeedSpeed', 'travelSpeed'] as const;

export class DeviceFrames {
  readonly announcement: Uint8Array;
  readonly periodUs: number;
  private readonly device: DeviceAnnouncement;
  private readonly tag: number;
  private counter = 0;

  constructor(rateHz: number, channels: readonly Channel[] = FOUR_CHANNELS) {
    this.periodUs = 1e6 / rateHz;
    this.device = {
      simulated: true,
      boot: 1,
      samplePeriodUs: this.periodUs,
      channels: defaultDeviceChannels(channels),
    };
    const announcement = encodeBinaryAnnouncement(this.device);
    this.announcement = announcement.bytes;
    this.tag = announcement.tag;
  }

  /** The next frame: carried integers of samples that begin with number `first`. */
  next(first: number, samples: readonly (readonly number[])[]): Uint8Array {
    const { device, tag, periodUs } = this;
    return encodeBinaryData(device, tag, this.counter++, first * periodUs, periodUs, samples);
  }
}

/** Carried integers of sample `i`: an arc that burns, no reading twice in a row. */
export function burningSample(i: number): number[] {
  return [2300 + ((i * 37) % 120), 2390 + ((i * 11) % 50), 17_000 + ((i * 7) % 90), 3700 + ((i * 3) % 40)];
}
