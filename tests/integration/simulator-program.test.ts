import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { connect } from 'node:net';
import { join } from 'node:path';
import { SerialPort } from 'serialport';
import { describe, expect, it, onTestFinished } from 'vitest';
import { BinaryDecoder } from '#core/frame/binary-decoder';
import type { FrameDecoder } from '#core/frame/frame-decoder';
import { TextDecoder as TextFrameDecoder } from '#core/frame/text-decoder';
import { startCommand, startProgram } from '../support/programs.ts';
import { noSocat } from '../support/pty.ts';
import { tempDir } from '../support/temp-dir.ts';
import { waitUntil } from '../support/wait-until.ts';

const lines = (text: string): Record<string, unknown>[] =>
  text
    .split('\n')
    .filter(line => line !== '')
    .map(line => JSON.parse(line));

/** Reads a TCP stream into a decoder until the test ends. */
function listenTo(url: string, decoder: FrameDecoder): FrameDecoder {
  const { hostname, port } = new URL(url);
  const socket = connect(Number(port), hostname);
  socket.on('data', bytes => decoder.push(bytes, 0));
  socket.on('error', () => socket.destroy());
  onTestFinished(() => void socket.destroy());
  return decoder;
}

describe('girthlog-simulator', () => {
  it('feeds several TCP clients at once, each from a whole announcement on', async () => {
    const program = startProgram('girthlog-simulator', ['run', '--json', '--seed', '5', '--rate', '200']);
    const listening = await waitUntil(() => {
      const found = lines(program.stdout()).filter(({ event }) => event === 'listening');
      return found.length === 2 ? found : null;
    }, 'two rigs that listen');
    expect(listening.map(({ rig, side }) => [rig, side])).toEqual([
      ['rig-a', 'A'],
      ['rig-b', 'B'],
    ]);
    const [a, b] = listening.map(({ url }) => String(url));
    const readers = [a!, a!, b!].map(url => listenTo(url, new TextFrameDecoder()));
    await waitUntil(() => readers.every(({ counters }) => counters.samples > 100), 'samples at every client');
    for (const { counters } of readers) {
      expect(counters.announcements).toBeGreaterThan(0);
      expect(counters).toMatchObject({ badCrc: 0, malformed: 0, lostFrames: 0, beforeAnnounce: 0 });
    }
    const ahead = await waitUntil(
      () => lines(program.stdout()).find(({ event }) => event === 'passAhead'),
      'the first pass to be announced',
    );
    expect(ahead).toMatchObject({ joint: 'J-0101', pass: 'root', program: 1, outsideDiameterMm: 610 });
    expect(await program.stop()).toBe(0);
  });

  it('writes recordings as fast as possible, the same for a seed, with the true values beside them', async () => {
    const dir = tempDir();
    const record = async (name: string): Promise<Buffer> => {
      const program = startProgram('girthlog-simulator', [
        ...['run', '--rigs', '1', '--format', 'binary', '--rate', '1000', '--duration', '12', '--seed', '9'],
        ...['--output', `file://${join(dir, name)}.bin`, '--truth', join(dir, `${name}.csv`)],
      ]);
      expect(await program.exited).toBe(0);
      return readFileSync(join(dir, `${name}.bin`));
    };
    const bytes = await record('one');
    expect((await record('two')).equals(bytes)).toBe(true);
    const decoder = new BinaryDecoder();
    decoder.push(bytes, 0);
    expect(decoder.counters).toMatchObject({ badCrc: 0, malformed: 0, lostFrames: 0, beforeAnnounce: 0 });
    // 12 s at 1 kHz; a last binary frame may still be filling.
    expect(decoder.counters.samples).toBeGreaterThan(11_980);
    const truth = readFileSync(join(dir, 'one.csv'), 'utf8').trim().split('\n');
    expect(truth).toHaveLength(12_001);
    expect(truth[0]).toBe(
      'tUs,phase,currentA,voltageV,powerW,feedMmS,travelMmS,alongMm,ctwdMm,arcLengthMm,gasLPerMin,temperatureCel',
    );
  });

  it.skipIf(noSocat())('talks on a serial line', async () => {
    const dir = tempDir();
    const [near, far] = [join(dir, 'near'), join(dir, 'far')];
    startCommand('socat', [`PTY,raw,echo=0,link=${near}`, `PTY,raw,echo=0,link=${far}`]);
    await waitUntil(() => existsSync(near) && existsSync(far), 'the pseudo-terminal pair');
    const program = startProgram('girthlog-simulator', [
      ...['run', '--rigs', '1', '--format', 'binary', '--output', `serial://${near}?baud=115200`],
    ]);
    const decoder = new BinaryDecoder();
    const port = new SerialPort({ path: far, baudRate: 115_200 });
    port.on('data', (bytes: Buffer) => decoder.push(bytes, 0));
    onTestFinished(() => new Promise<void>(resolve => port.close(() => resolve())));
    await waitUntil(() => decoder.counters.samples > 25, 'samples on the line');
    expect(decoder.counters).toMatchObject({ badCrc: 0, malformed: 0, lostFrames: 0 });
    expect(await program.stop()).toBe(0);
  });

  it('prints a scenario that it accepts', async () => {
    const printed = startProgram('girthlog-simulator', ['scenario']);
    expect(await printed.exited).toBe(0);
    const dir = tempDir();
    const file = join(dir, 'scenario.toml');
    writeFileSync(file, printed.stdout());
    const program = startProgram('girthlog-simulator', [
      ...['run', '--scenario', file, '--duration', '1', '--output', `file://${dir}/{rig}.txt`],
    ]);
    expect(await program.exited).toBe(0);
  });

  it.each([
    [['run', '--rate', '33'], 2, /rate/],
    [['run', '--scenario', '/nowhere/s.toml'], 3, /\/nowhere\/s\.toml/],
    [['run', '--rigs', '1', '--output', 'ftp://x'], 5, /is not an output/],
    [['run', '--output', 'file:///nowhere/x.txt', '--rigs', '1'], 5, /cannot write \/nowhere\/x\.txt/],
    [
      ['run', '--rigs', '1', '--output', 'serial:///dev/girthlog-none'],
      5,
      /cannot open \/dev\/girthlog-none/,
    ],
  ])('%j ends with %d and one sentence', async (args, code, sentence) => {
    const program = startProgram('girthlog-simulator', args);
    expect(await program.exited).toBe(code);
    expect(program.stderr()).toMatch(sentence);
    expect(program.stderr()).not.toMatch(/\n\s+at /);
  });

  it('leads its help with examples', async () => {
    const program = startProgram('girthlog-simulator', ['--help']);
    expect(await program.exited).toBe(0);
    expect(program.stdout().startsWith('Examples:')).toBe(true);
  });

  it('leads the help of a command with examples of that command', async () => {
    const program = startProgram('girthlog-simulator', ['train', '--help']);
    expect(await program.exited).toBe(0);
    expect(program.stdout()).toMatch(/^Examples:\n {2}girthlog-simulator train\n/);
    expect(program.stdout()).not.toContain('girthlog-simulator run');
  });
});
