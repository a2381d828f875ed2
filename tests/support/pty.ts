import { type ChildProcessByStdio, spawn } from 'node:child_process';
import { existsSync } from 'node:fs';
import { join } from 'node:path';
import type { Writable } from 'node:stream';
import { onTestFinished } from 'vitest';
import { isMissing } from './programs.ts';
import { tempDir } from './temp-dir.ts';
import { waitUntil } from './wait-until.ts';

/** Skips tests of serial ports where socat is not installed (with CI=true that is a failure). */
export const noSocat = (): boolean => isMissing('socat', 'apt-get install socat');

/** A serial port that can be plugged in and out: a pseudo-terminal behind a fixed path, fed from here. */
export interface Pty {
  /** The path the edge opens. */
  readonly path: string;
  /** Makes the device node appear. */
  plug(): Promise<void>;
  /** Takes the device node away, as pulling the cable does. */
  unplug(): Promise<void>;
  /** What the device prints. */
  write(bytes: Uint8Array): void;
}

/** Not plugged in yet; gone with the running test. */
export function makePty(): Pty {
  const path = join(tempDir(), 'ttyRig');
  let socat: ChildProcessByStdio<Writable, null, null> | null = null;
  const unplug = async (): Promise<void> => {
    const child = socat;
    socat = null;
    if (child === null) return;
    const gone = new Promise(resolve => child.once('close', resolve));
    child.kill('SIGKILL');
    await gone;
  };
  onTestFinished(unplug);
  return {
    path,
    plug: async () => {
      const child = spawn('socat', ['-u', 'STDIN', `PTY,raw,echo=0,link=${path}`], {
        stdio: ['pipe', 'ignore', 'ignore'],
      });
      // A cable pulled in the middle of a word is what these tests are about.
      child.stdin.on('error', () => undefined);
      socat = child;
      await waitUntil(() => existsSync(path), 'the pseudo-terminal');
    },
    unplug,
    write: bytes => {
      socat?.stdin.write(bytes);
    },
  };
}
