/**
 * A measuring device as a process of its own, so that its work is not counted with what reads it: frames at a
 * rate, over a pseudo-terminal (socat) or a TCP port. Ends with its parent.
 */
import { spawn } from 'node:child_process';
import { createServer, type Socket } from 'node:net';
import { burningSample, DeviceFrames } from '../harness/device-frames.ts';

export interface FeederOrder {
  readonly rateHz: number;
  readonly perFrame: number;
  /** Where the pseudo-terminal shall be, or null for a free TCP port. */
  readonly pty: string | null;
  /** Text lines of time and four values instead of binary frames. */
  readonly lines?: boolean;
  /** Over TCP nothing is sent before so many listen. */
  readonly readers?: number;
  /** It ends after so many frames. */
  readonly frames?: number;
}

const ANNOUNCE_EVERY_S = 0.5;

export function runFeeder(): void {
  process.on('disconnect', () => process.exit(0));
  process.once('message', (order: FeederOrder) => {
    if (order.pty === null) feedTcp(order);
    else feedPty(order, order.pty);
  });
}

function feedPty(order: FeederOrder, path: string): void {
  const socat = spawn('socat', ['-u', 'STDIN', `PTY,raw,echo=0,link=${path}`], {
    stdio: ['pipe', 'ignore', 'inherit'],
  });
  socat.once('spawn', () => process.send?.({ ready: path }));
  process.on('exit', () => socat.kill('SIGKILL'));
  send(order, bytes => socat.stdin.write(bytes));
}

function feedTcp(order: FeederOrder): void {
  const sockets = new Set<Socket>();
  const { readers = 0 } = order;
  const begin = (): void =>
    send(order, bytes => {
      for (const socket of sockets) socket.write(bytes);
    });
  const server = createServer(socket => {
    sockets.add(socket.setNoDelay(true));
    if (sockets.size === readers) begin();
    socket.on('error', () => socket.destroy());
    socket.on('close', () => sockets.delete(socket));
  });
  server.listen(0, '127.0.0.1', () => {
    const address = server.address();
    process.send?.({ ready: `tcp://127.0.0.1:${typeof address === 'object' && address ? address.port : 0}` });
  });
  if (readers === 0) begin();
}

/** One write a frame, as a device prints it; late timers catch up frame by frame. */
function send(
  { rateHz, perFrame, lines, frames: most }: FeederOrder,
  write: (bytes: Uint8Array) => void,
): void {
  const device = new DeviceFrames(rateHz);
  const frameMs = (1000 * perFrame) / rateHz;
  const announceEvery = Math.max(1, Math.round((ANNOUNCE_EVERY_S * 1000) / frameMs));
  const started = performance.now();
  let frames = 0;
  setInterval(
    () => {
      for (; frames * frameMs <= performance.now() - started; frames++) {
        if (frames === most) return;
        const first = frames * perFrame;
        const samples = Array.from({ length: perFrame }, (_, k) => burningSample(first + k));
        if (lines) {
          write(Buffer.from(samples.map((sample, k) => line((first + k) / rateHz, sample)).join('')));
          continue;
        }
        if (frames % announceEvery === 0) write(device.announcement);
        write(device.next(first, samples));
      }
    },
    Math.max(1, Math.floor(frameMs)),
  );
}

/** Seconds, then A, V, mm/s and mm/s from the integers that a binary frame carries. */
function line(timeS: number, [amps, volts, feed, travel]: readonly number[]): string {
  const values = [timeS, amps! / 10, volts! / 100, feed! / 100, travel! / 500];
  return `${values.map(value => value.toFixed(3)).join(',')}\n`;
}
