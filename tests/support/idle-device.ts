/** A measuring device on a TCP port whose carriage can be set moving, arc out: what an edge sees of a verification run. */
import { createServer, type Socket } from 'node:net';
import { onTestFinished } from 'vitest';
import { defaultDeviceChannels } from '#core/frame/device-announcement';
import { encodeTextAnnouncement, encodeTextData } from '#core/frame/text-encoder';

const PERIOD_US = 20_000;
const CHANNELS = ['weldingCurrent', 'arcVoltage', 'wireFeedSpeed', 'travelSpeed'] as const;
/** One count of the travel channel, mm/s (default layout of device-announcement.ts). */
const TRAVEL_STEP = 0.002;

export interface IdleDevice {
  readonly url: string;
  /** Travel from now on, mm/s. */
  readonly travel: (mmPerS: number) => void;
}

export async function startIdleDevice(): Promise<IdleDevice> {
  const announced = encodeTextAnnouncement({
    simulated: true,
    boot: 1,
    samplePeriodUs: PERIOD_US,
    channels: defaultDeviceChannels(CHANNELS),
  });
  let speed = 0;
  let sent = 0;
  const sockets = new Set<Socket>();
  const server = createServer(socket => {
    sockets.add(socket);
    socket.on('error', () => undefined);
    socket.on('close', () => sockets.delete(socket));
    socket.write(announced.bytes);
  });
  await new Promise<void>(resolve => server.listen(0, '127.0.0.1', resolve));
  const startedMs = performance.now();
  const timer = setInterval(() => {
    const due = Math.floor(((performance.now() - startedMs) * 1000) / PERIOD_US);
    for (; sent < due; sent++) {
      const values = [sent % 3, 0, 0, Math.round(speed / TRAVEL_STEP)];
      const bytes = encodeTextData(announced.tag, sent & 0xffff, sent * PERIOD_US, PERIOD_US, values);
      for (const socket of sockets) socket.write(bytes);
    }
  }, PERIOD_US / 1000);
  onTestFinished(() => {
    clearInterval(timer);
    for (const socket of sockets) socket.destroy();
    server.close();
  });
  const address = server.address();
  if (typeof address !== 'object' || address === null) throw new Error('no port');
  return {
    url: `tcp://127.0.0.1:${address.port}`,
    travel: mmPerS => {
      speed = mmPerS;
    },
  };
}
