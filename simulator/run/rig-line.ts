import type { DeviceEmulator } from '../device/device-emulator.ts';
import type { ByteOutput } from '../output/byte-output.ts';
import { FileOutput } from '../output/file-output.ts';
import type { DeviceFrame } from '../rig/rig-frame.ts';

/** What gives a device its readings: a rig with physics, or a recorded joint. */
export interface FrameSource<F extends DeviceFrame> {
  /** Nothing more comes. */
  readonly ended: boolean;
  /** Simulated time at which the next frame is complete, µs. */
  readonly nextEndUs: number;
  nextFrame(): F;
}

const ANNOUNCE_EVERY_US = 2_000_000;

/** One rig's line: readings through its device to where the bytes go, as far as simulated time allows. */
export class RigLine<F extends DeviceFrame> {
  readonly source: FrameSource<F>;
  readonly output: ByteOutput;
  private readonly device: DeviceEmulator;
  private readonly onFrame: (frame: F) => void;
  private announcedUs: number | null = null;

  /** `onFrame` sees each frame after the device has. */
  constructor(
    source: FrameSource<F>,
    device: DeviceEmulator,
    output: ByteOutput,
    onFrame: (frame: F) => void,
  ) {
    this.source = source;
    this.device = device;
    this.output = output;
    this.onFrame = onFrame;
  }

  /** Sends every frame that is complete at `simulatedUs`; what is ended goes on idle while others weld. */
  async advanceTo(simulatedUs: number): Promise<void> {
    const parts: Uint8Array[] = [];
    while (this.source.nextEndUs <= simulatedUs) {
      const frame = this.source.nextFrame();
      const due = this.announcedUs === null || frame.startUs - this.announcedUs >= ANNOUNCE_EVERY_US;
      if (due) {
        this.announcedUs = frame.startUs;
        if (!frame.silent) parts.push(this.device.announce());
      }
      const bytes = this.device.encode(frame);
      if (bytes) parts.push(bytes);
      this.onFrame(frame);
    }
    if (parts.length > 0) this.output.write(Buffer.concat(parts));
    if (this.output instanceof FileOutput) await this.output.settle();
  }
}
