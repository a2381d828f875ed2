import { createServer, type Server, type Socket } from 'node:net';
import type { DeviceFrames } from './device-frames.ts';

/** A measuring device that listens on TCP and sends a frame a sample period, to whoever is connected. */
export class TcpDevice {
  private readonly frames: DeviceFrames;
  private readonly sample: (i: number) => number[];
  private readonly sockets = new Set<Socket>();
  private readonly server: Server = createServer(socket => {
    this.sockets.add(socket.setNoDelay(true));
    socket.on('error', () => socket.destroy());
    socket.on('close', () => this.sockets.delete(socket));
    socket.write(this.frames.announcement);
  });
  private timer: NodeJS.Timeout | null = null;
  private sent = 0;

  /** `sample` gives the carried integers of sample `i`. */
  constructor(frames: DeviceFrames, sample: (i: number) => number[]) {
    this.frames = frames;
    this.sample = sample;
  }

  /** The address it listens at, as a source is named. */
  async start(): Promise<string> {
    await new Promise<void>(resolve => this.server.listen(0, '127.0.0.1', resolve));
    const started = performance.now();
    const periodMs = this.frames.periodUs / 1000;
    this.timer = setInterval(() => {
      while (this.sent * periodMs <= performance.now() - started) this.send();
    }, periodMs);
    const address = this.server.address();
    return `tcp://127.0.0.1:${typeof address === 'object' && address ? address.port : 0}`;
  }

  /** The next frame at once. */
  send(): void {
    const i = this.sent++;
    const bytes = this.frames.next(i, [this.sample(i)]);
    for (const socket of this.sockets) socket.write(bytes);
  }

  stop(): void {
    if (this.timer) clearInterval(this.timer);
    for (const socket of this.sockets) socket.destroy();
    this.server.close();
  }
}
