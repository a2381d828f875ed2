/** The cable between a simulated device and a serial port: pulled, plugged in, and noisy as the test wants. */
import { connect } from 'node:net';
import { onTestFinished } from 'vitest';
import { makePty, type Pty } from '../../support/pty.ts';
import { waitUntil } from '../../support/wait-until.ts';

/** What the line makes of one frame: none, one or several frames. */
export type Spoiler = (frame: string) => readonly string[];

export interface Cable {
  readonly pty: Pty;
  /** From now on every whole frame goes through this. */
  spoil(spoiler: Spoiler | null): void;
}

/** Carries text frames from `tcp://…` to a pseudo-terminal, plugged in from the beginning. */
export async function layCable(url: string): Promise<Cable> {
  const pty = makePty();
  await pty.plug();
  let spoiler: Spoiler | null = null;
  let rest = '';
  const socket = connect(Number(new URL(url).port), '127.0.0.1');
  let connected = false;
  socket.on('connect', () => {
    connected = true;
  });
  socket.on('error', () => undefined);
  socket.setEncoding('latin1').on('data', (text: string) => {
    const lines = (rest + text).split('\n');
    rest = lines.pop() ?? '';
    const out = lines.flatMap(line => spoiler?.(`${line}\n`) ?? [`${line}\n`]);
    if (out.length > 0) pty.write(Buffer.from(out.join(''), 'latin1'));
  });
  onTestFinished(() => {
    socket.destroy();
  });
  await waitUntil(() => connected, 'the cable to be laid');
  return {
    pty,
    spoil: value => {
      spoiler = value;
    },
  };
}
