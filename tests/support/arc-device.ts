/** A measuring device on a TCP port whose arc a test switches on and off. */
import { createServer, type Socket } from 'node:net';
import { onTestFinished } from 'vitest';
import { defaultDeviceChannels } from '#core/frame/device-announcement';
import { encodeTextAnnouncement, encodeTextData } from '#core/frame/text-encoder';

const PERIOD_US = 20_000;
const ANNOUNCEMENT = encodeTextAnnouncement({
  simulated: true,
  boot: 1,
  samplePeriodUs: PERIOD_US,
  channels: defaultDeviceChannels(['weldingCurrent', 'arcVoltage', 'wireFeedSpeed', 'travelSpeed']),
});

export interface ArcDevice {
  readonly url: string;
  arc: boolean;
}

export async function startArcDevice(): Promise<ArcDevice> {
  const sockets = new Set<Socket>();
  const server = createServer(socket => {
    sockets.add(socket);
    socket.on('error', () => undefined);
    socket.on('close', () => sockets.delete(socket));
    socket.write(ANNOUNCEMENT.bytes);
  });
  await new Promise<void>(resolve => server.listen(0, '127.0.0.1', resolve));
  const address = server.address();
  if (typeof address !== 'object' || !address) throw new Error('no port');
  const device = { url: `tcp://127.0.0.1:${address.port}`, arc: false };
  const started = Date.now();
  let n = 0;
  const timer = setInterval(() => {
    for (const due = ((Date.now() - started) * 1000) / PERIOD_US; n < due; n++) {
      // Never twice the same reading: that would be a source that only repeats itself.
      const raw = device.arc ? [2000 + (n % 50), 2400 + (n % 7), 1500, 80] : [n % 40, 0, 0, 0];
      const bytes = encodeTextData(ANNOUNCEMENT.tag, n & 0xffff, n * PERIOD_US, PERIOD_US, raw);
      for (const socket of sockets) socket.write(bytes);
    }
  }, 20);
  onTestFinished(() => {
    clearInterval(timer);
    for (const socket of sockets) socket.destroy();
    server.close();
  });
  return device;
}
