/**
 * Measuring devices of many rigs in one process, on TCP, whose time runs faster than this machine's: arcs of a minute,
 * breaks between them, a frame a sample. Ends with its parent.
 */
import { createServer, type Socket } from 'node:net';
import { burningSample, DeviceFrames } from '../harness/device-frames.ts';

export interface HurriedWelds {
  readonly rigs: number;
  readonly rateHz: number;
  /** Seconds of the devices a second of this machine. */
  readonly speed: number;
}

const ARC_S = 60;
const BREAK_S = 20;
const TICK_MS = 20;
const ANNOUNCE_EVERY_S = 5;

export function runHurriedWelds(): void {
  process.on('disconnect', () => process.exit(0));
  process.once('message', (order: HurriedWelds) => void serve(order));
}

async function serve({ rigs, rateHz, speed }: HurriedWelds): Promise<void> {
  const devices = await Promise.all(Array.from({ length: rigs }, (_, i) => device(i, rateHz)));
  process.send?.({ at: devices.map(({ at }) => at) });
  const started = performance.now();
  setInterval(() => {
    const due = Math.floor(((performance.now() - started) / 1000) * speed * rateHz);
    for (const { sendUpTo } of devices) sendUpTo(due);
  }, TICK_MS);
}

/** Rigs do not begin their arcs together. */
const burns = (i: number, rateHz: number, rig: number): boolean => {
  const s = (i / rateHz + rig * 7) % (ARC_S + BREAK_S);
  return s >= 5 && s < ARC_S + 5;
};

async function device(rig: number, rateHz: number): Promise<{ at: string; sendUpTo: (due: number) => void }> {
  const frames = new DeviceFrames(rateHz);
  const sockets = new Set<Socket>();
  const server = createServer(socket => {
    sockets.add(socket);
    socket.on('error', () => socket.destroy());
    socket.on('close', () => sockets.delete(socket));
    socket.write(frames.announcement);
  });
  await new Promise<void>(resolve => server.listen(0, '127.0.0.1', resolve));
  const address = server.address();
  let sent = 0;
  return {
    at: `tcp://127.0.0.1:${typeof address === 'object' && address ? address.port : 0}`,
    sendUpTo: due => {
      const pieces: Uint8Array[] = [];
      for (; sent < due; sent++) {
        if (sent % (ANNOUNCE_EVERY_S * rateHz) === 0) pieces.push(frames.announcement);
        pieces.push(frames.next(sent, [burns(sent, rateHz, rig) ? burningSample(sent) : [0, 0, 0, 0]]));
      }
      const bytes = Buffer.concat(pieces);
      for (const socket of sockets) socket.write(bytes);
    },
  };
}
