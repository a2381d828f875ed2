/** Archives as they are made. Read back by a reader of our own (support/read-zip.ts, PKWARE APPNOTE) and by Info-ZIP's. */
import { execFileSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import {
  type ArchiveFile,
  type WrittenFile,
  zipStream,
} from '../../../dashboard/server/export/zip-stream.ts';
import { isMissing } from '../../support/programs.ts';
import { readZip } from '../../support/read-zip.ts';
import { tempDir } from '../../support/temp-dir.ts';

const AT = new Date('2026-05-12T08:30:46.500Z');
const text = (name: string, content: ArchiveFile['content']): ArchiveFile => ({ name, at: AT, content });

async function zipped(files: Iterable<ArchiveFile>): Promise<Buffer> {
  const pieces: Uint8Array[] = [];
  for await (const piece of zipStream(each(files))) pieces.push(piece);
  return Buffer.concat(pieces);
}

async function* each<T>(items: Iterable<T>): AsyncGenerator<T> {
  yield* items;
}

function* lines(count: number): Generator<string> {
  for (let i = 0; i < count; i++) yield `line ${i}, ${(i * 7919) % 1000}\r\n`;
}

describe('an archive', () => {
  it('gives back what went in, with its time and its hash', async () => {
    const written: WrittenFile[] = [];
    const onDone = (file: WrittenFile): void => void written.push(file);
    const long = [...lines(50_000)].join('');
    const bytes = await zipped([
      { ...text('empty.txt', ''), onDone },
      { ...text('a/text.txt', 'ü and ≤'), onDone },
      { ...text('a/bytes.bin', new Uint8Array([0, 255, 1])), onDone },
      { ...text('long.csv', lines(50_000)), onDone },
      { ...text('packed.zip', Buffer.from('PK')), packed: true, onDone },
    ]);
    const files = readZip(bytes);
    expect(files.map(({ name, content }) => [name, content.toString('latin1').length])).toEqual([
      ['empty.txt', 0],
      ['a/text.txt', 10],
      ['a/bytes.bin', 3],
      ['long.csv', long.length],
      ['packed.zip', 2],
    ]);
    expect(files[1]!.content.toString('utf8')).toBe('ü and ≤');
    expect(files[3]!.content.toString('utf8')).toBe(long);
    for (const { name, content, changedMs, shownAs } of files) {
      const sha256 = createHash('sha256').update(content).digest('hex');
      expect(written.find(file => file.name === name)).toEqual({ name, bytes: content.length, sha256 });
      expect(changedMs).toBe(Date.parse('2026-05-12T08:30:46Z'));
      expect(shownAs).toBe('2026-05-12 08:30:46');
    }
    expect(bytes.length).toBeLessThan(long.length / 3);
  });

  it.skipIf(isMissing('unzip', 'apt install unzip'))('is one to another program', async () => {
    const file = join(tempDir(), 'x.zip');
    writeFileSync(file, await zipped([text('a/one.csv', lines(1000)), text('two.txt', 'two')]));
    expect(execFileSync('unzip', ['-t', file]).toString()).toContain('No errors detected');
  });

  it('is the same bytes twice, and where nothing has a time it is of 1980', async () => {
    const files = () => [{ ...text('a', lines(2000)), at: new Date(0) }];
    const one = await zipped(files());
    expect((await zipped(files())).equals(one)).toBe(true);
    expect(readZip(one)[0]).toMatchObject({ shownAs: '1980-01-02 00:00:00', changedMs: 0 });
  });

  it('asks for no more than it has given on', async () => {
    let made = 0;
    function* endless(): Generator<string> {
      for (;;) {
        made++;
        yield createHash('sha512').update(String(made)).digest('hex');
      }
    }
    const pieces = zipStream(each([text('endless', endless())]));
    let taken = 0;
    while (taken < 2_000_000) taken += ((await pieces.next()).value as Uint8Array).length;
    await pieces.return(undefined);
    // 128 characters each that pack to half: what is made is what was taken and one piece or two.
    expect(made * 128).toBeLessThan(taken * 2.5 + 400_000);
  });

  it('ends with the error of what it is made from', async () => {
    function* broken(): Generator<string> {
      yield 'x';
      throw new Error('the store is gone');
    }
    await expect(zipped([text('a', broken())])).rejects.toThrow('the store is gone');
  });
});
