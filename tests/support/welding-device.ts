/** A measuring device on a TCP port whose arc burns until it is told to be silent. */
import { createServer, type Socket } from 'node:net';
import { onTestFinished } from 'vitest';
import { burningSample, DeviceFrames } from '../bench/harness/device-frames.ts';

const RATE_HZ = 50;

export interface WeldingDevice {
  readonly url: string;
  /** Its samples stop coming or come again; the connection stays. */
  silent: boolean;
}

export async function startWeldingDevice(): Promise<WeldingDevice> {
  const frames = new DeviceFrames(RATE_HZ);
  const sockets = new Set<Socket>();
  const server = createServer(socket => {
    sockets.add(socket.setNoDelay(true));
    socket.on('error', () => socket.destroy());
    socket.on('close', () => sockets.delete(socket));
    socket.write(frames.announcement);
  });
  await new Promise<void>(resolve => server.listen(0, '127.0.0.1', resolve));
  const address = server.address();
  const device: WeldingDevice = {
    url: `tcp://127.0.0.1:${typeof address === 'object' && address ? address.port : 0}`,
    silent: false,
  };
  const started = performance.now();
  let sent = 0;
  const timer = setInterval(() => {
    const due = Math.floor(((performance.now() - started) * RATE_HZ) / 1000);
    // What was measured in silence is lost, as with a cable that was out.
    if (device.silent) sent = due;
    for (; sent < due; sent++) {
      const bytes = frames.next(sent, [burningSample(sent)]);
      for (const socket of sockets) socket.write(bytes);
    }
  }, 1000 / RATE_HZ);
  onTestFinished(() => {
    clearInterval(timer);
    for (const socket of sockets) socket.destroy();
    server.close();
  });
  return device;
}
