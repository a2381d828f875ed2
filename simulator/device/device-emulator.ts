import { samplesPerBinaryFrame } from '#core/frame/binary-encoder';
import { defaultDeviceChannels } from '#core/frame/device-announcement';
import { FrameEncoder } from '#core/frame/frame-encoder';
import { CHANNEL_NAMES, type Channel } from '#core/sample/channels';
import type { DeviceFrame } from '../rig/rig-frame.ts';

export type DeviceFormat = 'text' | 'binary';

export interface DeviceOptions {
  readonly format: DeviceFormat;
  /** Counts the device's starts. */
  readonly boot: number;
  readonly samplePeriodUs: number;
  /** Where the device's own 32-bit microsecond counter stands at simulated time 0. */
  readonly firstUs: number;
  readonly channels: readonly Channel[];
}

/** The channels a simulated device reports: all but the cumulative wire length. */
export const DEVICE_CHANNELS = CHANNEL_NAMES.filter(name => name !== 'wireLength');

/** A binary frame holds back samples for at most this long. */
const LONGEST_HOLD_US = 20_000;

/** The measuring device on the rig: averages in, bytes out, with its own wrapping clock and frame counter. */
export class DeviceEmulator {
  private readonly options: DeviceOptions;
  private readonly encoder: FrameEncoder;
  private readonly samplesPerFrame: number;
  private waiting: (number | null)[][] = [];
  private firstWaitingUs = 0;

  constructor(options: DeviceOptions) {
    this.options = options;
    const channels = defaultDeviceChannels(options.channels);
    const { boot, samplePeriodUs, format } = options;
    this.encoder = new FrameEncoder(format, { simulated: true, boot, samplePeriodUs, channels });
    const most = Math.max(1, Math.floor(LONGEST_HOLD_US / samplePeriodUs));
    this.samplesPerFrame = format === 'text' ? 1 : Math.min(most, samplesPerBinaryFrame(channels));
  }

  /** What the stream is made of: sent on connecting and every few seconds. */
  announce(): Uint8Array {
    return this.encoder.announcementBytes;
  }

  /** The bytes that `frame` completes: none while a binary frame is filling, or of one that is not sent. */
  encode(frame: DeviceFrame): Uint8Array | null {
    if (frame.silent) {
      this.waiting = [];
      return null;
    }
    if (this.waiting.length === 0) this.firstWaitingUs = this.options.firstUs + frame.startUs;
    this.waiting.push(this.options.channels.map(channel => frame.reported[channel] ?? null));
    if (this.waiting.length < this.samplesPerFrame) return null;
    const bytes = this.encoder.data(this.firstWaitingUs, frame.lengthUs, this.waiting);
    this.waiting = [];
    return bytes;
  }
}
